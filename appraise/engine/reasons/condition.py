"""Why a station or a component is graded and depreciated as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.clues import disagreeing
from appraise.engine.grade import gradable
from appraise.engine.reasons.nodes import HIGH, LOW
from appraise.engine.subject import service_life
from appraise.model.case import Extent
from appraise.model.manner import message
from appraise.tables.rows import CheckKind, Statistic

if TYPE_CHECKING:
    from appraise.engine.reasons.nodes import Context
    from appraise.model.case import Renewal
    from appraise.model.reason import Reason
    from appraise.model.result import CheckResult, ComponentResult, StationResult
    from appraise.tables.rows import Check, Tables
    from appraise.tables.rows_ageing import Prior

STATISTICS = {
    Statistic.MEAN: message("mean"),
    Statistic.WORST: message("worst"),
    Statistic.P90: message("p90"),
    Statistic.SHARE: message("share"),
}
"""What a reader gets for each way to make one number of several readings."""

EVIDENCE = {
    "renewal": message("years since its last documented renewal"),
    "clues": message("years since its renewal, dated by clues because no date is documented"),
    "undated": message("its renewal is not dated: anywhere between the making and the inspection"),
    "repaired": message("years since the instrument was made, less what its repairs give back"),
    "made": message("years since the instrument was made; no renewal is recorded"),
    "stated": message("years in service; the assessor states an effective age instead"),
    "unknown": message("the year of making is not known"),
}
"""What each kind of evidence for an age means."""


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
                outer=say("10th and 90th percentile of what is held of the grades"),
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
                context.setting("spent_from_grade"),
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
        _age(context, result),
        _life(context, result),
        grade_node(context, result),
        context.figure(
            f"{key}.consumed",
            say("{label}: consumed share of life", label=result.label),
            result.consumed,
            "%",
            say("age over age and mean remaining life, less the credit for wear that can be seen to be small"),
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
                "Weibull life given survival to the effective age: median; past major repair less of it, "
                "when spent none"
            ),
            context.setting("spent_from_grade"),
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
                "factor",
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


def _age(context: Context, result: ComponentResult) -> Reason:
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
    clues = [
        context.words(
            f"{key}.age.clue.{clue}",
            say("Dating clue"),
            context.tables.dating_clues[clue].label,
            say(
                "speaks of {low} to {high} years",
                low=context.manner.number(context.tables.dating_clues[clue].low),
                high=context.manner.number(context.tables.dating_clues[clue].high),
            ),
            context.refer(context.tables.dating_clues[clue]),
        )
        for _, renewal in bearing
        if renewal.date is None
        for clue in renewal.clues
    ]
    clues += [
        context.words(
            f"{key}.age.disagreement.{first}",
            say("Clues that disagree"),
            f"{context.tables.dating_clues[first].label}; {context.tables.dating_clues[second].label}",
            say("the years they speak of hardly meet"),
        )
        for _, renewal in bearing
        if renewal.date is None
        for first, second in disagreeing([context.tables.dating_clues[clue] for clue in renewal.clues])
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


def _life(context: Context, result: ComponentResult) -> Reason:
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
            "the table's life, brought to {use} and {climate}",
            use=context.manner.small(use.label),
            climate=context.manner.small(climate.label),
        ),
        context.refer(row, use, climate),
        outer=say("10% and 90% quantile"),
    )


def _around(expected: float, tables: Tables) -> list[Prior]:
    """Return the rows of expected grades on either side of one, or the one that it meets."""
    rows = sorted(tables.priors.values(), key=lambda row: row.consumed)
    below = [row for row in rows if row.grade <= expected][-1:]
    above = [row for row in rows if row.grade >= expected][:1]
    return list(dict.fromkeys((*below, *above)))


def grade_node(context: Context, result: ComponentResult) -> Reason:
    """Return the tree under one component's grade: the checks, or why there are none."""
    say = context.say
    key = result.component
    rows = gradable(context.tables, context.case.identity.kind).get(key, [])
    parts = [check_node(context, context.tables.checks[check.check], check) for check in result.checks]
    parts.append(
        context.figure(
            f"{key}.expected",
            say("{label}: grade its age lets expect", label=result.label),
            result.expected_grade,
            "grade",
            say("from the consumed share of probable life"),
            context.refer(*_around(result.expected_grade, context.tables)),
        )
    )
    parts.append(
        context.figure(
            f"{key}.inspected",
            say("{label}: inspected", label=result.label),
            result.inspected,
            "%",
            say("weight of the checks made over the weight of all {count}", count=len(rows)),
        )
    )
    if result.derived_grade is not None:
        parts.append(
            context.figure(
                f"{key}.derived",
                say("{label}: grade from the checks", label=result.label),
                result.derived_grade,
                "grade",
                say("the worst of its checks, each no worse than its cap"),
            )
        )
    if result.overruled:
        how = say("set by the assessor: {reason}", reason=result.overrule_reason)
    elif result.derived_grade is None:
        how = say("not inspected: what its age lets expect, moved by what was seen of the rest")
    elif result.inspected < 0.999:
        how = say("the worst check governs, leaning towards the expected grade: what was not checked may be worse")
    else:
        how = say("the worst of its checks governs")
    return context.spread(
        f"{key}.grade",
        say("{label}: grade", label=result.label),
        result.grade,
        "grade",
        how,
        context.setting("grade_sd_seen", "grade_sd_unseen", "common_condition_share"),
        parts,
        outer=say("10th and 90th percentile of what is held of the grade"),
    )


def _followed(context: Context, check: Check, count: int) -> str:
    """Say how readings came about that nobody took."""
    say = context.say
    first, second = (
        context.manner.small(context.tables.checks[key].label) for key in check.half_difference or check.half_sum
    )
    text = (
        message("{statistic} of {count} notes, each half of {first} less {second}")
        if check.half_difference
        else message("{statistic} of {count} notes, each half of {first} and {second}")
    )
    return say(text, statistic=say(STATISTICS[check.statistic]), count=count, first=first, second=second)


def check_node(context: Context, check: Check, result: CheckResult) -> Reason:
    """Return the tree under one check's grade: its readings and its table row."""
    say = context.say
    parts: list[Reason] = []
    if result.value is not None:
        how = (
            say("as read")
            if result.readings == 1
            else say(
                "{statistic} of {count} readings", statistic=say(STATISTICS[check.statistic]), count=result.readings
            )
        )
        unit = "" if check.kind is CheckKind.COUNT else check.unit
        if check.statistic.value == "share":
            unit, how = "%", say("share of notes out of tolerance")
        if not any(reading.check == check.key for reading in context.case.readings):
            how = _followed(context, check, result.readings)
        scale = 0.01 if unit == "%" else 1.0  # readings are kept in percent, nodes in shares
        edges = []
        if result.value_low is not None and result.value_high is not None:
            edges = [
                context.figure(
                    f"reading.{check.key}.{name}",
                    say(label, label=check.label),
                    edge * scale,
                    unit,
                    say("90% interval of the sample"),
                )
                for name, label, edge in (("low", LOW, result.value_low), ("high", HIGH, result.value_high))
            ]
        value = result.value * scale
        parts.append(context.figure(f"reading.{check.key}", check.label, value, unit, how, (), edges))
    elif check.kind is CheckKind.YES_NO:
        found = any(reading.check == check.key and reading.value is True for reading in context.case.readings)
        parts.append(
            context.words(
                f"reading.{check.key}", check.label, say("yes") if found else say("no"), say("as the assessor found it")
            )
        )
    if check.kind is CheckKind.GRADED:
        reason = next((grade.reason for grade in context.case.grades if grade.check == check.key), "")
        how = say("graded by the assessor: {reason}", reason=reason) if reason else say("graded by the assessor")
    elif check.kind is CheckKind.YES_NO:
        how = say("what the table says a yes or a no means")
    else:
        how = say("from the reading, linear between the table's anchors")
    if result.capped:
        how = say(
            "{how}; cut to {grade}, the worst that this check alone can cause",
            how=how,
            grade=context.manner.grade(check.cap),
        )
    return context.figure(f"check.{check.key}", check.label, result.grade, "grade", how, context.refer(check), parts)
