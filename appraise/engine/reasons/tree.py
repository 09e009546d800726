"""The whole tree, from the value down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.costs import removal
from appraise.engine.missing import missing_cost
from appraise.engine.reasons.approaches import (
    approach_nodes,
    central_share_of_new,
    disagreement_nodes,
    taking_nodes,
)
from appraise.engine.reasons.condition import station_node
from appraise.engine.reasons.drying import drying_nodes
from appraise.engine.reasons.lives import life_nodes
from appraise.engine.reasons.nodes import HIGH, LOW, Context
from appraise.engine.reasons.pitch import pitch_nodes
from appraise.engine.reasons.worth import guidance_nodes, hour_nodes, work_nodes
from appraise.model.manner import PLAIN, Manner
from appraise.model.message import message
from appraise.model.reason import Reason
from appraise.model.result import Range, WorkList

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.result import Valuation, WorkItem
    from appraise.tables.rows import Tables

_BEST = {
    "left_alone": message("as is"),
    "after_work": message("doing the best plan of work"),
    "salvage": message("salvage less removal"),
}


def reason_tree(case: Case, tables: Tables, valuation: Valuation, manner: Manner = PLAIN) -> Reason:
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
            say("{why}; so the condition can be told but not its worth in money", why=missing_cost(case, manner)),
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
        "middle of {draws} draws of every uncertain figure together",
        draws=manner.decimal(valuation.draws, 0, grouped=False),
    )
    if basis.method not in ("replacement", "depreciated"):
        how = say(
            "{how}, each at what pays best there: as is, after a plan of work, or salvage; in the middle that "
            "is {best}",
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
            *_courses(context),
            *_adjustments(context),
            *percentiles,
            *tail,
        ),
    )


def _condition(context: Context) -> Reason:
    say, valuation = context.say, context.valuation
    sum_ = context.figure(
        "share_of_new.central",
        say("What condition leaves of a new one, at the middle figures"),
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
        say("What condition leaves of a new one"),
        valuation.share_of_new,
        "%",
        say("middle of the draws, each the sum over the components of share × (1 − depreciation), times usability"),
        parts=[sum_, *seen, *(station_node(context, station) for station in valuation.stations)],
    )


def _courses(context: Context) -> list[Reason]:
    """Return what each course leaves: alone, after the plan, salvage; and the jobs."""
    say = context.say
    valuation = context.valuation
    chosen = [item for item in valuation.work if item.chosen]
    basis = context.refer(context.tables.bases[valuation.basis])
    parts = []
    if valuation.left_alone is not None:
        parts.append(
            context.spread(
                "left_alone",
                say("As is"),
                valuation.left_alone,
                "money",
                say(
                    "no work done, what a buyer pays to take it taken off, the approaches weighed, the adjustments made"
                ),
                basis,
            )
        )
    if valuation.after_work is not None:
        parts.append(
            context.spread(
                "after_work",
                say("After the best plan of work, its cost taken off"),
                valuation.after_work,
                "money",
                say(
                    "value with the plan done, less its cost and what a buyer wants for the trouble, the approaches "
                    "weighed, the adjustments made"
                ),
                (
                    *basis,
                    *context.setting("incentive_typical"),
                    *context.refer(*(context.tables.remedies[item.remedy] for item in chosen)),
                ),
            )
        )
    if valuation.plan_cost is not None:
        parts.append(
            context.spread(
                "plan_cost",
                say("Cost of the best plan"),
                valuation.plan_cost,
                "money",
                say(
                    "sum of its jobs, shared steps once, each at its mean: {jobs}",
                    jobs="; ".join(item.label for item in chosen),
                ),
                context.refer(*(context.tables.remedies[item.remedy] for item in chosen)),
                [_plan_hours(context, chosen)] if chosen else [],
            )
        )
    if valuation.salvage is not None:
        kind = context.case.identity.kind
        parts.append(
            context.spread(
                "salvage",
                say("Salvage less removal"),
                valuation.salvage,
                "money",
                say("a share of replacement cost new, less what it costs to take the instrument away"),
                context.setting(f"salvage_{kind}_typical"),
                [_removal(context)],
            )
        )
    return [*parts, *_listed(context), *hour_nodes(context), *work_nodes(context)]


def _listed(context: Context) -> list[Reason]:
    """Return what the first two lists of work come to together; none where they are empty."""
    say = context.say
    jobs = [item for item in context.valuation.work if item.group is not WorkList.PLAYER]
    if not jobs:
        return []
    costs = Range(*(sum(getattr(job.cost, end) for job in jobs) for end in ("low", "mid", "high")))
    hours = Range(*(sum(getattr(job.hours, end) for job in jobs) for end in ("low", "mid", "high")))
    what = say("sum of what is needed now and what pays for itself, shared steps once")
    outer = say("low and high where all jobs go the same way")
    return [
        context.spread("work_listed", say("Work needed and paying"), costs, "money", what, outer=outer),
        context.spread("work_listed_hours", say("Hours of that work"), hours, "h", what, outer=outer),
    ]


def _plan_hours(context: Context, chosen: list[WorkItem]) -> Reason:
    say = context.say
    hours = [(job.hours.low, job.hours.mid, job.hours.high) for job in chosen]
    low, middle, high = (sum(column) for column in zip(*hours, strict=True))
    how = say("sum of the hours of its jobs, shared steps once; low and high where all jobs go the same way")
    outer = say("low and high of the table")
    return context.spread("plan_hours", say("Hours of the best plan"), Range(low, middle, high), "h", how, outer=outer)


def _removal(context: Context) -> Reason:
    say = context.say
    stated = context.case.costs.removal is not None
    kind = context.case.identity.kind
    return context.exact(
        "removal",
        say("Taking it away"),
        removal(context.case, context.tables),
        say("as stated in the case") if stated else say("hours of the table at the labour rate"),
        () if stated else context.setting(f"removal_hours_{kind}"),
    )


def _adjustments(context: Context) -> list[Reason]:
    say = context.say
    found = []
    for n, adjustment in enumerate(context.case.market.adjustments, 1):
        label = say("Adjustment: {name}", name=adjustment.name)
        how = say("set by the assessor: {reason}", reason=adjustment.reason)
        if adjustment.pct is not None:
            found.append(context.figure(f"adjustment.{n}", label, adjustment.pct / 100.0, "%", how))
        if adjustment.amount is not None:
            address = f"adjustment.{n}" if adjustment.pct is None else f"adjustment.{n}.amount"
            found.append(context.figure(address, label, float(adjustment.amount), "money", how))
    return found


def _validity(context: Context) -> Reason:
    say = context.say
    return context.figure(
        "validity",
        say("How long the value can be leaned on"),
        context.tables.setting("validity_months"),
        "months",
        say("from the effective date, where nothing happens to the instrument"),
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
