"""The whole tree, from the value down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.approaches import (
    approach_nodes,
    central_share_of_new,
    disagreement_nodes,
)
from appraise.explain.condition import station_node
from appraise.explain.courses import course_nodes
from appraise.explain.lives import life_nodes
from appraise.explain.measurements import drying_nodes, pitch_nodes
from appraise.explain.nodes import HIGH, LOW, Context
from appraise.explain.taking import taking_nodes
from appraise.explain.terms import missing_cost
from appraise.explain.worth import guidance_nodes
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.message import message
from appraise.model.reason import Reason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.tables.rows import Tables

_BEST = {
    "left_alone": message("as is"),
    "after_work": message("after work"),
    "salvage": message("disposal"),
}


def reason_tree(case: Case, tables: Tables, valuation: Valuation, manner: Formatter = PLAIN) -> Reason:
    """Return why the value is what it is.

    Args:
        case: The case valued.
        tables: The tables it was valued with.
        valuation: The engine's answer.
        manner: How the reader gets figures and words.

    Returns:
        The node `value` with everything below it; without a replacement cost new its value is none and its parts
        hold what can be said of the condition.
    """
    context = Context(case, tables, valuation, manner)
    say = context.say
    condition = _condition(context)
    tail = [
        _validity(context),
        *life_nodes(context),
        *_laws(context),
        *guidance_nodes(context),
        *pitch_nodes(context),
        *drying_nodes(context),
    ]
    if valuation.value is None:
        return Reason(
            "value",
            say("Value"),
            None,
            "money",
            say("not stated"),
            say("{why}; so the condition can be stated but no value in money", why=missing_cost(case, manner)),
            (),
            (condition, *tail),
        )
    basis = tables.bases[valuation.basis]
    edges = tuple(
        context.exact(f"value.{name}", say(label, label=say("Value")), amount, how, context.setting("step_share"))
        for name, label, amount, how in (
            ("low", LOW, valuation.value.low, say("10th percentile of the draws, rounded down")),
            ("high", HIGH, valuation.value.high, say("90th percentile of the draws, rounded up")),
        )
    )
    percentiles = tuple(
        context.figure(
            f"value.p{p:02d}", say("Value, percentile {p}", p=p), amount, "money", say("percentile of the draws")
        )
        for p, amount in valuation.percentiles
    )
    how = say(
        "median of {draws} draws of every uncertain figure together",
        draws=manner.decimal(valuation.draws, 0, grouped=False),
    )
    if basis.method not in ("replacement", "depreciated"):
        how = say(
            "{how}, each for the course that pays best in it: as is, after work, or disposal; at the best estimate "
            "that is {best}",
            how=how,
            best=say(_BEST[valuation.best]),
        )
    return context.exact(
        "value",
        say("Value, {basis}", basis=manner.small(basis.label)),
        valuation.value.mid,
        how,
        (*context.refer(basis), *context.setting("draws", "seed")),
        (
            *edges,
            *approach_nodes(context, condition),
            *disagreement_nodes(context),
            *taking_nodes(context),
            *course_nodes(context),
            *_adjustments(context),
            *percentiles,
            *tail,
        ),
    )


def _condition(context: Context) -> Reason:
    say, valuation = context.say, context.valuation
    sum_ = context.figure(
        "share_of_new.central",
        say("Share of new left by condition, at the central figures"),
        central_share_of_new(context.case, valuation),
        "%",
        say("sum over the components of share × (1 − depreciation), times usability"),
    )
    seen = []
    if valuation.general is not None:
        seen = [
            context.figure(
                "general.grade",
                say("Mean of the grades seen"),
                valuation.general.grade,
                "grade",
                say(
                    "each by how much of the component's wear was inspected, its share of replacement cost and how "
                    "far its findings speak for the rest; rare faults count for nothing"
                ),
            ),
            context.figure(
                "general.weight",
                say("Weight of that mean for what was not checked"),
                valuation.general.weight,
                "%",
                say("grows with what was inspected, by the share of condition that the whole instrument has in common"),
                context.setting("common_condition_share"),
            ),
        ]
    return context.spread(
        "share_of_new",
        say("Share of new left by condition"),
        valuation.share_of_new,
        "%",
        say("median of the draws, each the sum over the components of share × (1 − depreciation), times usability"),
        parts=[sum_, *seen, *(station_node(context, station) for station in valuation.stations)],
    )


def _adjustments(context: Context) -> Iterator[Reason]:
    say = context.say
    for n, adjustment in enumerate(context.case.market.adjustments, 1):
        label = say("Adjustment: {name}", name=adjustment.name)
        how = say("set by the assessor: {reason}", reason=adjustment.reason)
        if adjustment.pct is not None:
            yield context.figure(f"adjustment.{n}", label, adjustment.pct / 100.0, "%", how)
        if adjustment.amount is not None:
            address = f"adjustment.{n}" if adjustment.pct is None else f"adjustment.{n}.amount"
            yield context.figure(address, label, float(adjustment.amount), "money", how)


def _validity(context: Context) -> Reason:
    say = context.say
    return context.figure(
        "validity",
        say("Validity of the value"),
        context.tables.setting("validity_months"),
        "months",
        say("from the effective date, if nothing happens to the instrument"),
        context.setting("validity_months"),
    )


def _laws(context: Context) -> list[Reason]:
    say = context.say
    return [
        context.figure(
            f"law.{key}",
            say("Share of new under: {label}", label=context.tables.laws[key].label),
            share,
            "%",
            context.tables.laws[key].how,
            context.refer(context.tables.laws[key]),
        )
        for key, share in context.valuation.laws
    ]
