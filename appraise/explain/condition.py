"""Why a station or a component is depreciated as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.ageing import age_node, life_node
from appraise.explain.grading import grade_node

if TYPE_CHECKING:
    from appraise.explain.nodes import Context
    from appraise.model.reason import Reason
    from appraise.model.result import ComponentResult, StationResult


def station_node(context: Context, station: StationResult) -> Reason:
    """Return the tree under one station's depreciation."""
    say = context.say
    base, label = f"station.{station.station}", say(station.label)
    components = [component_node(context, component) for component in station.components]
    return context.spread(
        f"{base}.depreciation",
        say("{label}: depreciation", label=label),
        station.depreciation,
        "%",
        say("mean of its components' depreciation, weighed by their share of replacement cost"),
        parts=(
            context.spread(
                f"{base}.grade",
                say("{label}: grade", label=label),
                station.grade,
                "grade",
                say("mean of its components' grades, weighed by share of cost"),
                outer=say("10th and 90th percentile of the distribution of the grades"),
            ),
            context.figure(
                f"{base}.inspected",
                say("{label}: inspected", label=label),
                station.inspected,
                "%",
                say("weight of the checks made over the weight of all, weighed by share of cost"),
            ),
            context.figure(
                f"{base}.checks_done",
                say("{label}: checks made", label=label),
                station.checks_done,
                "",
                say("counted"),
            ),
            context.figure(
                f"{base}.checks_total",
                say("{label}: checks there are", label=label),
                station.checks_total,
                "",
                say("counted"),
            ),
            context.spread(
                f"{base}.remaining",
                say("{label}: time to the first renewal", label=label),
                station.remaining_years,
                "years",
                say("competing risks: the survivals of its components multiplied"),
                context.setting("due_lead"),
                outer=say("10% and 90% quantile"),
            ),
            context.figure(
                f"{base}.effective_age",
                say("{label}: effective age", label=label),
                station.effective_age_years,
                "years",
                say("mean of its components' effective ages, weighed by share of cost"),
            ),
            context.figure(
                f"{base}.variance",
                say("{label}: share of the range", label=label),
                station.variance_share,
                "%",
                say("sum over its components of their share in the variance of the value"),
            ),
            *components,
        ),
    )


def component_node(context: Context, result: ComponentResult) -> Reason:
    """Return the tree under one component's depreciation."""
    say = context.say
    key, tables = result.component, context.tables
    row = tables.components[key]
    law = tables.laws["ross" if result.age_evidence == "stated" else context.case.assignment.law]
    classes = tuple(tables.condition_classes.values())
    parts = [
        context.figure(
            f"{key}.share",
            say("{label}: share of replacement cost", label=result.label),
            result.share,
            "%",
            say("what this component costs of a new instrument"),
            context.refer(row),
        ),
        age_node(context, result),
        life_node(context, result),
        grade_node(context, result),
        context.figure(
            f"{key}.consumed",
            say("{label}: consumed share of life", label=result.label),
            result.consumed,
            "%",
            say("age over age and mean remaining life, less the credit for wear that can be seen to be small")
            if law.key == "probable_life"
            else say("age over service life here"),
            context.refer(law, row),
        ),
        context.figure(
            f"{key}.effective_age",
            say("{label}: effective age", label=result.label),
            result.effective_age_years,
            "years",
            say("the age at which age alone would give the same depreciation"),
        ),
        context.spread(
            f"{key}.remaining",
            say("{label}: remaining life", label=result.label),
            result.remaining_years,
            "years",
            say(
                "Weibull life given survival to the effective age: median; less of it as the grade from which it is "
                "due comes near, none from there on"
            ),
            context.setting("due_lead"),
            outer=say("10% and 90% quantile"),
        ),
        context.figure(
            f"{key}.variance",
            say("{label}: share of the range", label=result.label),
            result.variance_share,
            "%",
            say("first-order share of the variance of the value brought by its grade and its life"),
        ),
    ]
    if row.gate:
        parts.append(
            context.figure(
                f"{key}.usability",
                say("{label}: usability it leaves", label=result.label),
                result.usability,
                "%",
                say("how far the whole instrument can be used with this component at its grade"),
                context.refer(row),
            )
        )
    return context.spread(
        f"{key}.depreciation",
        say("{label}: depreciation", label=result.label),
        result.depreciation,
        "%",
        f"{law.label}: {law.how}",
        (*context.refer(law), *context.refer(classes[0])),
        parts,
    )
