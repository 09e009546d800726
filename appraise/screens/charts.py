"""The charts of a case, drawn with letters: the range, what drives it, what was lost, what may last, the readings."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.widgets import Footer

from appraise.commands import CHARTS, bindings
from appraise.screens.case_screen import CaseScreen
from appraise.widgets.chart_rows import ChartRows
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.binding import BindingType


class ChartsScreen(CaseScreen):
    """One list of charts; “why?” works on each line that shows a figure."""

    PLACE = "Charts"
    CSS_PATH = "charts.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(CHARTS)]
    AUTO_FOCUS = "#charts"

    def compose(self) -> ComposeResult:
        """The charts."""
        yield TitleBar()
        yield ChartRows(id="charts")
        yield Footer(show_command_palette=False, compact=True)

    def on_mount(self) -> None:
        """Show the charts."""
        self.show_case()

    def show_case(self) -> None:
        """Draw the charts of the case as it stands now."""
        from appraise.report.appraisal import assembled
        from appraise.report.charts import build

        sheet = self.worksheet
        self.show_title()
        item = assembled(sheet.case, sheet.tables, sheet.valuation, sheet.reasons)
        self.query_one(ChartRows).show(build.drawings(item))

    @on(RowList.Chosen)
    def _chosen(self) -> None:
        self.action_why_figure()

    def action_why_figure(self) -> None:
        """Say what the figure under the cursor rests on."""
        figure = self.query_one(ChartRows).figure
        self.open_why((figure, "value") if figure is not None else ("value",))

    def action_chart_before(self) -> None:
        """Go to the chart before."""
        self.query_one(ChartRows).go_chart(-1)

    def action_chart_after(self) -> None:
        """Go to the chart after."""
        self.query_one(ChartRows).go_chart(1)
