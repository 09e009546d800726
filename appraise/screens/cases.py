"""The cases: the case files of a folder, painted at once, their values following one by one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on, work
from textual.message import Message
from textual.widgets import Static
from textual.worker import get_current_worker

from appraise.commands import CASES, key_of
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Unreadable
from appraise.model.unsafe import error_text
from appraise.screens.base_screen import BaseScreen
from appraise.widgets.case_rows import CaseRows
from appraise.widgets.footer import Foot
from appraise.widgets.plain import piece
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from pathlib import Path

    from textual.app import ComposeResult

    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.services.candidates import View
    from appraise.services.case_folder import CaseEntry
    from appraise.services.case_session import CaseSession
    from appraise.tables.rows import Tables


class CasesScreen(BaseScreen[None]):
    """The cases at hand."""

    CSS_PATH = "cases.tcss"
    SCOPE = CASES
    AUTO_FOCUS = "#cases"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual

    @dataclass
    class Listed(Message):
        """The folder has been read."""

        entries: list[CaseEntry]
        tables: Tables
        wrong: str

    @dataclass
    class Valued(Message):
        """One case's value has been worked out."""

        path: Path
        case: Case
        valuation: Valuation

    @dataclass
    class Looked(Message):
        """The folder has been read and every case valued."""

    def __init__(self, folder: Path, tables: Tables | None = None) -> None:
        """Lay out a folder of cases.

        Args:
            folder: The folder.
            tables: The reference tables; none: our own, read when they are first needed.
        """
        super().__init__()
        self._folder, self._tables = folder, tables
        self._entries: list[CaseEntry] = []
        self._place = f"Cases · {folder.resolve().name or folder}"
        self._values: dict[Path, Valuation] = {}
        self._valued: dict[Path, Case] = {}
        self._looking = True
        self._listed = False
        self._view_of_candidates: View | None = None

    @property
    def settled(self) -> bool:
        """True when the cases are listed as they stand in the folder, each with its value."""
        return not self._looking

    @property
    def listens(self) -> bool:
        """True once the folder has been read the first time: what is typed before that is meant for its list."""
        return self._listed

    def compose(self) -> ComposeResult:
        """Title, cases, and what to do when there are none."""
        yield TitleBar("appraise", self._place)
        yield Static("Reading the folder …", id="empty", markup=False)
        yield CaseRows(id="cases")
        yield Foot()

    def on_screen_resume(self) -> None:
        """Read the folder, the first time and after a case may have been worked on."""
        self._looking = True
        # After the first paint: files and the engine's array library take longer than this screen.
        self.call_after_refresh(self.action_refresh_list)

    def action_refresh_list(self) -> None:
        """Read the folder again."""
        if self.is_current:
            self._looking = True
            self._look()

    @work(thread=True, exclusive=True, group="look")
    def _look(self) -> None:
        from appraise.services.case_folder import scan
        from appraise.services.case_session import compute

        worker = get_current_worker()
        entries, wrong, tables = [], "", self._loaded_tables()
        try:
            entries = scan(self._folder, tables)
        except OSError as error:
            wrong = f"{self._folder} cannot be read: {error_text(error)}"
        if worker.is_cancelled:
            return
        self.post_message(self.Listed(entries, tables, wrong))
        for entry in entries:
            if worker.is_cancelled or not self.is_current:
                return
            if entry.case is not None and self._valued.get(entry.path) != entry.case:
                self.post_message(self.Valued(entry.path, entry.case, compute(entry.case, tables)))
        self.post_message(self.Looked())

    def _loaded_tables(self) -> Tables:
        from appraise.tables.load import load_tables

        return self._tables or load_tables()

    @on(Listed)
    def _take_list(self, message: Listed) -> None:
        self._listed = True
        self._entries, self._tables = message.entries, message.tables
        for entry in self._entries:
            if self._valued.get(entry.path) != entry.case:
                self._values.pop(entry.path, None)
        self._show(message.wrong)

    def _show(self, wrong: str = "") -> None:
        rows = self.query_one(CaseRows)
        if self._tables is not None:
            rows.show(self._entries, self._values, self._tables)
        rows.display = bool(self._entries)
        if self._entries and self.focused is None:
            rows.focus()
        empty = self.query_one("#empty", Static)
        empty.display = not self._entries
        none = f"No case files here yet. {key_of('new-case')} starts one in {self._folder.resolve()}."
        empty.update(piece(wrong, "$text-error") if wrong else piece(none))
        count = len(self._entries)
        self.query_one(TitleBar).show("appraise", self._place, f"{count} case{'' if count == 1 else 's'}")

    @on(Valued)
    def _take_value(self, message: Valued) -> None:
        self._values[message.path] = message.valuation
        self._valued[message.path] = message.case
        if self._tables is not None:
            self.query_one(CaseRows).show(self._entries, self._values, self._tables)

    @on(Looked)
    def _all_looked_at(self) -> None:
        self._looking = False

    @on(RowList.Chosen)
    def _chosen(self) -> None:
        self.action_open_case()

    def action_open_case(self) -> None:
        """Open the case under the cursor at the first station not finished."""
        entry = self.query_one(CaseRows).current
        if entry is None:
            return
        if entry.case is None:
            problem = str(entry.problems[0]) if entry.problems else f"{entry.path.name} cannot be read"
            self.notify(problem, severity="error", timeout=8, markup=False)
            return
        self.open_case(entry.path)

    def open_case(self, path: Path) -> CaseSession | None:
        """Walk a case, as its file stands now.

        Returns:
            Its worksheet; none where it cannot be used, or where something must be decided first.
        """
        from appraise.screens.open_case import walk_into
        from appraise.services.opening import open_sheet

        try:
            opened = open_sheet(path, self._loaded_tables())
        except Unreadable as error:
            self.notify(str(error.problems[0]), severity="error", timeout=8, markup=False)
            return None
        walk_into(self.app, opened)
        asked = opened.unsaved is not None or (opened.held is not None and opened.held.doubtful)
        return None if asked else opened.worksheet

    def action_before_and_after(self) -> None:
        """Open the case under the cursor at what there is to do before a move and after it."""
        entry = self.query_one(CaseRows).current
        if entry is None or entry.case is None:
            self.action_open_case()
            return
        worksheet = self.open_case(entry.path)
        if worksheet is not None:
            self.open_screen("arrival", worksheet)

    def action_candidates(self) -> None:
        """Set the cases of the folder side by side as trade-in candidates."""
        from appraise.services.candidates import View

        self._view_of_candidates = view = self._view_of_candidates or View()
        self.open_screen("candidates", self._folder, self._loaded_tables(), view)

    def action_sales_book(self) -> None:
        """Open the book of sales."""
        self.open_screen("sales_book", self._loaded_tables())

    def action_new_case(self) -> None:
        """Ask for the identity, write the file, and open it."""

        def on_result(path: Path | None) -> None:
            if path is not None:
                self.open_case(path)

        self.open_screen("new_case", self._folder, self._loaded_tables(), then=on_result)
