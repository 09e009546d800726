"""The result: what it is worth and why, the three lists of work, what was not inspected."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from appraise.commands import RESULT, told
from appraise.screens.figures import FiguresScreen
from appraise.screens.form import FormLine, FormScreen
from appraise.widgets.result_rows import ResultRows

if TYPE_CHECKING:
    from appraise.model.case import Outcome


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
        """Ask what the instrument was sold for; it becomes the outcome of the case and goes into the sales book."""
        from appraise.services import candidates as said
        from appraise.services.sales import day_sold, price_sold

        sheet = self.worksheet
        if sheet.dirty:
            self.say(told("Save the case first ({save}): the sale names the case file as it is"), wrong=True)
            return
        was, currency = sheet.case.outcome, sheet.case.assignment.currency
        kind = sheet.tables.bases[was.sale or "retail"].label
        known = "" if was.sold is None else f"{was.sold:f}"
        asked = (
            FormLine("price", f"Sold for [{currency}]", known, "such as 11500", price_sold),
            FormLine("day", "On", "" if was.day is None else str(was.day), "a day such as 2026-11-25", day_sold),
            FormLine("sale", "Kind of sale", kind, "", said.resale(sheet.tables)),
            FormLine("verified", "Evidence of the price", was.verified, "receipt, bank entry, word of the buyer", str),
        )

        def on_result(values: dict[str, Any]) -> None:
            result = replace(
                was,
                sold=Decimal(str(round(values["price"], 2))),
                day=values["day"],
                sale=values["sale"],
                verified=values["verified"],
            )
            self._take_outcome(result)

        note = (
            "The sale is kept in the case as its outcome, and goes into your sales book with the valuation of the case."
        )
        self.ask(FormScreen("Sold", asked, note), on_result)

    def _take_outcome(self, outcome: Outcome) -> None:
        sheet = self.worksheet
        sheet.outcome_told = outcome
        sheet.put(("outcome",), outcome, "outcome")
        if sheet.case.outcome == outcome and (not sheet.dirty or self.save_now()):
            self.write_sale()
