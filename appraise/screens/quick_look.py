"""The quick look: one grade a part in some thirty keys, preliminary until the walk has checked it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on

from appraise.commands import LOOK
from appraise.screens.revaluing import RevaluingScreen
from appraise.services.quick_look import look_rows, open_parts
from appraise.widgets.footer import Foot
from appraise.widgets.look_rows import DONE, LookRows
from appraise.widgets.title_bar import TitleBar
from appraise.widgets.value_band import ValueBand

if TYPE_CHECKING:
    from textual.app import ComposeResult


class QuickLookScreen(RevaluingScreen):
    """Every part on one list, the range above."""

    PLACE = "Quick look"
    CSS_PATH = "quick_look.tcss"
    SCOPE = LOOK
    AUTO_FOCUS = "#look"

    def compose(self) -> ComposeResult:
        """The range and the parts."""
        yield TitleBar()
        yield ValueBand(id="band")
        yield LookRows(id="look")
        yield Foot()

    def on_mount(self) -> None:
        """Begin at the first part without a grade."""
        sheet = self.worksheet
        rows = look_rows(sheet.case, sheet.tables)
        first = next((row.key for row in rows if row.component and row.grade is None and not row.closed), DONE)
        self.query_one(LookRows).show(rows, keep=first)
        self.show_case()

    def show_case(self) -> None:
        """Show what was just written at once; the range follows when it has been worked out."""
        sheet = self.worksheet
        self.show_title()
        self.query_one(LookRows).show(look_rows(sheet.case, sheet.tables))
        valuation = sheet.known_valuation
        if valuation is None:
            self.revalue()
        else:
            row = self.query_one(LookRows).current
            self.show_range(valuation, "" if row is None else row.station)

    @on(LookRows.Graded)
    def _graded(self, message: LookRows.Graded) -> None:
        sheet, row = self.worksheet, message.row
        parts = [row.key] if row.component else open_parts(sheet.case, sheet.tables, row.station)
        if not parts:
            self.say(f"{row.label}: every part of it has been checked")
        sheet.look(dict.fromkeys(parts, message.grade), joins=message.joins)
        self.show_case()
        if message.grade is not None and not message.joins:
            self.query_one(LookRows).go_on(row)

    @on(LookRows.NotTaken)
    def _not_taken(self, message: LookRows.NotTaken) -> None:
        self.say(f"{message.typed} is not a grade: 1 as new, 2 sound, 3 simple repair, 4 major repair, 5 worn out")

    def action_next_part(self) -> None:
        """Leave the part without a grade and go on."""
        self.query_one(LookRows).action_move(1)

    def action_result(self) -> None:
        """Open the result."""
        self.open_screen("result", self.worksheet)
