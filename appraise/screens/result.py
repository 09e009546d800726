"""The result: what it is worth and why, what work is worth doing, what nobody looked at."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.widgets import Footer

from appraise.commands import RESULT, bindings
from appraise.screens.case_screen import CaseScreen
from appraise.widgets.result_rows import ResultRows
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.binding import BindingType


class ResultScreen(CaseScreen):
    """One list of figures and sentences; “why?” works on each."""

    PLACE = "Result"
    CSS_PATH = "result.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(RESULT)]
    AUTO_FOCUS = "#result"

    def compose(self) -> ComposeResult:
        """The rows."""
        yield TitleBar()
        yield ResultRows(id="result")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Show the result."""
        self.show_case()

    def show_case(self) -> None:
        """Work out and show the result as the case stands now."""
        from appraise.report.cautions import applicable
        from appraise.report.rationale import rationale

        sheet = self.worksheet
        self.show_title()
        sentences = rationale(sheet.case, sheet.tables, sheet.valuation, sheet.reasons)
        cautions = [row.text for row in applicable(sheet.case, sheet.tables, sheet.valuation)]
        self.query_one(ResultRows).show(sheet.case, sheet.tables, sheet.valuation, sentences, cautions)

    @on(RowList.Chosen)
    def _chosen(self) -> None:
        self.action_why_figure()

    def action_charts(self) -> None:
        """Open the charts."""
        from appraise.screens.charts import ChartsScreen

        self.app.push_screen(ChartsScreen(self.worksheet))

    def action_why_figure(self) -> None:
        """Say what the figure under the cursor rests on."""
        figure = self.query_one(ResultRows).figure
        self.open_why((figure, "value") if figure is not None else ("value",))
