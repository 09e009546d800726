"""From what was seen and measured to the grade of each check."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.derived import following
from appraise.engine.distributions import mean_interval, share_interval
from appraise.engine.draws import quantiles
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import CheckResult
from appraise.tables.rows import CheckKind, Statistic

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from appraise.model.case import Case, Kind, Reading
    from appraise.tables.rows import Check, Tables

Z95 = 1.6448536269514722
"""Half width of a 90 % interval of a normal distribution, in standard deviations [–]."""


def anchored(value: float, anchors: Sequence[tuple[float, float]]) -> float:
    """Return the grade of a value: linear between the anchors, flat outside them.

    Args:
        value: In the unit of the anchors.
        anchors: (value, grade) points, values rising, at least one.
    """
    # Written out: for one number at a time an array library takes ten times as long.
    before, grade = anchors[0]
    if value <= before:
        return grade
    for place, reached in anchors[1:]:
        if value <= place:
            return grade + (reached - grade) * (value - before) / (place - before)
        before, grade = place, reached
    return grade


@dataclass(frozen=True, slots=True)
class Judged:
    """A check's result with the standard uncertainty that sampling alone gives its grade."""

    result: CheckResult
    sampling_sd: float = 0.0
    """[grade]."""


def judge(check: Check, readings: Sequence[float], compass: int, tables: Tables) -> Judged:
    """Reduce the readings of a measured or counted check to one grade.

    Args:
        check: The row, with anchors and the statistic to use.
        readings: In the row's unit; at least one.
        compass: Number of notes of the instrument; a per-note check of fewer notes is a sample.
        tables: Holds the grades of a share of notes out of tolerance.

    Returns:
        The capped grade, the reduced value with its 90 % interval where it comes from a sample, and the standard
        deviation that the sampling brings to the grade.
    """
    values = list(readings)
    sampled = check.per_note and 1 < len(values) < compass
    correction = sqrt(max(0.0, 1.0 - len(values) / compass)) if sampled else 0.0
    if check.statistic is Statistic.MEAN:
        value, low, high = mean_interval(values) if sampled else (sum(values) / len(values),) * 3
        # A sample without replacement from so few notes knows more than one from endlessly many.
        low, high = value - (value - low) * correction, value + (high - value) * correction
        grade = anchored(value, check.anchors)
        spread = abs(anchored(high, check.anchors) - anchored(low, check.anchors))
    elif check.statistic is Statistic.SHARE:
        grades = [anchored(value, check.anchors) for value in values]
        out = sum(grade > 3.0 for grade in grades)
        value = 100.0 * out / len(grades)
        bounds = share_interval(out, len(grades)) if sampled else (value / 100.0,) * 2
        low, high = 100.0 * bounds[0], 100.0 * bounds[1]
        steps = [(0.0, 1.0), *((tables.setting(f"share_grade_{step}_pct"), float(step)) for step in (2, 3, 4, 5))]
        grade = anchored(value, steps)
        spread = anchored(high, steps) - anchored(low, steps)
    else:
        grades = sorted(anchored(value, check.anchors) for value in values)
        grade = (
            grades[-1] if check.statistic is Statistic.WORST else float(quantiles(np.array(grades), np.array([0.9]))[0])
        )
        value = min(values, key=lambda reading: (abs(anchored(reading, check.anchors) - grade), reading))
        low = high = value
        spread = 0.0
    capped = min(grade, check.cap)
    result = CheckResult(
        check=check.key,
        grade=capped,
        value=value,
        value_low=low if sampled and low != high else None,
        value_high=high if sampled and low != high else None,
        readings=len(values),
        capped=grade > check.cap,
    )
    return Judged(result, spread / (2.0 * Z95))


def judged_checks(case: Case, tables: Tables) -> dict[str, Judged]:
    """Return the result of every check of the case that carries a grade, by check key.

    Checks that the tables do not know, or that do not belong to this kind of instrument, are passed over: the
    store has named them as problems.
    """
    numbers: dict[str, list[float]] = {}
    found: dict[str, Judged] = {}
    for reading in case.readings:
        check = tables.checks.get(reading.check)
        if check is None or case.identity.kind not in check.kinds:
            continue
        if check.kind is CheckKind.YES_NO and isinstance(reading.value, bool):
            found[check.key] = _yes_no(check, reading, found.get(check.key))
        elif check.kind in (CheckKind.MEASURED, CheckKind.COUNT) and isinstance(reading.value, float):
            numbers.setdefault(check.key, []).append(reading.value)
    for key, followed in following(case, tables).items():
        numbers[key] = list(followed.values())
    for key, values in numbers.items():
        found[key] = _judge(key, tuple(values), case.identity.compass, tables)
    for grade in case.grades:
        check = tables.checks.get(grade.check)
        if check is None or case.identity.kind not in check.kinds:
            continue
        capped = min(grade.grade, check.cap)
        found[check.key] = Judged(CheckResult(check.key, capped, capped=grade.grade > check.cap))
    return _together(found, tables)


def _together(found: dict[str, Judged], tables: Tables) -> dict[str, Judged]:
    """Return the results with each check that is never judged by itself held near those it is judged with.

    Notes:
        It counts for min(own grade, worst of the others made + `ahead`), where none of the others was made for
        min(own grade, the setting `judged_alone_grade` + `ahead`). Every check of such a set is held by the others'
        own grades, so that the result never gets better when any of them gets worse. Where all of them are bad, the
        worst stands as it is. Our assumption.
    """
    told = dict(found)
    for key, judged in found.items():
        row = tables.checks[key]
        if not row.judged_with:
            continue
        others = [found[other].result.grade for other in row.judged_with if other in found]
        limit = row.ahead + (max(others) if others else tables.setting("judged_alone_grade"))
        if judged.result.grade > limit:
            result = replace(judged.result, grade=limit, alone=judged.result.grade)
            told[key] = replace(judged, result=result)
    return told


@lru_cache(maxsize=1024)
def _judge(key: str, values: tuple[float, ...], compass: int, tables: Tables) -> Judged:
    """Judge a check's readings; kept, because a change to one check leaves the others as they are."""
    return judge(tables.checks[key], values, compass, tables)


def _yes_no(check: Check, reading: Reading, before: Judged | None) -> Judged:
    grade = min(check.grade_yes if reading.value else check.grade_no, check.cap)
    if before is not None and before.result.grade >= grade:
        return before
    return Judged(CheckResult(check.key, grade, readings=1))


@lru_cache(maxsize=16)
def gradable(tables: Tables, kind: Kind) -> Mapping[str, Sequence[Check]]:
    """Return the grade-bearing checks of each component for this kind of instrument, in table order."""
    found: dict[str, list[Check]] = {}
    for check in tables.checks.values():
        if kind in check.kinds and check.kind is not CheckKind.RECORD:
            found.setdefault(check.component, []).append(check)
    return found
