"""Why a station or a component is graded and depreciated as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.clues import disagreeing
from appraise.engine.grade import gradable
from appraise.engine.subject import service_life
from appraise.model import shown
from appraise.model.case import Extent
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.engine.reasons.nodes import Context
    from appraise.model.case import Renewal
    from appraise.model.reason import Reason
    from appraise.model.result import CheckResult, ComponentResult, StationResult
    from appraise.tables.rows import Check, Prior, Tables

EVIDENCE = {
    "renewal": "years since its last documented renewal",
    "clues": "years since its renewal, dated by clues because no date is documented",
    "undated": "its renewal is not dated: anywhere between the making and the inspection",
    "repaired": "years since the instrument was made, less what its repairs give back",
    "made": "years since the instrument was made; no renewal is recorded",
    "stated": "years in service; the assessor states an effective age instead",
    "unknown": "the year of making is not known",
}
"""What each kind of evidence for an age means."""


def station_node(context: Context, station: StationResult) -> Reason:
    """Return the tree under one station's depreciation."""
    base = f"station.{station.station}"
    components = [component_node(context, component) for component in station.components]
    return context.spread(
        f"{base}.depreciation",
        f"{station.label}: depreciation",
        station.depreciation,
        "%",
        "mean of its components' depreciation, weighed by their share of replacement cost",
        parts=(
            context.spread(
                f"{base}.grade",
                f"{station.label}: grade",
                station.grade,
                "grade",
                "mean of its components' grades, weighed by share of cost",
                outer="10th and 90th percentile of what is held of the grades",
            ),
            context.figure(
                f"{base}.inspected",
                f"{station.label}: inspected",
                station.inspected,
                "%",
                "weight of the checks made over the weight of all, weighed by share of cost",
            ),
            context.figure(f"{base}.checks_done", f"{station.label}: checks made", station.checks_done, "", "counted"),
            context.figure(
                f"{base}.checks_total", f"{station.label}: checks there are", station.checks_total, "", "counted"
            ),
            context.spread(
                f"{base}.remaining",
                f"{station.label}: time to the first renewal",
                station.remaining_years,
                "years",
                "competing risks: the survivals of its components multiplied",
                context.setting("spent_from_grade"),
                outer="10% and 90% quantile",
            ),
            context.figure(
                f"{base}.effective_age",
                f"{station.label}: effective age",
                station.effective_age_years,
                "years",
                "mean of its components' effective ages, weighed by share of cost",
            ),
            context.figure(
                f"{base}.variance",
                f"{station.label}: share of the range",
                station.variance_share,
                "%",
                "sum over its components of their share in the variance of the value",
            ),
            *components,
        ),
    )


def component_node(context: Context, result: ComponentResult) -> Reason:
    """Return the tree under one component's depreciation."""
    key, tables = result.component, context.tables
    row = tables.components[key]
    law = tables.laws["ross" if result.age_evidence == "stated" else context.case.assignment.law]
    classes = tuple(tables.condition_classes.values())
    parts = [
        context.figure(
            f"{key}.share",
            f"{result.label}: share of replacement cost",
            result.share,
            "%",
            "what this component costs of a new instrument",
            context.refer(row),
        ),
        _age(context, result),
        _life(context, result),
        grade_node(context, result),
        context.figure(
            f"{key}.consumed",
            f"{result.label}: consumed share of life",
            result.consumed,
            "%",
            "age over age and mean remaining life, less the credit for wear that can be seen to be small",
            context.refer(law, row),
        ),
        context.figure(
            f"{key}.effective_age",
            f"{result.label}: effective age",
            result.effective_age_years,
            "years",
            "the age at which age alone would give the same depreciation",
        ),
        context.spread(
            f"{key}.remaining",
            f"{result.label}: remaining life",
            result.remaining_years,
            "years",
            "Weibull life given survival to the effective age: median; past major repair less of it, when spent none",
            context.setting("spent_from_grade"),
            outer="10% and 90% quantile",
        ),
        context.figure(
            f"{key}.variance",
            f"{result.label}: share of the range",
            result.variance_share,
            "%",
            "first-order share of the variance of the value brought by its grade and its life",
        ),
    ]
    if row.gate:
        parts.append(
            context.figure(
                f"{key}.usability",
                f"{result.label}: usability it leaves",
                result.usability,
                "factor",
                "how far the whole instrument can be used with this component at its grade",
                context.refer(row),
            )
        )
    return context.spread(
        f"{key}.depreciation",
        f"{result.label}: depreciation",
        result.depreciation,
        "%",
        f"{law.label}: {law.how}",
        (*context.refer(law), *context.refer(classes[0])),
        parts,
    )


def _age(context: Context, result: ComponentResult) -> Reason:
    key = result.component
    bearing = [(n, renewal) for n, renewal in enumerate(context.case.renewals, 1) if key in renewal.components]
    dates = [
        context.words(
            f"{key}.age.renewal.{n}",
            "Renewed" if renewal.extent is Extent.RENEWED else "Repaired",
            "no date" if renewal.date is None else str(renewal.date),
            _gives_back(context, renewal),
            () if renewal.extent is Extent.RENEWED else context.setting("repair_gives_back_pct"),
        )
        for n, renewal in bearing
    ]
    made = context.case.identity.made
    if made is not None:
        dates.insert(0, context.words(f"{key}.age.made", "Made", str(made), "as stated in the case"))
    clues = [
        context.words(
            f"{key}.age.clue.{clue}",
            "Dating clue",
            context.tables.dating_clues[clue].label,
            f"speaks of {context.tables.dating_clues[clue].low:g} to {context.tables.dating_clues[clue].high:g} years",
            context.refer(context.tables.dating_clues[clue]),
        )
        for _, renewal in bearing
        if renewal.date is None
        for clue in renewal.clues
    ]
    clues += [
        context.words(
            f"{key}.age.disagreement.{first}",
            "Clues that disagree",
            f"{context.tables.dating_clues[first].label}; {context.tables.dating_clues[second].label}",
            "the years they speak of hardly meet",
        )
        for _, renewal in bearing
        if renewal.date is None
        for first, second in disagreeing([context.tables.dating_clues[clue] for clue in renewal.clues])
    ]
    return context.spread(
        f"{key}.age",
        f"{result.label}: age in service",
        result.age_years,
        "years",
        EVIDENCE[result.age_evidence],
        parts=[*dates, *clues],
        outer="nearest and farthest bound of the dates",
    )


def _gives_back(context: Context, renewal: Renewal) -> str:
    """Say what a renewal does to the age, and on what evidence."""
    evidence = renewal.evidence or "no paper"
    if renewal.extent is Extent.RENEWED:
        return f"gives back the whole age; {evidence}"
    usual = context.tables.setting("repair_gives_back_pct")
    share = usual if renewal.gives_back_pct is None else renewal.gives_back_pct
    return f"gives back {share:g}% of the age; {evidence}"


def _life(context: Context, result: ComponentResult) -> Reason:
    tables, case = context.tables, context.case
    row, _ = service_life(tables.components[result.component], case, tables)
    use, climate = tables.uses[case.circumstances.use], tables.climates[case.circumstances.climate]
    return context.spread(
        f"{result.component}.life",
        f"{result.label}: service life here",
        result.life_years,
        "years",
        f"the table's life, brought to {_small(use.label)} and {_small(climate.label)}",
        context.refer(row, use, climate),
        outer="10% and 90% quantile",
    )


def _small(label: str) -> str:
    return label[:1].lower() + label[1:]


def _around(expected: float, tables: Tables) -> list[Prior]:
    """Return the rows of expected grades on either side of one, or the one that it meets."""
    rows = sorted(tables.priors.values(), key=lambda row: row.consumed)
    below = [row for row in rows if row.grade <= expected][-1:]
    above = [row for row in rows if row.grade >= expected][:1]
    return list(dict.fromkeys((*below, *above)))


def grade_node(context: Context, result: ComponentResult) -> Reason:
    """Return the tree under one component's grade: the checks, or why there are none."""
    key = result.component
    rows = gradable(context.tables, context.case.identity.kind).get(key, [])
    parts = [check_node(context, context.tables.checks[check.check], check) for check in result.checks]
    parts.append(
        context.figure(
            f"{key}.expected",
            f"{result.label}: grade its age lets expect",
            result.expected_grade,
            "grade",
            "from the consumed share of probable life",
            context.refer(*_around(result.expected_grade, context.tables)),
        )
    )
    parts.append(
        context.figure(
            f"{key}.inspected",
            f"{result.label}: inspected",
            result.inspected,
            "%",
            f"weight of the checks made over the weight of all {len(rows)}",
        )
    )
    if result.derived_grade is not None:
        parts.append(
            context.figure(
                f"{key}.derived",
                f"{result.label}: grade from the checks",
                result.derived_grade,
                "grade",
                "the worst of its checks, each no worse than its cap",
            )
        )
    if result.overruled:
        how = f"set by the assessor: {result.overrule_reason}"
    elif result.derived_grade is None:
        how = "not inspected: what its age lets expect, moved by what was seen of the rest"
    elif result.inspected < 0.999:
        how = "the worst check governs, leaning towards the expected grade: what was not checked may be worse"
    else:
        how = "the worst of its checks governs"
    return context.spread(
        f"{key}.grade",
        f"{result.label}: grade",
        result.grade,
        "grade",
        how,
        context.setting("grade_sd_seen", "grade_sd_unseen", "common_condition_share"),
        parts,
        outer="10th and 90th percentile of what is held of the grade",
    )


def _followed(context: Context, check: Check, count: int) -> str:
    """Say how readings came about that nobody took."""
    first, second = (context.tables.checks[key].label.lower() for key in check.half_difference or check.half_sum)
    sign = "less" if check.half_difference else "and"
    return f"{check.statistic.value} of {count} notes, each half of {first} {sign} {second}"


def check_node(context: Context, check: Check, result: CheckResult) -> Reason:
    """Return the tree under one check's grade: its readings and its table row."""
    parts: list[Reason] = []
    if result.value is not None:
        how = "as read" if result.readings == 1 else f"{check.statistic.value} of {result.readings} readings"
        unit = "" if check.kind is CheckKind.COUNT else check.unit
        if check.statistic.value == "share":
            unit, how = "%", "share of notes out of tolerance"
        if not any(reading.check == check.key for reading in context.case.readings):
            how = _followed(context, check, result.readings)
        scale = 0.01 if unit == "%" else 1.0  # readings are kept in percent, nodes in shares
        edges = []
        if result.value_low is not None and result.value_high is not None:
            edges = [
                context.figure(
                    f"reading.{check.key}.{name}",
                    f"{check.label}, {name}",
                    edge * scale,
                    unit,
                    "90% interval of the sample",
                )
                for name, edge in (("low", result.value_low), ("high", result.value_high))
            ]
        value = result.value * scale
        parts.append(context.figure(f"reading.{check.key}", check.label, value, unit, how, (), edges))
    elif check.kind is CheckKind.YES_NO:
        found = any(reading.check == check.key and reading.value is True for reading in context.case.readings)
        parts.append(
            context.words(f"reading.{check.key}", check.label, "yes" if found else "no", "as the assessor found it")
        )
    if check.kind is CheckKind.GRADED:
        reason = next((grade.reason for grade in context.case.grades if grade.check == check.key), "")
        how = f"graded by the assessor: {reason}" if reason else "graded by the assessor"
    elif check.kind is CheckKind.YES_NO:
        how = "what the table says a yes or a no means"
    else:
        how = "from the reading, linear between the table's anchors"
    if result.capped:
        how += f"; cut to {shown.grade(check.cap)}, the worst that this check alone can cause"
    return context.figure(f"check.{check.key}", check.label, result.grade, "grade", how, context.refer(check), parts)
