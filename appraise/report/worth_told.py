"""The value in a few lines: courses, level of the market and its standing, taking, option, the three lists of work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.market import factor_rows
from appraise.engine.missing import missing_rate
from appraise.model.message import message
from appraise.model.result import WorkList
from appraise.report.words import literal
from appraise.tables.rows import Standing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Case
    from appraise.model.manner import Manner
    from appraise.model.result import Valuation, WorkItem
    from appraise.tables.rows import Tables

COURSES = {
    "left_alone": message("As is"),
    "after_work": message("After work, its cost taken off"),
    "salvage": message("Disposal: parts less removal"),
}
"""What a person reads for each course; the keys are the figures and the words of `Valuation.best`."""

LISTS = {
    WorkList.NEEDED: message("Needed now"),
    WorkList.PAYS: message("Pays for itself"),
    WorkList.PLAYER: message("For the player, not for the price"),
}
"""Headings of the three lists of work."""

_NOTICED = 0.5
"""An option below this share of the rounding step is not told [–]."""


def market_standing(case: Case, tables: Tables, valuation: Valuation) -> Standing | None:
    """Return how far the tables' level of the market can be relied on: the weakest of its rows.

    Returns:
        None where no row of the market factors bears on the value: comparables do, or the basis looks at no market.
    """
    if valuation.market_factor_from != "table":
        return None
    order = list(Standing)
    return max((row.standing for row in factor_rows(case, tables)), key=order.index, default=None)


def level_told(case: Case, tables: Tables, valuation: Valuation, manner: Manner) -> str:
    """Say what the level of the market rests on; empty where the basis looks at no market."""
    if valuation.market_factor_from == "comparables":
        count = len(valuation.grid)
        return manner.several(
            "Market level: {count} comparable sale.", "Market level: {count} comparable sales.", count, count=count
        )
    standing = market_standing(case, tables, valuation)
    if standing is None:
        return ""
    if all(row.yours for row in factor_rows(case, tables)):
        return manner.say("Market level: your own table.")
    said = manner.say(standing.value)
    if standing in (Standing.FROM_MEMORY, Standing.OUR_ASSUMPTION):
        return manner.say("Market level: {standing}; two sales of your own would weigh more.", standing=said)
    return manner.say("Market level: {standing}.", standing=said)


def taking_told(tables: Tables, valuation: Valuation, manner: Manner) -> str:
    """Say what it costs to take the instrument, whatever its condition; empty where the price includes it all."""
    if round(valuation.taking) <= 0:
        return ""
    cost = manner.money(valuation.taking, valuation.currency)
    if tables.bases[valuation.basis].method == "residual":
        return manner.say(
            "Before the resale a dealer pays about {cost} whatever the condition, already taken off.", cost=cost
        )
    return manner.say("A buyer pays about {cost} for carriage and the first tunings, already taken off.", cost=cost)


def option_told(valuation: Valuation, manner: Manner) -> str:
    """Say what opening the instrument could add; empty where that is not worth a rounding step."""
    if valuation.value is None or valuation.option < _NOTICED * valuation.step:
        return ""
    most = manner.money(valuation.option, valuation.currency)
    return manner.say("Opening it could add up to about {amount}, counted in the value.", amount=most)


def market_told(case: Case, tables: Tables, valuation: Valuation, manner: Manner) -> list[str]:
    """Return what a reader must know of a value in money, a sentence each: market, exposure, taking, option.

    Returns:
        Nothing without a value in money.
    """
    if valuation.value is None:
        return []
    basis = tables.bases[valuation.basis]
    exposure = manner.say("Exposure time: {time}", time=manner.small(literal(basis.exposure))) if basis.exposure else ""
    told = (
        literal(basis.market_level),
        exposure,
        level_told(case, tables, valuation, manner),
        taking_told(tables, valuation, manner),
        option_told(valuation, manner),
    )
    return [text for text in told if text]


def no_work_told(case: Case, valuation: Valuation, manner: Manner) -> str:
    """Say why no work is listed; empty where there is some."""
    if valuation.work:
        return ""
    if not case.costs.reckoned:
        return manner.say("No work is listed: {why}.", why=missing_rate(case, manner))
    return manner.say("Nothing that was inspected needs work.")


def job_told(item: WorkItem, manner: Manner) -> str:
    """Return the label of a job with its number of pieces, and whether somebody can get hurt until it is done."""
    label = literal(manner.say(item.label))
    if item.pieces > 1:
        label = manner.say("{job} × {count}", job=label, count=manner.whole(item.pieces))
    return manner.say("{job} (safety)", job=label) if item.safety else label


def total(items: Sequence[WorkItem]) -> float:
    """Return what a list of work costs together [money], the mean over the draws."""
    return sum(item.cost.mid for item in items)
