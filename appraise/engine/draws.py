"""Seeded, stratified draws: one column per uncertain input, the same on every machine."""

from __future__ import annotations

from functools import lru_cache
from math import log
from statistics import NormalDist
from typing import TYPE_CHECKING
from zlib import crc32

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray


Z90 = 1.2815515655446004
"""Quantile of the standard normal distribution at 90 % [–]."""

BINS = 32
"""Strata into which the draws are sorted when the share of an input in the variance is estimated."""


EVENLY = (
    *("market factor", "channel", "replacement cost", "comparables", "disagreement", "salvage"),
    *("general condition", "hours", "parts"),
)
"""Inputs that bring most of the width, drawn evenly together: the market's, and what all parts and all jobs share."""


def _steps(dimensions: int) -> tuple[float, ...]:
    """Return the steps α_1 … α_d of the recurrence [–]."""
    root = 2.0
    for _ in range(64):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    return tuple(root**-j for j in range(1, dimensions + 1))


_STEPS = _steps(len(EVENLY))


@lru_cache(maxsize=8)
def _scores(n: int) -> NDArray[np.float64]:
    quantile = NormalDist().inv_cdf
    return np.array([quantile((i + 0.5) / n) for i in range(n)])


@lru_cache(maxsize=1024)
def order(seed: int, name: str, n: int) -> NDArray[np.intp]:
    """Return a permutation of 0 … n−1 for the input `name`: `order[j]` is the draw whose stratum is j.

    The permutation hangs on the seed and the name alone, so an input keeps its draws when others come and go,
    and a change of one input moves the result by that input only. The raw bits of PCG64 are used because their
    stream is promised not to change between releases of NumPy.

    Args:
        seed: Any integer ≥ 0.
        name: Name of the input.
        n: Number of draws, ≥ 1.

    Notes:
        The prices of the market and what all parts or jobs share are few and bring most of the width. Their order is
        that of an additive recurrence with a start drawn by the seed, u_k = frac(u_0 + k·α_j), α_j = φ^−j with φ the
        root of φ^(d+1) = φ + 1: in d dimensions together it leaves fewer gaps than permutations by chance do.

    References:
        H. Niederreiter, Random Number Generation and Quasi-Monte Carlo Methods, 1992, on Kronecker sequences; the
        choice of α by the generalised golden ratio is M. Roberts' (both from memory).
    """
    bits = np.random.PCG64(np.random.SeedSequence([seed, crc32(name.encode())]))
    if name in EVENLY:
        start = bits.random_raw() / 2.0**64
        return np.argsort((start + np.arange(1, n + 1) * _STEPS[EVENLY.index(name)]) % 1.0, kind="stable")
    return np.argsort(bits.random_raw(n), kind="stable")


@lru_cache(maxsize=1024)
def normal(seed: int, name: str, n: int) -> NDArray[np.float64]:
    """Return a Latin hypercube column of standard normal scores, shape (n,).

    References:
        M. D. McKay, R. J. Beckman, W. J. Conover, "A comparison of three methods for selecting values of input
        variables in the analysis of output from a computer code", Technometrics 21, 1979.
    """
    column = np.empty(n)
    column[order(seed, name, n)] = _scores(n)
    column.flags.writeable = False
    return column


@lru_cache(maxsize=1024)
def spread(seed: int, name: str, n: int, relative_sd: float) -> NDArray[np.float64]:
    """Return lognormal factors around 1 with a relative standard deviation [–], shape (n,)."""
    return np.exp(relative_sd * normal(seed, name, n))


def rectangular(seed: int, name: str, n: int) -> NDArray[np.float64]:
    """Return a Latin hypercube column uniform on (0, 1), shape (n,)."""
    column = np.empty(n)
    column[order(seed, name, n)] = (np.arange(n) + 0.5) / n
    return column


def between(low: float, typical: float, high: float, scores: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return draws of a positive quantity from its 10 %, 50 % and 90 % quantiles.

    Args:
        low: 10 % quantile, > 0.
        typical: Median, ≥ low.
        high: 90 % quantile, ≥ typical.
        scores: Standard normal scores, any shape.

    Returns:
        Draws in the unit of the quantiles, shape of `scores`: a lognormal split at the median, so that all three
        quantiles are met exactly and no draw is negative.
    """
    if low == high:
        return np.full_like(scores, typical)
    return typical * swung(log(typical / low), log(high / typical), scores)


@lru_cache(maxsize=512)
def swing(seed: int, name: str, n: int, below: float, above: float) -> NDArray[np.float64]:
    """Return what a lognormal split at its median makes of it in every draw [–], see `between`, shape (n,).

    Kept, because most jobs share how far their hours spread, and every instrument has the same jobs.

    Args:
        seed: As for `order`.
        name: Name of the input.
        n: Number of draws.
        below: ln(median over 10 % quantile) [–], ≥ 0.
        above: ln(90 % quantile over median) [–], ≥ 0.
    """
    factors = swung(below, above, normal(seed, name, n))
    factors.flags.writeable = False
    return factors


def swung(below: float, above: float, scores: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the same from standard normal scores, of their shape."""
    factors: NDArray[np.float64] = np.exp(np.where(scores < 0.0, below / Z90, above / Z90) * scores)
    return factors


@lru_cache(maxsize=1024)
def quantity(seed: int, name: str, n: int, low: float, typical: float, high: float) -> NDArray[np.float64]:
    """Return a Latin hypercube column of a quantity known by three quantiles (see `between`), shape (n,)."""
    column = between(low, typical, high, normal(seed, name, n))
    column.flags.writeable = False
    return column


def percentiles(column: NDArray[np.float64], wanted: Sequence[float]) -> list[float]:
    """Return percentiles of a column, linear between order statistics.

    Args:
        column: Draws, shape (n,).
        wanted: Percentages in [0, 100].

    Returns:
        One figure a percentage, in the unit of the column.
    """
    places = np.asarray(wanted) * ((column.size - 1) / 100.0)
    rising = _rising_at(column, places)
    return [float(figure) for figure in np.interp(places, np.arange(rising.size), rising)]


def _rising_at(values: NDArray[np.float64], places: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return figures in rising order as far as it is asked for: at each place and at the two beside it.

    Args:
        values: Without gaps, shape (n,), n ≥ 1.
        places: Within 0 … n − 1, whole or not.
    """
    below = np.floor(places).astype(np.intp)
    return np.partition(values, np.unique(np.minimum(np.concatenate((below, below + 1)), values.size - 1)))


def median(columns: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the median along the first axis, figure for figure as NumPy's.

    NumPy's own looks for masked arrays first, and loads what they are made of for that.

    Args:
        columns: Without gaps, shape (n, …), n ≥ 1.
    """
    below, above = (len(columns) - 1) // 2, len(columns) // 2
    parted = np.partition(columns, (below, above), axis=0)
    middle: NDArray[np.float64] = 0.5 * (parted[below] + parted[above])
    return middle


def quantiles(values: NDArray[np.float64], shares: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return quantiles, linear between order statistics, figure for figure as NumPy's; see `median`.

    Args:
        values: Without gaps, any shape.
        shares: In [0, 1], shape (k,).
    """
    place = (values.size - 1) * shares
    rising = _rising_at(values.ravel(), place)
    below = np.minimum(np.floor(place).astype(np.intp), max(0, rising.size - 2))
    share, low, high = place - below, rising[below], rising[np.minimum(below + 1, rising.size - 1)]
    # From the nearer of the two, so that an end is met exactly.
    found: NDArray[np.float64] = np.where(share < 0.5, low + (high - low) * share, high - (high - low) * (1.0 - share))
    return found


@lru_cache(maxsize=16)
def orders_of(seed: int, names: tuple[str, ...], n: int) -> NDArray[np.intp]:
    """Return `order` of several inputs, one below the other, shape (inputs, n)."""
    if not names:
        return np.zeros((0, n), dtype=np.intp)
    return np.stack([order(seed, name, n) for name in names])


def variance_shares(
    outcome: NDArray[np.float64], orders: NDArray[np.intp], variance: float | None = None
) -> NDArray[np.float64]:
    """Estimate the first-order share of the variance that each input brings, from the draws already made.

    Args:
        outcome: The figure drawn, shape (n,).
        orders: For each input, the draws in the order of that input (see `orders_of`), shape (inputs, n).
        variance: Variance of the figure, where the outcome is its mean over inputs that are not asked for; none: that
            of the outcome.

    Returns:
        Shares [–], one an input, each in [0, 1].

    Notes:
        Var(E[Y | X_i]) / Var(Y), the conditional mean taken over equal strata of the input and freed of the part
        that chance alone puts between strata.

    References:
        I. M. Sobol', "Sensitivity estimates for nonlinear mathematical models", 1993 (from memory).
    """
    n = outcome.size - outcome.size % BINS
    own = float(outcome.var())
    total = own if variance is None else variance
    if total <= 0.0 or not len(orders):
        return np.zeros(len(orders))
    centred = outcome - outcome.mean()
    size = n // BINS
    means = centred[orders[:, :n]].reshape(len(orders), BINS, size).mean(axis=2)
    between_strata = means.var(axis=1)
    chance = own * (BINS - 1) / BINS / size
    shares: NDArray[np.float64] = np.clip((between_strata - chance) / total, 0.0, 1.0)
    # Two standard deviations of what chance alone puts between strata: below it nothing can be told.
    shares[shares < 2.0 * np.sqrt(2.0 * (BINS - 1)) / BINS / size * own / total] = 0.0
    return shares
