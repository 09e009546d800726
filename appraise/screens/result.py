"""The result: what it is worth and why, the three lists of work, what was not inspected."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual import work

from appraise.commands import RESULT
from appraise.model.problem import InputError, Unreadable
from appraise.screens.figures import FiguresScreen
from appraise.screens.form import FormLine, FormScreen
from appraise.widgets.result_rows import ResultRows

if TYPE_CHECKING:
    from datetime import date


class ResultScreen(FiguresScreen):
    """One list of figures and sentences; “why?” works on each."""

    PLACE = "Result"
    CSS_PATH = "result.tcss"
    SCOPE = RESULT
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
        self.open_screen("charts", self.worksheet)

    def action_sales_book(self) -> None:
        """Open the book of sales."""
        self.open_screen("sales_book", self.worksheet.tables)

    def action_sold(self) -> None:
        """Ask what the instrument was sold for, and write it into the sales book with the valuation."""
        from appraise.services import candidates as said
        from appraise.services.sales import day_sold, price_sold

        sheet = self.worksheet
        if sheet.dirty:
            self.say("Save the case first (F2): the sale names the case file as it is", wrong=True)
            return
        retail = sheet.tables.bases["retail"].label
        asked = (
            FormLine("price", f"Sold for [{sheet.case.assignment.currency}]", "", "such as 11500", price_sold),
            FormLine("day", "On", "", "a day such as 2026-11-25", day_sold),
            FormLine("sale", "Kind of sale", retail, "", said.resale(sheet.tables)),
        )

        def take(found: dict[str, Any]) -> None:
            self._write_sale(found["price"], found["day"], found["sale"])

        note = "It goes into your sales book with the valuation of this case, and stays there."
        self.ask(FormScreen("Sold", asked, note), take)

    @work(thread=True, group="sold")
    def _write_sale(self, price: float, day: date, sale: str) -> None:
        from appraise.services.sales import write_outcome

        try:
            words, wrong = write_outcome(self.worksheet.path, self.worksheet.tables, price, day, sale), False
        except Unreadable as error:
            words, wrong = str(error.problems[0]), True
        except (InputError, RuntimeError, OSError) as refused:
            words, wrong = str(refused), True
        self.app.call_from_thread(self.say, words, wrong=wrong)
