"""From what was seen and measured to grades: of a check, of a component, of what nobody looked at."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.derived import following
from appraise.engine.special import mean_interval, share_interval
from appraise.model.result import CheckResult
from appraise.tables.rows import CheckKind, Statistic

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

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
        grade = grades[-1] if check.statistic is Statistic.WORST else float(np.percentile(grades, 90.0))
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
    return found


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


@dataclass(frozen=True, slots=True)
class Seen:
    """What the checks together say of one component."""

    judged: tuple[Judged, ...]
    """In table order."""
    coverage: float
    """Weight of the checks made over the weight of all [–]."""
    governing: str
    grade: float | None
    """Worst of the capped grades; none when nothing was checked."""
    sampling_sd: float


def look(checks: Iterable[Check], judged: Mapping[str, Judged]) -> Seen:
    """Combine the checks of one component: the worst governs.

    Args:
        checks: Every grade-bearing check of the component.
        judged: Results by check key; those of other components are ignored.
    """
    rows = list(checks)
    made = [judged[row.key] for row in rows if row.key in judged]
    total = sum(row.weight for row in rows)
    weight = sum(row.weight for row in rows if row.key in judged)
    coverage = weight / total if total > 0.0 else 0.0
    if not made:
        return Seen((), 0.0, "", None, 0.0)
    worst = max(made, key=lambda one: one.result.grade)
    # The widest sampling spread, whichever check governs: a worse grade must not look like better knowledge.
    spread = max(one.sampling_sd for one in made)
    return Seen(tuple(made), coverage, worst.result.check, worst.result.grade, spread)


@dataclass(frozen=True, slots=True)
class Belief:
    """What is held of one component's grade: a normal distribution, cut to 1–5 where it is used."""

    mean: float
    own_sd: float
    """Part of the spread that is the component's own [grade]."""
    common_sd: float
    """Part it shares with everything else not yet seen [grade]."""

    @property
    def sd(self) -> float:
        """Whole spread [grade]."""
        return sqrt(self.own_sd**2 + self.common_sd**2)


@dataclass(frozen=True, slots=True)
class Common:
    """The general condition of the instrument, as far as what was seen speaks of what was not."""

    seen_grade: float | None
    """Mean of the grades seen, by coverage; none when nothing was."""
    pull: float
    """Weight of that mean against what age lets expect [–], in [0, 1)."""
    precision: float
    """Posterior precision of the common factor over its prior precision [–], ≥ 1."""


def common_condition(
    seen: Mapping[str, tuple[float | None, float]], shares: Mapping[str, float], tables: Tables
) -> Common:
    """Learn the general condition from the components that were looked at.

    Args:
        seen: For each component the observed grade (none: not seen) and how much of it was seen, in [0, 1].
        shares: Share of replacement cost by component, times how far the component speaks for others [–].
        tables: Holds the settings.

    Returns:
        The mean of what was seen, its weight and the precision gained.

    Notes:
        A component's grade is modelled as e_c + s·(√ρ·F + √(1−ρ)·ε_c) with F common to the instrument; each
        observation counts by its coverage κ and by its share of cost against the mean share (a soundboard speaks for
        more than a spring), so the precision of F grows to 1 + Σ κ·w·ρ/(1−ρ) and the weight of
        what was seen is 1 − 1/precision (the normal–normal update of a mean). The seen grades are pooled as they
        stand and not as departures from their own expectation: then an older part can never make the rest of the
        instrument look better. The model is our assumption.
    """
    rho = tables.setting("common_condition_share")
    looked = [
        (grade, coverage * representative(key, shares))
        for key, (grade, coverage) in seen.items()
        if grade is not None and coverage > 0.0
    ]
    if not looked:
        return Common(None, 0.0, 1.0)
    weight = sum(coverage for _, coverage in looked)
    precision = 1.0 + weight * rho / (1.0 - rho)
    mean = sum(grade * coverage for grade, coverage in looked) / weight
    return Common(mean, 1.0 - 1.0 / precision, precision)


def representative(component: str, shares: Mapping[str, float]) -> float:
    """Return how much a component speaks for the whole: its share over the mean share [–]."""
    return shares[component] * len(shares) / sum(shares.values())


def prior_grade(expected: float, common: Common, tables: Tables) -> float:
    """Return the grade to expect of a component nobody has seen.

    Args:
        expected: What its age lets expect.
        common: The general condition; it moves the expectation by no more than the table's limit, so that a
            cracked plate does not condemn the dampers.
        tables: Holds the settings.
    """
    if common.seen_grade is None:
        return expected
    limit = tables.setting("surprise_limit")
    rest = min(expected + limit, max(expected - limit, common.seen_grade))
    return min(5.0, max(1.0, (1.0 - common.pull) * expected + common.pull * rest))


def believe(
    grade: float | None, coverage: float, sampling_sd: float, prior: float, common: Common, tables: Tables
) -> Belief:
    """Return what is held of a component's grade.

    Args:
        grade: Observed grade; none when not seen.
        coverage: How much of it was seen, κ in [0, 1].
        sampling_sd: Spread of the observed grade from sampling [grade].
        prior: See `prior_grade`.
        common: The general condition.
        tables: Holds the settings.

    Returns:
        The seen part keeps the grade observed; the unseen part may still turn out worse, so the mean moves
        towards the prior as far as that is worse, by 1 − κ.
    """
    seen_sd = tables.setting("grade_sd_seen")
    unseen_sd = tables.setting("grade_sd_unseen")
    rho = tables.setting("common_condition_share")
    mean = prior if grade is None else grade + (1.0 - coverage) * max(0.0, prior - grade)
    own = sqrt(coverage * seen_sd**2 + sampling_sd**2 + (1.0 - coverage) * unseen_sd**2 * (1.0 - rho))
    shared = unseen_sd * sqrt((1.0 - coverage) * rho / common.precision)
    return Belief(mean, own, shared)
