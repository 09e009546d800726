"""Why the next large job comes when it does, and how long the instrument has an economic life."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.engine.economic_life import economic_life

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.explain.nodes import Context
    from appraise.model.reason import Reason
    from appraise.model.result import EconomicLife


def life_nodes(context: Context) -> Iterator[Reason]:
    """Return what is due now, the next large job after that, and the remaining economic life, as far as there are."""
    yield from _due(context)
    yield from _next(context)
    yield from _economic(context)


def _due(context: Context) -> Iterator[Reason]:
    say, due = context.say, context.valuation.due
    if not due:
        return
    yield context.figure(
        "due",
        say("Parts due now"),
        len(due),
        "",
        say("counted: at or past the grade from which a part is due"),
        context.refer(*(context.tables.components[part.component] for part in due)),
    )


def _next(context: Context) -> Iterator[Reason]:
    say, small = context.say, context.manner.small
    coming = context.valuation.next_intervention
    if coming is None:
        return
    how = say(
        "competing risks of every part whose renewal is a large job and that is not due already; most likely {part}",
        part=small(coming.label),
    )
    chance = context.figure(
        "next_intervention.probability",
        say("Probability that it is {part}", part=small(coming.label)),
        coming.probability,
        "%",
        say("its hazard against the joint survival, integrated"),
    )
    yield context.spread(
        "next_intervention",
        say("Time to the next large job"),
        coming.years,
        "years",
        how,
        context.setting("large_job_share", "due_lead"),
        (chance,),
        outer=say("10% and 90% quantile"),
    )


def _economic(context: Context) -> Iterator[Reason]:
    say, tables = context.say, context.tables
    result = economic_life(context.case, tables, context.valuation.seed)
    if result is None:
        return
    parts = [
        context.figure(
            "economic_life.by_value",
            say("Probability that disposal ends it"),
            result.by_value,
            "%",
            say("share of the draws in which salvage less removal comes to bring as much as the best course"),
        ),
        context.figure(
            "economic_life.by_work",
            say("Probability that work ends it"),
            result.by_work,
            "%",
            say(
                "share of the draws in which work that playing needs comes to cost more than the sound instrument is "
                "worth"
            )
            if not result.part
            else say(
                "share of the draws in which work that playing needs comes to cost more than the sound instrument is "
                "worth; most often {part}",
                part=context.manner.small(result.part_label),
            ),
        ),
    ]
    node = context.spread(
        "economic_life",
        say("Remaining economic life"),
        result.years,
        "years",
        say(
            "years until the best course brings no more than disposal, or until work that playing needs costs more "
            "than the sound instrument is worth; ages, grades and the market projected"
        ),
        (
            *context.refer(tables.bases[result.basis]),
            *context.setting("unplayable_below", "renewal_market_share"),
        ),
        parts,
    )
    edges = tuple(_open(context, part, result) for part in node.parts)
    yield replace(_open(context, node, result), parts=edges)


def _open(context: Context, node: Reason, life: EconomicLife) -> Reason:
    """Say "or more" of a figure at the end of the projection."""
    if node.unit != "years" or not isinstance(node.value, float) or node.value < life.longest:
        return node
    return replace(node, shown=context.say("{years} or more", years=node.shown))
