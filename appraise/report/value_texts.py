"""The value in a few lines: courses, level of the market and its standing, taking, option, the three lists of work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.market import factor_rows
from appraise.engine.work import groups
from appraise.explain.terms import missing_rate
from appraise.model.message import message
from appraise.model.result import WorkList
from appraise.report.words import job_label, literal, said
from appraise.tables.rows import Standing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Case
    from appraise.model.locale_format import Formatter
    from appraise.model.result import Outlying, Valuation, WorkItem
    from appraise.tables.rows import Tables

COURSES = {
    "left_alone": message("As is"),
    "after_work": message("After work, less its cost"),
    "salvage": message("Disposal: parts less removal"),
}
"""Label of each course; keys are figures and the words of `Valuation.best`."""

LISTS = {
    WorkList.NEEDED: message("Needed now"),
    WorkList.PAYS: message("Pays for itself"),
    WorkList.PLAYER: message("For the player, not for the price"),
}
"""Headings of the three lists of work."""

_WERE_IT_KEPT = {
    WorkList.NEEDED: message("Would need, were it kept"),
    WorkList.PAYS: message("Would pay for itself, were it kept"),
}
"""Of the lists where disposal sets the value; what a player would gain is not told then."""

LOCAL_CODES = message("Local codes and licensed practice come first.")
"""The last words of every document and of every page at the terminal."""

_NOTICED = 1.0
"""An option below this share of the rounding step is not told apart [–]."""


def disposed(valuation: Valuation) -> bool:
    """Tell whether disposal sets the value, so that no work is advised."""
    return valuation.value is not None and valuation.best == "salvage"


def no_ready_market(tables: Tables, valuation: Valuation) -> bool:
    """Tell whether the value is a cost, or less than taking the instrument away would cost."""
    basis = tables.bases[valuation.basis]
    weighed = basis.work_weighed and basis.method != "replacement"
    if not weighed or valuation.value is None or valuation.salvage is None:
        return False
    return (valuation.salvage.mid < 0.0) if disposed(valuation) else valuation.value.mid < -valuation.salvage.mid


def counts_on_choice(tables: Tables, valuation: Valuation) -> bool:
    """Tell whether the choice of the course, kept open, shows in the best estimate."""
    weighed = valuation.value is not None and tables.bases[valuation.basis].work_weighed
    return weighed and valuation.option >= _NOTICED * valuation.step


def work_lists(valuation: Valuation) -> dict[WorkList, tuple[WorkItem, ...]]:
    """Return the lists of work to tell, in their order: where disposal sets the value, none for the player."""
    result = groups(valuation.work)
    return {group: items for group, items in result.items() if group in _WERE_IT_KEPT or not disposed(valuation)}


def list_title(valuation: Valuation, group: WorkList) -> str:
    """Return the heading of a list as a message: what is needed, or what would be, were the instrument kept."""
    return _WERE_IT_KEPT.get(group, LISTS[group]) if disposed(valuation) else LISTS[group]


def job_count(valuation: Valuation) -> int:
    """Count the jobs that are needed now or pay for themselves, steps that serve others among them: a line each."""
    return sum(item.group is not WorkList.PLAYER for item in valuation.work)


def exposure_text(tables: Tables, valuation: Valuation, manner: Formatter) -> str:
    """Say what time on the market the value supposes; empty where the definition alone says it."""
    if no_ready_market(tables, valuation):
        return manner.say("none, as no ready market is expected")
    if disposed(valuation):
        return manner.say("none, as the value is that of its parts")
    return manner.small(literal(tables.bases[valuation.basis].exposure))


def market_standing(case: Case, tables: Tables, valuation: Valuation) -> Standing | None:
    """Return how far the tables' level of the market can be relied on: the weakest of its rows.

    Returns:
        None where no row of the market factors bears on the value: comparables do, or the basis looks at no market.
    """
    if valuation.market_factor_from != "table":
        return None
    order = list(Standing)
    return max((row.standing for row in factor_rows(case, tables)), key=order.index, default=None)


def market_level_text(case: Case, tables: Tables, valuation: Valuation, manner: Formatter) -> str:
    """Say what the level of the market rests on; empty where the basis looks at no market."""
    if valuation.market_factor_from == "comparables":
        count = len(valuation.grid)
        return manner.several(
            "Market level from {count} comparable sale.",
            "Market level from {count} comparable sales.",
            count,
            count=count,
        )
    standing = market_standing(case, tables, valuation)
    if standing is None:
        return ""
    if all(row.yours for row in factor_rows(case, tables)):
        return manner.say("Market level from the appraiser’s own table.")
    said = manner.say(standing.value)
    if standing in (Standing.FROM_MEMORY, Standing.OUR_ASSUMPTION):
        return manner.say(
            "Market level from the tables ({standing}); two comparable sales would weigh more.", standing=said
        )
    return manner.say("Market level from the tables ({standing}).", standing=said)


def first_costs_text(tables: Tables, valuation: Valuation, manner: Formatter) -> str:
    """Say what it costs to take the instrument, whatever its condition; empty where nothing comes off for it."""
    if round(valuation.taking) <= 0 or disposed(valuation):
        return ""
    cost = manner.money(valuation.taking, valuation.currency)
    if tables.bases[valuation.basis].method == "residual":
        return manner.say(
            "Before the resale a dealer pays about {cost} whatever the condition, already deducted.", cost=cost
        )
    return manner.say("A buyer pays about {cost} for carriage and the first tunings, already deducted.", cost=cost)


def option_text(valuation: Valuation, manner: Formatter) -> str:
    """Say what the open choice of the course adds; empty where that is not worth a rounding step."""
    if valuation.value is None or valuation.option < _NOTICED * valuation.step:
        return ""
    amount = manner.money(valuation.option, valuation.currency)
    return manner.say(
        "The best estimate includes about {amount} for the choice kept open: the course is chosen once the piano is "
        "opened.",
        amount=amount,
    )


def suspected_sentences(valuation: Valuation, manner: Formatter) -> list[str]:
    """Say of each suspected fault what the value is without it and with it; the best estimate lies between."""
    return [
        manner.say(
            "{fault}, suspected, {chance} likely: best estimate {without} without it, {counted} with it.",
            fault=literal(manner.say(one.label)),
            chance=manner.percent(one.chance),
            without=manner.money(one.without, valuation.currency),
            counted=manner.money(one.counted, valuation.currency),
        )
        for one in valuation.suspected
    ]


def market_sentences(case: Case, tables: Tables, valuation: Valuation, manner: Formatter) -> list[str]:
    """Return what a reader must know of a value in money, a sentence each: market, exposure, taking, option, doubts.

    Returns:
        Nothing without a value in money.
    """
    if valuation.value is None:
        return []
    exposure = exposure_text(tables, valuation, manner)
    lines = (
        literal(tables.bases[valuation.basis].market_level),
        manner.say("Exposure time: {time}.", time=exposure.rstrip(".")) if exposure else "",
        market_level_text(case, tables, valuation, manner),
        first_costs_text(tables, valuation, manner),
        option_text(valuation, manner) if counts_on_choice(tables, valuation) else "",
        *suspected_sentences(valuation, manner),
    )
    return [text for text in lines if text]


def nothing_inspected(valuation: Valuation) -> bool:
    """Tell whether nobody inspected any part."""
    return all(station.inspected <= 0 for station in valuation.stations)


def why_none_needed(valuation: Valuation) -> tuple[str, tuple[str, ...]]:
    """Return why no work is needed now, as a message, and the labels of the parts that it names.

    Returns:
        Nobody looked; the tables have no job for what is due; or nothing needs any.
    """
    if nothing_inspected(valuation):
        return message("Nothing was inspected, so no work can be proposed: inspect first."), ()
    due = tuple(part.label for part in valuation.due if part.inspected)
    if due:
        return message("The tables have no job for these parts due now: {parts}."), due
    return message("Nothing that was inspected needs work now."), ()


def none_needed(valuation: Valuation, manner: Formatter) -> str:
    """Say why no work is needed now."""
    text, parts = why_none_needed(valuation)
    return manner.say(text, parts=manner.listed(manner.small(said(manner, part)) for part in parts))


def no_work_text(case: Case, valuation: Valuation, manner: Formatter) -> str:
    """Say why no work is listed; empty where there is some."""
    if valuation.work:
        return ""
    if not case.costs.reckoned:
        return manner.say("No work was costed: {why}.", why=missing_rate(case, manner))
    return none_needed(valuation, manner)


def job_text(item: WorkItem, manner: Formatter) -> str:
    """Return the label of a job with its number of pieces, and whether somebody can get hurt until it is done."""
    label = said(manner, job_label(item.label))
    if item.pieces > 1:
        label = manner.say("{job} × {count}", job=label, count=manner.whole(item.pieces))
    return manner.say("{job} (safety)", job=label) if item.safety else label


def total(items: Sequence[WorkItem]) -> float:
    """Return what a list of work costs together [money], the mean over the draws."""
    return sum(item.cost.mid for item in items)


def outlying_text(one: Outlying, manner: Formatter) -> str:
    """Say in a line how a sale contradicts the others, or the tables."""
    values = {"times": manner.percent(one.times), "score": manner.decimal(one.score, 1)}
    if one.against == "tables":
        return manner.say("Stands out: {times} of the level that the tables show (z score {score}).", **values)
    return manner.say("Stands out: {times} of the level that the other sales show (z score {score}).", **values)
