"""Estimates of the whole compass from a sample of its notes, and the number of notes still to measure."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, fsum, inf, sqrt
from typing import TYPE_CHECKING

from appraise.engine.distributions import student_quantile, wilson_bounds
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence


_WHOLE = 1e-9


@dataclass(frozen=True, slots=True)
class Spread:
    """A sample described."""

    n: int
    mean: float
    sd: float
    """Standard deviation, n − 1 in the denominator, in the unit of the values; 0 for one value."""
    median: float
    least: float
    greatest: float


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure of the whole compass from a sample of its notes."""

    value: float
    low: float
    """−∞ where a single note tells nothing of the others."""
    high: float
    inside: bool | None
    """In tolerance with confidence, out of it with confidence, or none: not settled."""
    more: int
    """Notes still to be measured until it is settled, if they read like those at hand; 0 where it is."""


def describe(values: Sequence[float]) -> Spread:
    """Describe a sample of one value or more; their order does not matter.

    Raises:
        ValueError: No values.
    """
    if not values:
        raise ValueError("describe needs at least one value")
    ordered = sorted(values)
    n = len(ordered)
    mean = fsum(ordered) / n
    sd = sqrt(fsum((value - mean) ** 2 for value in ordered) / (n - 1)) if n > 1 else 0.0
    median = ordered[n // 2] if n % 2 else 0.5 * (ordered[n // 2 - 1] + ordered[n // 2])
    return Spread(n, mean, sd, median, ordered[0], ordered[-1])


def mean_bounds(mean: float, sd: float, n: int, population: int, level: float) -> tuple[float, float]:
    """Return Student's t interval for the mean of a compass of `population` notes, `n` of them measured.

    Returns:
        mean ± t(n − 1) · sd/√n · √(1 − n/N), with `sd` over n − 1; infinite for one note of several, the mean for all.

    References:
        Student, Biometrika 6, 1908; W. G. Cochran, Sampling Techniques, 3rd ed., 1977, chapter 2 (finite population
        correction; from memory).
    """
    _counts(n, population)
    if n == population:
        return mean, mean
    if n == 1:
        return -inf, inf
    half = student_quantile(0.5 + 0.5 * level, n - 1) * sd / sqrt(n) * sqrt(1.0 - n / population)
    return mean - half, mean + half


def share_bounds(share: float, n: int, population: int, level: float) -> tuple[float, float]:
    """Return Wilson's interval for a share [–] of a compass of `population` notes, `n` of them measured.

    Returns:
        Wilson's bounds for a sample of n · (N − 1)/(N − n), the size whose variance P(1 − P)/n matches that of n drawn
        without replacement; never beyond what the notes measured leave possible.

    References:
        E. B. Wilson, JASA 22, 1927; W. G. Cochran, Sampling Techniques, 3rd ed., 1977, chapter 3 (variance of a
        proportion drawn without replacement; from memory).
    """
    _counts(n, population)
    effective = inf if n == population else n * (population - 1) / (population - n)
    low, high = wilson_bounds(share, effective, level)
    found, clear = share * n, (1.0 - share) * n
    return max(low, found / population), min(high, (population - clear) / population)


def notes_out(low: float, high: float, population: int) -> tuple[int, int]:
    """Return the bounds of a share [–] as whole notes of the compass, inwards: a note is in or out."""
    return ceil(low * population - _WHOLE), int(high * population + _WHOLE)


def estimate_mean(values: Sequence[float], population: int, level: float, limits: Sequence[Band] = ()) -> Estimate:
    """Estimate the mean of the compass, and whether it lies within limits in the unit of the values, where given.

    Raises:
        ValueError: No values, or more than notes.
    """
    spread = describe(values)
    low, high = mean_bounds(spread.mean, spread.sd, spread.n, population, level)
    if not limits:
        return Estimate(spread.mean, low, high, None, 0)

    def settled(n: int) -> bool:
        return holds(*mean_bounds(spread.mean, spread.sd, n, population, level), limits) is not None

    more = _more(settled, spread.n, population)
    return Estimate(spread.mean, low, high, holds(low, high, limits), more)


def estimate_share(
    values: Sequence[float], population: int, level: float, limits: Sequence[Band], allowed: float
) -> Estimate:
    """Estimate the share of the compass outside the limits, and whether so many [–] are allowed.

    Raises:
        ValueError: No values, or more than notes.
    """
    out = sum(not within(value, limits) for value in values)
    return estimate_count(out, len(values), population, level, allowed)


def estimate_count(out: int, n: int, population: int, level: float, allowed: float) -> Estimate:
    """Estimate the share of the compass that is out from `out` of `n` notes, and whether so many [–] are allowed.

    Raises:
        ValueError: The counts make no sense.
    """
    _counts(n, population)
    if not 0 <= out <= n:
        raise ValueError(f"found {out} of {n} notes, expected from 0 to {n}")
    share = out / n
    low, high = share_bounds(share, n, population, level)

    def verdict(size: int) -> bool | None:
        least, most = share_bounds(share, size, population, level)
        return True if most <= allowed + _WHOLE else False if least > allowed + _WHOLE else None

    return Estimate(share, low, high, verdict(n), _more(lambda size: verdict(size) is not None, n, population))


def _more(settled: Callable[[int], bool], n: int, population: int) -> int:
    """Return how many notes beyond `n` settle it; with all of them it always is."""
    return next((size - n for size in range(n, population) if settled(size)), population - n)


def _counts(n: int, population: int) -> None:
    if not 1 <= n <= population:
        raise ValueError(f"found {n} notes measured, expected from 1 to {population}")


OUT_OF_TOLERANCE = 3.0
"""A grade worse than this is out of tolerance [grade]; as `rows.Statistic.SHARE` counts."""

Band = tuple[float | None, float | None]
"""Lower and upper edge, none where it is open."""


def bands(anchors: Sequence[tuple[float, float]], grade: float, *, worse: bool = False) -> list[Band]:
    """Return the intervals of value where the grade is at most `grade`, or with `worse` at least it.

    The anchors are (value, grade) points, values rising; linear between, flat beyond.
    """

    def inside(at: float) -> bool:
        return at >= grade if worse else at <= grade

    edges: list[float] = []
    for (v0, g0), (v1, g1) in pairwise(anchors):
        if inside(g0) != inside(g1):
            edges.append(v0 + (grade - g0) * (v1 - v0) / (g1 - g0))
    found: list[Band] = []
    start: float | None = None
    open_now = inside(anchors[0][1])
    for edge in edges:
        if open_now:
            found.append((start, edge))
        else:
            start = edge
        open_now = not open_now
    if open_now:
        found.append((start, None))
    return found


def within(value: float, limits: Sequence[Band]) -> bool:
    """Tell whether a value lies in one of the intervals, edges included."""
    return any((low is None or value >= low) and (high is None or value <= high) for low, high in limits)


def holds(low: float, high: float, limits: Sequence[Band]) -> bool | None:
    """Tell whether all values from `low` to `high` lie in one of the intervals: all, none, or (None) some."""
    for least, most in limits:
        if (least is None or low >= least) and (most is None or high <= most):
            return True
        if (least is None or high >= least) and (most is None or low <= most):
            return None
    return False
