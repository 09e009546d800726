"""Why a component is depreciated as it is, is taken to be as old as it is, and lasts as long as it does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.clues import disagreeing
from appraise.engine.subject import service_life
from appraise.explain.grading import grade_node
from appraise.model.case import Extent
from appraise.model.message import message

if TYPE_CHECKING:
    from appraise.explain.nodes import Context
    from appraise.model.case import Renewal
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
        say("mean of its components' depreciation, weighted by their share of replacement cost"),
        parts=(
            context.spread(
                f"{base}.grade",
                say("{label}: grade", label=label),
                station.grade,
                "grade",
                say("mean of its components' grades, weighted by share of cost"),
                outer=say("10th and 90th percentile of the distribution of the grades"),
            ),
            context.figure(
                f"{base}.inspected",
                say("{label}: inspected", label=label),
                station.inspected,
                "%",
                say("weight of the checks made over the weight of all, weighted by share of cost"),
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
                say("mean of its components' effective ages, weighted by share of cost"),
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


EVIDENCE = {
    "renewal": message("years since its last documented renewal"),
    "clues": message("years since its renewal, dated by clues because no date is documented"),
    "undated": message("its renewal is not dated: at any time between the making and the inspection"),
    "repaired": message("years since the instrument was made, less what its repairs give back"),
    "made": message("years since the instrument was made; no renewal is recorded"),
    "stated": message("years in service; the assessor states an effective age instead"),
    "unknown": message("the year of making is not known"),
}
"""Meaning of each kind of evidence for an age."""


def age_node(context: Context, result: ComponentResult) -> Reason:
    """Return the tree under one component's age in service: its dates, and the clues that stand in for one."""
    say = context.say
    key = result.component
    bearing = [(n, renewal) for n, renewal in enumerate(context.case.renewals, 1) if key in renewal.components]
    dates = [
        context.words(
            f"{key}.age.renewal.{n}",
            say("Renewed") if renewal.extent is Extent.RENEWED else say("Repaired"),
            say("no date") if renewal.date is None else context.manner.brief(renewal.date),
            _gives_back(context, renewal),
            () if renewal.extent is Extent.RENEWED else context.setting("repair_gives_back_pct"),
        )
        for n, renewal in bearing
    ]
    made = context.case.identity.made
    if made is not None:
        dates.insert(
            0, context.words(f"{key}.age.made", say("Made"), context.manner.brief(made), say("as stated in the case"))
        )
    undated = [(n, renewal) for n, renewal in bearing if renewal.date is None]
    seen = [(n, clue) for n, renewal in undated for clue in renewal.clues]
    named = [clue for _, clue in seen]
    clues = [
        context.words(
            _address(f"{key}.age.clue.{clue}", n, clue in named[:place]),
            say("Dating clue"),
            context.tables.dating_clues[clue].label,
            say(
                "points to {low} to {high} years",
                low=context.manner.number(context.tables.dating_clues[clue].low),
                high=context.manner.number(context.tables.dating_clues[clue].high),
            ),
            context.refer(context.tables.dating_clues[clue]),
        )
        for place, (n, clue) in enumerate(seen)
    ]
    rows = context.tables.dating_clues
    apart = [pair for _, renewal in undated for pair in disagreeing([rows[clue] for clue in renewal.clues])]
    clues += [
        context.words(
            _address(f"{key}.age.disagreement.{first}", place, any(pair[0] == first for pair in apart[:place])),
            say("Clues that disagree"),
            f"{context.tables.dating_clues[first].label}; {context.tables.dating_clues[second].label}",
            say("the years they point to hardly overlap"),
        )
        for place, (first, second) in enumerate(apart)
    ]
    return context.spread(
        f"{key}.age",
        say("{label}: age in service", label=result.label),
        result.age_years,
        "years",
        say(EVIDENCE[result.age_evidence]),
        parts=[*dates, *clues],
        outer=say("nearest and farthest bound of the dates"),
    )


def _address(address: str, number: int, again: bool) -> str:
    """Return the address of what two undated renewals share: its number is added from the second on."""
    return f"{address}.{number}" if again else address


def _gives_back(context: Context, renewal: Renewal) -> str:
    """Say what a renewal does to the age, and on what evidence."""
    say = context.say
    evidence = renewal.evidence or say("no paper")
    if renewal.extent is Extent.RENEWED:
        return say("gives back the whole age; {evidence}", evidence=evidence)
    usual = context.tables.setting("repair_gives_back_pct")
    share = usual if renewal.gives_back_pct is None else renewal.gives_back_pct
    shown = context.manner.percentage(share, 1)
    return say("gives back {share} of the age; {evidence}", share=shown, evidence=evidence)


def life_node(context: Context, result: ComponentResult) -> Reason:
    """Return the tree under one component's service life in this place and use."""
    say = context.say
    tables, case = context.tables, context.case
    row, _ = service_life(tables.components[result.component], case, tables)
    use, climate = tables.uses[case.circumstances.use], tables.climates[case.circumstances.climate]
    return context.spread(
        f"{result.component}.life",
        say("{label}: service life here", label=result.label),
        result.life_years,
        "years",
        say(
            "the table's life, brought to {use} and {climate}; the life used is a Weibull life of this median and this "
            "ratio of high to low, whose own 10% and 90% quantile lie near them",
            use=context.manner.small(use.label),
            climate=context.manner.small(climate.label),
        ),
        context.refer(row, use, climate),
        outer=say("low and high of the table, brought to the same use and climate"),
    )
