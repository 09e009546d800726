"""The slope of readings against time that a few wild readings cannot bend: Theil–Sen, with its interval."""

from __future__ import annotations

from math import isqrt, sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.distributions import normal_quantile
from appraise.model.pitch import Slope

if TYPE_CHECKING:
    from numpy.typing import NDArray

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
