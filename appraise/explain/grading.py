"""Why a component is graded as it is: its checks, their readings, or what its age lets expect."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.belief import shown_grade
from appraise.engine.grade import gradable
from appraise.explain.nodes import HIGH, LOW
from appraise.model.message import message
from appraise.tables.rows import CheckKind, Statistic

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.explain.nodes import Context
    from appraise.model.reason import Reason
    from appraise.model.result import CheckResult, ComponentResult
    from appraise.tables.rows import Check, Tables
    from appraise.tables.rows_ageing import Prior

STATISTICS = {
    Statistic.MEAN: message("mean"),
    Statistic.WORST: message("worst"),
    Statistic.P90: message("p90"),
    Statistic.SHARE: message("share"),
}
"""Label of each statistic of several readings."""

_SETTINGS = ("grade_sd_seen", "grade_sd_unseen", "grade_sd_unseen_new", "common_condition_share", "fault_spread_share")
"""Basis of the spread of a component's grade."""


def grade_node(context: Context, result: ComponentResult) -> Reason:
    """Return the tree under one component's grade: the checks, or why there are none."""
    say = context.say
    key = result.component
    rows = gradable(context.tables, context.case.identity.kind).get(key, [])
    parts = [check_node(context, context.tables.checks[check.check], check) for check in result.checks]
    hazard = context.tables.components[key].hazard
    leans = not result.overruled and result.wear_seen < 0.999
    parts.append(_expected_node(context, result, hazard=hazard))
    parts.append(
        context.figure(
            f"{key}.inspected",
            say("{label}: inspected", label=result.label),
            result.inspected,
            "%",
            say("weight of the checks made over the weight of all {count}", count=len(rows)),
        )
    )
    if leans and not hazard:
        parts += [_wear_node(context, result, rows), _unseen_node(context, result)]
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
        how = (
            say("not inspected: the grade to take where nobody looked")
            if hazard
            else say("not inspected: the grade expected for its age, moved by what was seen of the rest")
        )
    elif not leans:
        how = say("the worst of its checks governs")
    elif hazard:
        how = say(
            "the worst check governs; as far as nobody looked it leans towards the grade to take there, where that is "
            "worse"
        )
    elif result.wear_seen <= 0.0:
        how = say(
            "only rare faults were looked for: what was found governs where it is worse than the grade to expect of "
            "what was not checked, and an answer that there is none leaves that as it was"
        )
    else:
        how = say(
            "the worst check governs; as far as its wear was not inspected it leans towards the grade to expect of "
            "what was not checked, where that is worse"
        )
    settings = ("grade_sd_seen", "hazard_sd_unseen") if hazard else _SETTINGS
    return context.spread(
        f"{key}.grade",
        say("{label}: grade", label=result.label),
        result.grade,
        "grade",
        how,
        context.setting(*settings),
        parts,
        outer=say("10th and 90th percentile of the distribution of the grade"),
    )


def _expected_node(context: Context, result: ComponentResult, *, hazard: bool) -> Reason:
    """Return the grade to expect where nobody looked: by age, or of a fault of the whole."""
    say, key = context.say, result.component
    if not hazard:
        how = say("from the consumed share of probable life")
        return context.figure(
            f"{key}.expected",
            say("{label}: grade expected for its age", label=result.label),
            result.expected_grade,
            "grade",
            how,
            context.refer(*_around(result.expected_grade, context.tables)),
        )
    how = say("a fault that nobody looked for is assumed absent")
    settings: tuple[str, ...] = ()
    if key == "tuning" and context.case.identity.last_tuned is None:
        how = say("as after a recent tuning: when it was last tuned is not stated")
        settings = ("tuning_recent_grade",)
    elif key == "tuning":
        how = say("from the years since it was last tuned, linear between the two")
        settings = tuple(f"tuning_{age}_{what}" for age in ("recent", "neglected") for what in ("grade", "years"))
    label = say("{label}: grade assumed where nobody looked", label=result.label)
    return context.figure(f"{key}.expected", label, result.expected_grade, "grade", how, context.setting(*settings))


def _wear_node(context: Context, result: ComponentResult, rows: Sequence[Check]) -> Reason:
    """Return how much of a part's wear was looked at."""
    say = context.say
    return context.figure(
        f"{result.component}.wear_seen",
        say("{label}: wear inspected", label=result.label),
        result.wear_seen,
        "%",
        say(
            "weight of the checks made over the weight of all that show wear; that a rare fault is absent shows none",
        )
        if any(row.wear > 0.0 for row in rows)
        else say("weight of the checks made over the weight of all {count}", count=len(rows)),
    )


def _unseen_node(context: Context, result: ComponentResult) -> Reason:
    """Return the grade to expect of what was not checked."""
    say, key = context.say, result.component
    how = say("the grade expected for its age: nothing was inspected that could move it")
    parts = []
    if context.valuation.general is not None:
        how = say(
            "the grade expected for its age, moved by the weight of the mean of the grades seen as far as that lies "
            "from the mean that such parts show, no further than the limit"
        )
        settings = context.setting("grade_sd_unseen", "grade_sd_unseen_new")
        shown = float(shown_grade(result.expected_grade, context.tables))
        label = say("{label}: mean grade that parts of this age show", label=result.label)
        reads = say("the grade expected for its age, with no grade seen below 1 or above 5")
        parts.append(context.figure(f"{key}.shown", label, shown, "grade", reads, settings))
    label = say("{label}: grade expected of the part not checked", label=result.label)
    limit = context.setting("surprise_limit")
    return context.figure(f"{key}.unseen", label, result.unseen_grade, "grade", how, limit, parts)


def _around(expected: float, tables: Tables) -> Iterator[Prior]:
    """Return the rows of expected grades on either side of one, or the one that it meets."""
    rows = sorted(tables.priors.values(), key=lambda row: row.consumed)
    below = [row for row in rows if row.grade <= expected][-1:]
    above = [row for row in rows if row.grade >= expected][:1]
    yield from list(dict.fromkeys((*below, *above)))


def check_node(context: Context, check: Check, result: CheckResult) -> Reason:
    """Return the tree under one check's grade: its readings and its table row."""
    say = context.say
    parts: list[Reason] = []
    if result.value is not None:
        how = (
            say("as read")
            if result.readings == 1
            else say("of {count} readings, the one nearest to it by grade", count=result.readings)
            if check.statistic is Statistic.P90
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
        outcome_ = any(reading.check == check.key and reading.value is True for reading in context.case.readings)
        said = say("suspected") if result.chance else say("yes") if outcome_ else say("no")
        parts.append(context.words(f"reading.{check.key}", check.label, said, say("as the assessor found it")))
        if result.grade_there is not None:
            parts += _suspected(context, check, result)
    if check.kind is CheckKind.GRADED:
        reason = next((grade.reason for grade in context.case.grades if grade.check == check.key), "")
        how = say("graded by the assessor: {reason}", reason=reason) if reason else say("graded by the assessor")
    elif result.chance:
        how = say("what the table says a no means; in the share of the draws that it is likely, what a yes means")
    elif check.kind is CheckKind.YES_NO:
        how = say("what the table says a yes or a no means")
    elif check.statistic is Statistic.P90 and result.readings > 1:
        how = say(
            "every reading graded between the table's anchors; the grade that nine in ten of them do not exceed, "
            "interpolated"
        )
    else:
        how = say("from the reading, linear between the table's anchors")
    if result.capped:
        how = say(
            "{how}; cut to {grade}, the worst that this check alone can cause",
            how=how,
            grade=context.manner.grade(check.cap),
        )
    if result.alone is not None:
        return _together_node(context, check, result, how, parts)
    return context.figure(f"check.{check.key}", check.label, result.grade, "grade", how, context.refer(check), parts)


def _suspected(context: Context, check: Check, result: CheckResult) -> Iterator[Reason]:
    """Return how likely a suspected fault is there, and what it counts for then."""
    say = context.say
    stated = any(r.check == check.key and r.probability_pct is not None for r in context.case.readings)
    how = say("as the assessor states") if stated else say("by the table, since none is stated")
    there = say("what the table says a yes means")
    label = say("{label}, where it is there", label=check.label)
    chance = context.figure(
        f"chance.{check.key}", say("{label}, how likely", label=check.label), result.chance, "%", how
    )
    yield chance
    yield context.figure(f"there.{check.key}", label, result.grade_there or 0.0, "grade", there)


def _together_node(context: Context, check: Check, result: CheckResult, how: str, parts: Sequence[Reason]) -> Reason:
    """Return a check that counts for less than its own grade, because of the checks it is judged together with."""
    say, tables = context.say, context.tables
    alone = context.figure(
        f"alone.{check.key}",
        say("{label}, by itself", label=check.label),
        result.own_grade,
        "grade",
        how,
        context.refer(check),
        parts,
    )
    made = {one.check for station in context.valuation.stations for part in station.components for one in part.checks}
    others = [key for key in check.judged_with if key in made]
    named = say(" and ").join(context.manner.small(tables.checks[key].label) for key in others or check.judged_with)
    ahead = context.manner.grade(check.ahead)
    if others:
        text = message("judged together with {others}: no more than {ahead} grades worse than the worst of them")
        references = context.refer(check)
    else:
        text = message(
            "never judged by itself: no more than {ahead} grades worse than the grade taken of {others}, not inspected"
        )
        references = (*context.refer(check), *context.setting("judged_alone_grade"))
    how = say(text, others=named, ahead=ahead)
    return context.figure(f"check.{check.key}", check.label, result.grade, "grade", how, references, (alone,))


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
