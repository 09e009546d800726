"""A pitch log: drift, what the season explains, and readings that stand outside both."""

from __future__ import annotations

from math import isqrt, sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.distributions import normal_quantile
from appraise.model.measurement import LogReading, PitchLog, Season, Slope
from appraise.model.span import DAYS_PER_YEAR

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from appraise.model.case import PitchReading
    from appraise.tables.rows import Tables


_NORMAL_MAD = 0.674489750196082
"""Median absolute deviation of a standard normal variable: its upper quartile [–]."""
_ROUNDS = 40


def judge_log(log: Sequence[PitchReading], tables: Tables) -> PitchLog:
    """Judge a pitch log.

    Args:
        log: At least one reading; their order does not matter.
        tables: Holds what is enough, what is steady, and what stands outside.

    Returns:
        Drift by Theil–Sen within each note, the part that goes with humidity taken out first where there is enough to
        tell it, and every reading's distance from that. Drift and season are found in turn, each on what the other
        leaves, until both stand still; the drift's interval takes the season as known.

    Raises:
        ValueError: The log is empty.
    """
    if not log:
        raise ValueError("a pitch log needs at least one reading")
    ordered = sorted(log, key=lambda r: (r.date, r.note, r.cents, r.humidity or 0.0, r.temperature or 0.0))
    notes = np.array([reading.note for reading in ordered], dtype=np.int64)
    days = np.array([reading.date.toordinal() for reading in ordered], dtype=np.float64)
    years = (days - days[0]) / DAYS_PER_YEAR
    cents = np.array([reading.cents for reading in ordered], dtype=np.float64)
    damp = np.array([np.nan if r.humidity is None else r.humidity for r in ordered], dtype=np.float64)
    used = _again(notes, np.ones(len(notes), dtype=bool))
    level = tables.setting("pitch_confidence")
    season, drift = _parted(years, cents, damp, notes, tables)
    if drift is None:
        drift = theil_sen(years[used], cents[used], notes[used], level)
    expected = _expected(years, cents, damp, notes, drift, season)
    left = cents - expected
    known = ~np.isnan(left)
    least = tables.setting("pitch_reading_cents")
    scatter = _spread(left[known]) if known.any() else 0.0
    floor = max(scatter, least)
    cutoff = tables.setting("pitch_outside_score")
    lines = tuple(
        LogReading(
            reading,
            float(at) if good else None,
            bool(good and abs(off) / floor > cutoff),
        )
        for reading, at, off, good in zip(ordered, expected, left, known, strict=True)
    )
    covered = float(np.ptp(years[used])) if used.any() else 0.0
    return PitchLog(
        verdict=_verdict(int(used.sum()), covered, drift, season, tables),
        readings=len(ordered),
        used=int(used.sum()),
        years=covered,
        drift=drift,
        season=season,
        scatter=scatter,
        lines=lines,
        last=float(np.median(cents[days == days[-1]])),
    )


def _again(notes: NDArray[np.int64], among: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return which of the readings `among` are of notes that come twice or more there."""
    kinds, counts = np.unique(notes[among], return_counts=True)
    found: NDArray[np.bool_] = among & np.isin(notes, kinds[counts > 1])
    return found


def _parted(
    years: NDArray[np.float64],
    cents: NDArray[np.float64],
    damp: NDArray[np.float64],
    notes: NDArray[np.int64],
    tables: Tables,
) -> tuple[Season, Slope | None]:
    """Tell season from drift where that can be done; the drift is none where it cannot."""
    keep = _again(notes, ~np.isnan(damp))
    x, y, h, g = years[keep], cents[keep], damp[keep], notes[keep]
    spread = float(np.ptp(h)) if len(h) else 0.0
    if len(h) < tables.setting("pitch_season_least_readings"):
        return Season(None, 0.0, len(h), "few"), None
    if spread < tables.setting("pitch_season_least_humidity"):
        return Season(None, 0.0, len(h), "narrow"), None
    if abs(_correlation(_within(x, g), _within(h, g))) > tables.setting("pitch_season_most_correlation"):
        return Season(None, 0.0, len(h), "with time"), None
    level = tables.setting("pitch_confidence")
    # Begun at the drift by itself, so that a log that is tilted comes to the same season.
    slope_of_time = alone = theil_sen(x, y, g, level)
    drift, effect = alone.value if alone else 0.0, 0.0
    slope_of_damp = None
    for _ in range(_ROUNDS):
        slope_of_damp = theil_sen(h, y - drift * x, g, level)
        before, effect = effect, slope_of_damp.value if slope_of_damp else 0.0
        slope_of_time = theil_sen(x, y - effect * h, g, level)
        drift_before, drift = drift, slope_of_time.value if slope_of_time else 0.0
        if abs(effect - before) < 1e-9 and abs(drift - drift_before) < 1e-9:
            break
    if slope_of_damp is None or slope_of_time is None or not slope_of_damp.excludes_zero():
        return Season(slope_of_damp, 0.0, len(h), "no effect"), None
    without = _spread(_within(y - (alone.value if alone else 0.0) * x, g))
    rest = _spread(_within(y - drift * x - effect * h, g))
    # Scatter no larger than a reading's own error leaves nothing for the season to explain.
    worth = without > tables.setting("pitch_reading_cents")
    explained = max(0.0, 1.0 - (rest / without) ** 2) if worth else 0.0
    return Season(slope_of_damp, explained, len(h)), slope_of_time


def _expected(
    years: NDArray[np.float64],
    cents: NDArray[np.float64],
    damp: NDArray[np.float64],
    notes: NDArray[np.int64],
    drift: Slope | None,
    season: Season,
) -> NDArray[np.float64]:
    """Return what drift and season let expect of every reading [cents], shape (n,); no number where they cannot."""
    expected = np.full(len(cents), np.nan)
    if drift is None:
        return expected
    trend = drift.value * years
    if season.slope is not None and not season.why_not:
        trend = trend + season.slope.value * damp
    keep = _again(notes, ~np.isnan(trend))
    for note in np.unique(notes[keep]):
        own = keep & (notes == note)
        expected[own] = trend[own] + np.median(cents[own] - trend[own])
    return expected


def _verdict(used: int, years: float, drift: Slope | None, season: Season, tables: Tables) -> str:
    """Say in one word what the log shows."""
    enough = used >= tables.setting("pitch_least_readings") and years >= tables.setting("pitch_least_years")
    if drift is None or not enough:
        return "not_enough"
    if drift.excludes_zero() and abs(drift.value) > tables.setting("pitch_steady_cents_a_year"):
        return "drifting_flat" if drift.value < 0.0 else "drifting_sharp"
    if not season.why_not and season.explained >= tables.setting("pitch_season_share"):
        return "seasonal"
    if not drift.excludes_zero() and max(-drift.low, drift.high) > tables.setting("pitch_unclear_cents_a_year"):
        return "not_enough"
    return "steady"


def _within(values: NDArray[np.float64], groups: NDArray[np.int64]) -> NDArray[np.float64]:
    """Return the values less the median of their group."""
    left = values.copy()
    for group in np.unique(groups):
        left[groups == group] -= np.median(values[groups == group])
    return left


def _spread(values: NDArray[np.float64]) -> float:
    """Return the median absolute deviation, scaled to the standard deviation of a normal variable."""
    return float(np.median(np.abs(values - np.median(values))) / _NORMAL_MAD)


def _correlation(x: NDArray[np.float64], y: NDArray[np.float64]) -> float:
    """Return the linear correlation [–]; 1 where either does not vary, since nothing can be told apart then."""
    sx, sy = float(np.std(x)), float(np.std(y))
    if sx == 0.0 or sy == 0.0:
        return 1.0
    return float(np.mean((x - x.mean()) * (y - y.mean())) / (sx * sy))


MOST_PAIRS = 200_000
"""Pairs beyond which an even choice of the readings of each group is used: they grow with the square."""


def theil_sen(
    x: NDArray[np.float64], y: NDArray[np.float64], groups: NDArray[np.int64], confidence: float = 0.95
) -> Slope | None:
    """Return the median of the slopes between all pairs of readings of the same group.

    Args:
        x: Shape (n,).
        y: Shape (n,).
        groups: Which readings may be compared, shape (n,); readings of two notes differ by more than time.
        confidence: Of the interval [–], in (0, 1).

    Returns:
        The slope with its interval, or none where no two readings of a group differ in x.

    References:
        H. Theil 1950; P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau", JASA 63, 1968:
        the interval from the variance of Kendall's statistic, ties allowed for in both x and y (his equation 2.6).
        Groups as the seasons of R. M. Hirsch, J. R. Slack, R. A. Smith, "Techniques of trend analysis for monthly
        water quality data", Water Resources Research 18, 1982: slopes pooled, variances added. All from memory.
    """
    slopes: list[NDArray[np.float64]] = []
    variance = 0.0
    kinds = np.unique(groups)
    longest = isqrt(2 * MOST_PAIRS // max(1, len(kinds)))
    for group in kinds:
        member = np.flatnonzero(groups == group)
        if len(member) > longest:
            member = member[np.linspace(0, len(member) - 1, longest).astype(int)]
        xs, ys = x[member], y[member]
        first, second = np.triu_indices(len(member), 1)
        run = xs[second] - xs[first]
        rise = ys[second] - ys[first]
        keep = run != 0.0
        slopes.append(rise[keep] / run[keep])
        variance += kendall_variance(xs, ys)
    found = np.sort(np.concatenate(slopes)) if slopes else np.empty(0)
    if not len(found):
        return None
    reach = normal_quantile(0.5 + 0.5 * confidence) * sqrt(variance)
    low = max(round((len(found) - reach) / 2.0) - 1, 0)
    high = min(round((len(found) + reach) / 2.0), len(found) - 1)
    return Slope(float(np.median(found)), float(found[low]), float(found[high]))


def kendall_variance(x: NDArray[np.float64], y: NDArray[np.float64]) -> float:
    """Return the variance of Kendall's statistic S under no trend [–], less for ties in x and in y."""
    n = len(x)
    ties = sum(_tied(values) for values in (x, y))
    # Where x, or y, never changes the ties in the other would be taken off twice.
    return max(0.0, (n * (n - 1) * (2 * n + 5) - ties) / 18.0)


def _tied(values: NDArray[np.float64]) -> float:
    _, counts = np.unique(values, return_counts=True)
    return float(np.sum(counts * (counts - 1) * (2 * counts + 5)))
