"""Screen of a loss: computed in a thread, shown as one list, written as a dossier."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on, work
from textual.message import Message

from appraise.commands import OUTCOME
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, Unreadable
from appraise.screens.case_screen import CaseScreen
from appraise.widgets.footer import Foot
from appraise.widgets.outcome_rows import OutcomeRows
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from appraise.model.case import Case
    from appraise.report.loss.compared import Compared


class OutcomeScreen(CaseScreen):
    """The comparison of the case with the state that it remembers."""

    PLACE = "What the move did"
    CSS_PATH = "outcome.tcss"
    SCOPE = OUTCOME
    AUTO_FOCUS = "#outcome"

    @dataclass
    class Found(Message):
        """The comparison has been made, or refused."""

        case: Case
        item: Compared | None
        words: str

    _for: Case | None = None
    _busy = False

    def compose(self) -> ComposeResult:
        """The rows."""
        yield TitleBar()
        yield OutcomeRows(id="outcome")
        yield Foot()

    def on_mount(self) -> None:
        """Begin to compare."""
        self.show_case()

    def show_case(self) -> None:
        """Show the outcome of the case as it stands now."""
        self.show_title()
        if self._for is not self.worksheet.case and not self._busy:
            self._busy = True
            if self._for is None:
                self.query_one(OutcomeRows).show(None, "Comparing …")
            self._compare(self.worksheet.case)

    @work(thread=True, group="outcome")
    def _compare(self, case: Case) -> None:
        from appraise.services.loss import of_worksheet

        item, words = None, ""
        try:
            item = of_worksheet(self.worksheet.path, case, self.worksheet.tables)
        except InputError as refused:
            words = str(refused)
        except Unreadable as error:
            words = str(error.problems[0])
        self.post_message(self.Found(case, item, words))

    @on(Found)
    def _take(self, message: Found) -> None:
        self._busy = False
        self._for = message.case
        self.query_one(OutcomeRows).show(message.item, message.words)
        self.show_case()

    @property
    def settled(self) -> bool:
        """True when what is shown is the outcome of the case as it stands."""
        return not self._busy and self._for is self.worksheet.case

    def action_documents(self) -> None:
        """Hand the dossier over."""
        from appraise.report.kinds import ReportKind

        self.open_screen("documents", self.worksheet, ReportKind.LOSS)
