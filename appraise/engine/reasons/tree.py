"""The whole tree, from the value down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.costs import removal
from appraise.engine.reasons.condition import station_node
from appraise.engine.reasons.drying import drying_nodes
from appraise.engine.reasons.nodes import Context
from appraise.engine.reasons.pitch import pitch_nodes
from appraise.engine.reasons.worth import (
    factor_nodes,
    grid_nodes,
    guidance_nodes,
    replacement_node,
    work_nodes,
)
from appraise.model.reason import Reason
from appraise.model.result import Range

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.result import Valuation, WorkItem
    from appraise.tables.rows import Tables

_BEST = {
    "left_alone": "leaving it as it is",
    "after_work": "doing the best plan of work",
    "salvage": "salvage less removal",
}


def reason_tree(case: Case, tables: Tables, valuation: Valuation) -> Reason:
    """Return why the value is what it is.

    Args:
        case: The case valued.
        tables: The tables it was valued with.
        valuation: The engine's answer.

    Returns:
        The node `value` with everything below it; without a replacement cost new its value is none and its parts
        hold what can be said of the condition.
    """
    context = Context(case, tables, valuation)
    condition = _condition(context)
    tail = [
        _validity(context),
        *_time(context),
        *_laws(context),
        *guidance_nodes(context),
        *pitch_nodes(context),
        *drying_nodes(context),
    ]
    if valuation.value is None:
        return Reason(
            "value",
            "Value",
            None,
            "money",
            "not stated",
            "no replacement cost new is given, so the condition can be told but not its worth in money",
            (),
            (condition, *tail),
        )
    basis = tables.bases[valuation.basis]
    edges = tuple(
        context.exact(f"value.{name}", f"Value, {name}", amount, how, context.setting("step_share"))
        for name, amount, how in (
            ("low", valuation.value.low, "10th percentile of the draws, rounded down"),
            ("high", valuation.value.high, "90th percentile of the draws, rounded up"),
        )
    )
    percentiles = tuple(
        context.figure(f"value.p{p:02d}", f"Value, percentile {p}", amount, "money", "percentile of the draws")
        for p, amount in valuation.percentiles
    )
    how = f"middle of {valuation.draws} draws of every uncertain figure together"
    if basis.method not in ("replacement", "depreciated"):
        how += (
            ", each at what pays best there: leaving it alone, a plan of work, or salvage; "
            f"in the middle that is {_BEST[valuation.best]}"
        )
    return context.exact(
        "value",
        f"Value, {basis.label[:1].lower()}{basis.label[1:]}",
        valuation.value.mid,
        how,
        (*context.refer(basis), *context.setting("draws", "seed")),
        (*edges, *_approaches(context, condition), *_courses(context), *_adjustments(context), *percentiles, *tail),
    )


def _condition(context: Context) -> Reason:
    return context.spread(
        "share_of_new",
        "What condition leaves of a new one",
        context.valuation.share_of_new,
        "%",
        "sum over the components of share × (1 − depreciation), times usability",
        parts=[station_node(context, station) for station in context.valuation.stations],
    )


def _approaches(context: Context, condition: Reason) -> list[Reason]:
    valuation = context.valuation
    found = []
    for approach in valuation.approaches:
        if not approach.used:
            found.append(
                context.words(
                    f"approach.{approach.approach}", approach.label, "not used", f"left out: {approach.reason}"
                )
            )
            continue
        weight = context.figure(
            f"approach.{approach.approach}.weight", f"{approach.label}: weight", approach.weight, "%", approach.reason
        )
        spread = context.figure(
            f"approach.{approach.approach}.uncertainty",
            f"{approach.label}: relative standard uncertainty",
            approach.relative_uncertainty,
            "%",
            "root sum of squares of its inputs' relative uncertainties",
        )
        if approach.approach == "cost":
            how = (
                "replacement cost new × market factor × share of the retail price × usability × what condition leaves; "
                "in each draw a plan of work or salvage where that is worth more"
            )
            parts = [weight, spread, *_cost_parts(context, condition)]
        else:
            how = "prices of the comparables, adjusted to this instrument one feature at a time and weighed"
            parts = [weight, spread, *grid_nodes(context)]
        found.append(
            context.spread(f"approach.{approach.approach}", approach.label, approach.value, "money", how, parts=parts)
        )
    return found


def _cost_parts(context: Context, condition: Reason) -> list[Reason]:
    return [replacement_node(context), *factor_nodes(context), condition]


def _courses(context: Context) -> list[Reason]:
    """Return what each course leaves: alone, after the plan, salvage; and the jobs."""
    valuation = context.valuation
    chosen = [item for item in valuation.work if item.chosen]
    basis = context.refer(context.tables.bases[valuation.basis])
    weighed = ", the approaches weighed, the adjustments made"
    parts = []
    if valuation.left_alone is not None:
        parts.append(
            context.spread(
                "left_alone", "Left alone", valuation.left_alone, "money", f"as it stands, nothing done{weighed}", basis
            )
        )
    if valuation.after_work is not None:
        parts.append(
            context.spread(
                "after_work",
                "After the best plan of work, its cost taken off",
                valuation.after_work,
                "money",
                f"value with the plan done, less its cost{weighed}",
                (*basis, *context.refer(*(context.tables.remedies[item.remedy] for item in chosen))),
            )
        )
    if valuation.plan_cost is not None:
        parts.append(
            context.spread(
                "plan_cost",
                "Cost of the best plan",
                valuation.plan_cost,
                "money",
                "sum of its jobs, shared steps once: " + "; ".join(item.label for item in chosen),
                context.refer(*(context.tables.remedies[item.remedy] for item in chosen)),
                [_plan_hours(context, chosen)] if chosen else [],
            )
        )
    if valuation.salvage is not None:
        kind = context.case.identity.kind
        parts.append(
            context.spread(
                "salvage",
                "Salvage less removal",
                valuation.salvage,
                "money",
                "a share of replacement cost new, less what it costs to take the instrument away",
                context.setting(f"salvage_{kind}_typical"),
                [_removal(context)],
            )
        )
    return [*parts, *work_nodes(context)]


def _plan_hours(context: Context, chosen: list[WorkItem]) -> Reason:
    hours = [(job.hours.low, job.hours.mid, job.hours.high) for job in chosen]
    low, middle, high = (sum(column) for column in zip(*hours, strict=True))
    how = "sum of the hours of its jobs, shared steps once; low and high where all jobs go the same way"
    outer = "low and high of the table"
    return context.spread("plan_hours", "Hours of the best plan", Range(low, middle, high), "h", how, outer=outer)


def _removal(context: Context) -> Reason:
    stated = context.case.costs.removal is not None
    kind = context.case.identity.kind
    return context.exact(
        "removal",
        "Taking it away",
        removal(context.case, context.tables),
        "as stated in the case" if stated else "hours of the table at the labour rate",
        () if stated else context.setting(f"removal_hours_{kind}"),
    )


def _adjustments(context: Context) -> list[Reason]:
    found = []
    for n, adjustment in enumerate(context.case.market.adjustments, 1):
        label = f"Adjustment: {adjustment.name}"
        how = f"set by the assessor: {adjustment.reason}"
        if adjustment.pct is not None:
            found.append(context.figure(f"adjustment.{n}", label, adjustment.pct / 100.0, "%", how))
        if adjustment.amount is not None:
            address = f"adjustment.{n}" if adjustment.pct is None else f"adjustment.{n}.amount"
            found.append(context.figure(address, label, float(adjustment.amount), "money", how))
    return found


def _validity(context: Context) -> Reason:
    return context.figure(
        "validity",
        "How long the value can be leaned on",
        context.tables.setting("validity_months"),
        "months",
        "from the effective date, where nothing happens to the instrument",
        context.setting("validity_months"),
    )


def _time(context: Context) -> list[Reason]:
    coming = context.valuation.next_intervention
    if coming is None:
        return []
    return [
        context.spread(
            "next_intervention",
            "Time to the next major work",
            coming.years,
            "years",
            f"competing risks of the critical components; most likely {coming.label.lower()}",
            parts=(
                context.figure(
                    "next_intervention.probability",
                    f"Probability that it is {coming.label.lower()}",
                    coming.probability,
                    "%",
                    "its hazard against the joint survival, integrated",
                ),
            ),
            outer="10% and 90% quantile",
        )
    ]


def _laws(context: Context) -> list[Reason]:
    return [
        context.figure(
            f"law.{key}",
            f"Share of new under: {context.tables.laws[key].label}",
            share,
            "%",
            context.tables.laws[key].how,
            context.refer(context.tables.laws[key]),
        )
        for key, share in context.valuation.laws
    ]
