"""Screen of missing entries before a case is handed over; Enter goes to the row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual import on
from textual.content import Content

from appraise.commands import MISSING
from appraise.screens.case_screen import CaseScreen
from appraise.services.hand_over import missing
from appraise.widgets.footer import Foot
from appraise.widgets.plain import fit, plain, wrapped
from appraise.widgets.row_list import Row, RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.app import ComposeResult

    from appraise.services.case_session import CaseSession
    from appraise.services.hand_over import Missing

_NONE = "Nothing is missing: every first check is made, what a report needs is stated, each defect has its photo."


class MissingRows(RowList):
    """List of missing entries, with a heading for each kind."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._missing: Sequence[Missing] = ()

    def show(self, found: Sequence[Missing]) -> None:
        """Show these."""
        self._missing = found
        self.rebuild()

    @property
    def current(self) -> Missing | None:
        """Return the entry under the cursor."""
        return next((one for at, one in enumerate(self._missing) if _key(at, one) == self.key), None)

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        if not self._missing:
            return [Row("none", [Content.styled(fit(_NONE, width - 1), "$text-success")], stop=False)]
        rows: list[Row] = []
        lack, room = None, min(max(cell_len(plain(one.where)) for one in self._missing), width // 3)
        for at, one in enumerate(self._missing):
            if one.lack != lack:
                lack = one.lack
                rows.append(Row(f"heading.{at}", [Content.styled(lack.capitalize(), "bold $secondary")], stop=False))
            where = fit(one.where, room)
            first, *more = wrapped(one.what, max(8, width - room - 8), "$foreground")
            gap = " " * max(0, width - room - 8 - first.cell_length)
            line = Content.assemble(("  ○ ", "$text-warning"), first, f"{gap}  ", (where, "$quiet"))
            rows.append(Row(_key(at, one), [line, *(Content.assemble("    ", each) for each in more)]))
        return rows

    def opens(self, key: str, x: int) -> bool:
        """One click goes there."""
        return True


def _key(at: int, one: Missing) -> str:
    return f"{at}.{one.row}"


class MissingScreen(CaseScreen):
    """The list of a case."""

    PLACE = "What is missing"
    CSS_PATH = "missing.tcss"
    SCOPE = MISSING
    AUTO_FOCUS = "#missing"

    def __init__(self, worksheet: CaseSession, go: Callable[[str, str], None]) -> None:
        """Make the list.

        Args:
            worksheet: The case.
            go: Goes to a station, and there to a check, on the walk below.
        """
        super().__init__(worksheet)
        self._go = go

    def compose(self) -> ComposeResult:
        """The rows."""
        yield TitleBar()
        yield MissingRows(id="missing")
        yield Foot()

    def on_mount(self) -> None:
        """Show the rows."""
        self.show_case()

    def show_case(self) -> None:
        """Show what is missing of the case as it stands."""
        sheet = self.worksheet
        self.show_title()
        self.query_one(MissingRows).show(missing(sheet.case, sheet.tables, sheet.path.parent))

    @on(RowList.Chosen)
    def _chosen(self) -> None:
        self.action_go_there()

    def action_go_there(self) -> None:
        """Go to the row where what is under the cursor is entered."""
        one = self.query_one(MissingRows).current
        if one is None:
            return
        if one.station:
            self.dismiss(None)
            self._go(one.station, one.row)
            return
        self.open_screen("particulars", self.worksheet, one.row)
