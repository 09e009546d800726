"""The repair as a bill, in rows of cells that a reader with a calculator can follow to each sum."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.loss.itemised import bill
from appraise.model.currency import minor_digits
from appraise.model.message import message
from appraise.report.document import Column, Table
from appraise.report.loss.compared import NOT_KNOWN
from appraise.report.words import literal

if TYPE_CHECKING:
    from decimal import Decimal

    from appraise.engine.loss.itemised import Bill
    from appraise.model.loss import Scenario
    from appraise.model.result import Range
    from appraise.report.loss.compared import Compared

OVERHEAD = message("Overhead")
BILL = (
    message("Job"),
    message("Hours"),
    message("Labour"),
    message("Parts, %"),
    message("Parts"),
    OVERHEAD,
    message("Contingency"),
    message("Cost"),
    message("Low to high"),
    message("Worn, %"),
    message("Betterment"),
)
FIGURES = BILL[1:]
"""Headings of columns of figures."""


def billed(item: Compared, scenario: Scenario) -> Bill | None:
    """Return the bill of a scenario; none without a labour rate or without a job."""
    result = bill(scenario, item.after.case, item.tables, minor_digits(item.loss.currency))
    return result if result is not None and result.lines else None


def bill_note(item: Compared, priced: Bill) -> str:
    """Return how each column follows from the ones before it, in sentences."""
    manner, currency = item.manner, item.loss.currency
    return manner.say(
        "At the typical figures, in {currency}. Labour: hours × {rate}. Parts: hours × {parts_rate} × their share. "
        "Overhead: {overhead} of labour and parts. Contingency: {contingency} of labour, parts and overhead. Cost: "
        "the four together, or the quotation’s share for a job that one prices. Betterment: cost × depreciation of "
        "the replaced part. Each amount is rounded by itself. The measures use the medians of the draws, which come "
        "near these sums.",
        currency=currency,
        rate=manner.exact_money(float(priced.rate), currency),
        parts_rate=manner.exact_money(float(priced.parts_rate), currency),
        overhead=manner.percentage(float(priced.overhead_pct), 1),
        contingency=manner.percentage(float(priced.contingency_pct), 1),
    )


def bill_table(item: Compared, priced: Bill, above: Bill | None = None) -> Table:
    """Return a bill as a table, without a column for an overhead that is not taken."""
    columns = [Column(item.manner.say(heading), numeric=heading in FIGURES) for heading in BILL]
    kept = [at for at in range(len(BILL)) if BILL[at] is not OVERHEAD or priced.overhead_pct]
    rows = bill_rows(item, priced, above)
    return Table(tuple(columns[at] for at in kept), tuple(tuple(row[at] for at in kept) for row in rows))


def bill_rows(item: Compared, priced: Bill, above: Bill | None = None) -> tuple[tuple[str, ...], ...]:
    """Return the lines of a bill, their sums, and the cost less betterment.

    Args:
        item: The comparison.
        priced: The bill.
        above: One that the reader has seen already; its lines are only summed.
    """
    say, digits = item.manner.say, minor_digits(item.loss.currency)

    def cell(figure: Decimal | int | None, places: int) -> str:
        return NOT_KNOWN if figure is None else item.manner.decimal(float(figure), places, places)

    rows = []
    known = [line for line in priced.lines if above is not None and line in above.lines]
    for line in priced.lines:
        if line in known:
            continue
        label = literal(line.job.label)
        rows.append(
            (
                label if line.hours is not None else say("{job}, by quotation", job=label),
                cell(line.hours, 2),
                cell(line.labour, digits),
                cell(line.parts_pct, 1),
                *(cell(each, digits) for each in (line.parts, line.overhead, line.contingency, line.cost)),
                _span(item, line.job.cost),
                cell(line.worn_pct, 1),
                cell(line.betterment, digits),
            )
        )
    blank = ("",) * 6
    if known:
        cost, worn = sum(line.cost for line in known), sum(line.betterment for line in known)
        rows.insert(0, (say("The lines above that stay"), *blank, cell(cost, digits), "", "", cell(worn, digits)))
    rows.append((say("Together"), *blank, cell(priced.cost, digits), "", "", cell(priced.betterment, digits)))
    rows.append((say("Cost less betterment"), *blank, cell(priced.net, digits), "", "", ""))
    return tuple(rows)


def _span(item: Compared, cost: Range) -> str:
    manner = item.manner
    if cost.low == cost.high:
        return NOT_KNOWN
    return manner.say("{low} to {high}", low=manner.about(cost.low), high=manner.about(cost.high))
