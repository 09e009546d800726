"""The result: what it is worth and why, the three lists of work, what was not inspected."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from appraise.commands import RESULT, bindings
from appraise.screens.figures import FiguresScreen
from appraise.widgets.result_rows import ResultRows

if TYPE_CHECKING:
    from textual.binding import BindingType


class ResultScreen(FiguresScreen):
    """One list of figures and sentences; “why?” works on each."""

    PLACE = "Result"
    CSS_PATH = "result.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(RESULT)]
    AUTO_FOCUS = "#result"

    def list_of_figures(self) -> ResultRows:
        """Make the rows of the result."""
        return ResultRows(id="result")

    def show_case(self) -> None:
        """Work out and show the result as the case stands now."""
        from appraise.report.cautions import applicable
        from appraise.report.rationale import rationale

        sheet = self.worksheet
        self.show_title()
        sentences = rationale(sheet.case, sheet.tables, sheet.valuation, sheet.reasons)
        cautions = [row.text for row in applicable(sheet.case, sheet.tables, sheet.valuation)]
        known = frozenset(node.figure for node in sheet.reasons.walk())
        self.query_one(ResultRows).show(sheet.case, sheet.tables, sheet.valuation, sentences, cautions, known)

    def action_charts(self) -> None:
        """Open the charts."""
        from appraise.screens.charts import ChartsScreen

        self.app.push_screen(ChartsScreen(self.worksheet))

    def action_sales_book(self) -> None:
        """Open the book of sales."""
        from appraise.screens.sales_book import SalesBookScreen

        self.app.push_screen(SalesBookScreen(self.worksheet.tables))
