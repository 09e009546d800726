"""The charts of a case, drawn with letters: the range, what drives it, what was lost, what may last, the readings."""

from __future__ import annotations

from appraise.commands import CHARTS
from appraise.screens.figures import FiguresScreen
from appraise.widgets.chart_rows import ChartRows


class ChartsScreen(FiguresScreen):
    """One list of charts; “why?” works on each line that shows a figure."""

    PLACE = "Charts"
    CSS_PATH = "charts.tcss"
    SCOPE = CHARTS
    AUTO_FOCUS = "#charts"

    def list_of_figures(self) -> ChartRows:
        """Make the list of charts."""
        return ChartRows(id="charts")

    def show_case(self) -> None:
        """Draw the charts of the case as it stands now."""
        from appraise.report.appraisal import assembled
        from appraise.report.charts import build

        sheet = self.worksheet
        self.show_title()
        item = assembled(sheet.case, sheet.tables, sheet.valuation, sheet.reasons)
        self.query_one(ChartRows).show(build.drawings(item))

    def action_chart_before(self) -> None:
        """Go to the chart before."""
        self.query_one(ChartRows).go_chart(-1)

    def action_chart_after(self) -> None:
        """Go to the chart after."""
        self.query_one(ChartRows).go_chart(1)
