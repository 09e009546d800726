"""Service life as a random variable: Weibull lives, what is left of them, and which gives out first."""

from __future__ import annotations

from functools import lru_cache
from math import exp, log, log1p
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.points import Curve
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

_LN2 = log(2.0)
_SPREAD = log(log(10.0) / -log(0.9))
_LEAST = 1e-3
"""Least share of its remaining life that a part is given in the sums over several parts [–]."""
_GRID = np.concatenate((np.linspace(0.0, 6.0, 385), np.geomspace(6.0, 300.0, 193)[1:]))
"""Age over scale at which the consumed share of probable life is worked out [–]; beyond its end the share stays."""
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(48)


STEEPEST = 40.0
"""Greatest shape of a service life [–]: its outer quantiles lie within 8 %, and no part is known better than that."""

_FAR = 1e6
"""Age over scale beyond which nothing is left of any part [–]; its powers are still numbers."""


@dataclass(frozen=True, slots=True)
class Weibull:
    """A distribution of service life."""

    shape: float
    """k [–], > 0."""
    scale: float
    """η [years], > 0."""

    def quantile(self, probability: float) -> float:
        """Return the life that a share `probability` of parts does not reach [years]."""
        life: float = self.scale * (-log1p(-probability)) ** (1.0 / self.shape)
        return life

    def survival(self, age: float) -> float:
        """Return the share of parts still in service at `age` [years] [–]."""
        return exp(-((age / self.scale) ** self.shape))


@lru_cache(maxsize=512)
def weibull(low: float, typical: float, high: float) -> Weibull:
    """Fit a Weibull distribution to a table's three figures.

    Args:
        low: 10 % quantile [years], > 0.
        typical: Median [years].
        high: 90 % quantile [years], > low.

    Returns:
        The distribution with that median, and the shape that gives the outer quantiles’ ratio, at most `STEEPEST`.

    Raises:
        ValueError: The figures do not rise.

    Notes:
        high / low = (ln 10 / ln(10/9))^(1/k);  η = typical / (ln 2)^(1/k).

    References:
        W. Weibull, "A statistical distribution function of wide applicability", J. Appl. Mech. 18, 1951.
    """
    if not 0.0 < low <= typical <= high or low == high:
        raise ValueError(f"a life needs 0 < low ≤ typical ≤ high, low < high: {low}, {typical}, {high}")
    shape = min(STEEPEST, _SPREAD / log(high / low))
    return Weibull(shape, typical / _LN2 ** (1.0 / shape))


def mean_residual(shape: float, t: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the mean remaining life of a part that has survived, over the scale.

    Args:
        shape: k [–], > 0.
        t: Age over scale [–], ≥ 0, any shape.

    Returns:
        e(a) / η [–], shape of `t`.

    Notes:
        e(a) = (η/k) · exp(z) · Γ(1/k, z), z = (a/η)^k, evaluated as the integral of the conditional survival
        ∫ exp(z − (t + s)^k) ds by Gauss–Legendre quadrature over the reach where it exceeds e^−40.

    References:
        The mean residual life of the Weibull distribution by the upper incomplete gamma function; survivor-curve
        practice after R. Winfrey, Statistical Analyses of Industrial Property Retirements, 1935 (from memory).
    """
    t = np.atleast_1d(np.asarray(t, dtype=np.float64))
    z = t**shape
    reach = (z + 40.0) ** (1.0 / shape) - t
    # Squaring the abscissa tames the root-like start of (t + s)^k at s = 0.
    u = 0.5 * (_NODES + 1.0)
    s = reach[..., None] * u**2
    density = np.exp(z[..., None] - (t[..., None] + s) ** shape) * (2.0 * u)
    integral: NDArray[np.float64] = reach * 0.5 * (density @ _WEIGHTS)
    return integral


@lru_cache(maxsize=128)
def consumed_curve(shape: float) -> Curve:
    """Return the consumed share of probable life by age over scale, on a grid.

    x = age / (age + e(age)): the probable life of a part that has survived grows with its age.
    """
    with np.errstate(over="ignore", invalid="ignore"):
        consumed = _GRID / (_GRID + mean_residual(shape, _GRID))
    # So narrow a life that its hazard is past all numbers leaves nothing.
    return Curve(_GRID, np.where(np.isfinite(consumed), consumed, 1.0))


def consumed_share(life: Weibull, age: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """Return the consumed share of probable life [–] at `age` [years], shape of `age`.

    Interpolated on a grid of 1/64 of the scale, wider past six times the scale; the error stays below 1e−4.
    """
    return consumed_curve(life.shape).at(np.asarray(age) / life.scale)


def remaining(life: Weibull, age: float, probability: float) -> float:
    """Return a quantile of the remaining life, given survival to `age`.

    Args:
        life: The distribution of the whole life.
        age: Effective age [years], ≥ 0.
        probability: Share of such parts that do not last this long [–].

    Returns:
        Remaining life [years].

    Notes:
        r_p = η · (z − ln(1 − p))^(1/k) − a, z = (a/η)^k.
    """
    z = (age / life.scale) ** life.shape
    left: float = life.scale * (z - log1p(-probability)) ** (1.0 / life.shape) - age
    return left


def remaining_range(life: Weibull, age: float, share: float = 1.0) -> Range:
    """Return the 10 %, 50 % and 90 % quantiles of the remaining life [years] at effective age `age`.

    Args:
        life: The distribution of the whole life.
        age: Effective age [years], ≥ 0.
        share: Share of that life that the part can still be given, see `life_share` [–].
    """
    return Range(*(share * max(0.0, remaining(life, age, p)) for p in (0.1, 0.5, 0.9)))


def life_share(grade: float, due_from: float, lead: float) -> float:
    """Return the share of its calculated remaining life that a part can still be given at a grade [–].

    Args:
        grade: 1–5.
        due_from: Grade from which the part is due.
        lead: How far before that grade the share begins to fall [grade], > 0.

    Returns:
        1 up to `due_from` − `lead`, then falling in a straight line to 0 at `due_from`: what is due has no life left,
        however long parts of its kind last. Our assumption.
    """
    return min(1.0, max(0.0, (due_from - grade) / lead))


def first_to_fail(lives: Sequence[Weibull], ages: Sequence[float], shares: Sequence[float] = ()) -> Range:
    """Return the time until the first of several parts gives out.

    Args:
        lives: Distribution of each part's life, at least one.
        ages: Effective age of each [years].
        shares: Share of its remaining life that each can be given, see `life_share` [–]; none: all of it.

    Returns:
        10 %, 50 % and 90 % quantiles [years].

    Notes:
        Competing risks: the survivals multiply, so Σ_c ((a_c + t)/η_c)^k_c − (a_c/η_c)^k_c = −ln(1 − p); the
        left side rises with t and is solved by bisection.

    References:
        Competing risks as in D. R. Cox and D. Oakes, Analysis of Survival Data, 1984 (from memory).
    """
    parts = _risks(lives, ages, shares)
    base = sum((age / scale) ** shape for shape, scale, age, _ in parts)
    longest = 8.0 * max(scale for _, scale, _, _ in parts)
    return Range(*(_reached(parts, base - log1p(-p), longest) for p in (0.1, 0.5, 0.9)))


def surviving(years: float, lives: Sequence[Weibull], ages: Sequence[float], shares: Sequence[float] = ()) -> float:
    """Return the chance that none of several parts gives out within a time [–].

    Args:
        years: From now [years], ≥ 0.
        lives: Distribution of each part's life, at least one.
        ages: Effective age of each [years].
        shares: Share of its remaining life that each can be given, see `life_share` [–]; none: all of it.

    Notes:
        Π_c exp((a_c/η_c)^k_c − ((a_c + t)/η_c)^k_c), with the time t of a part that has a share s of its life left
        counted as t/s: one half at the median of `remaining_range` and of `first_to_fail`.
    """
    parts = _risks(lives, ages, shares)
    return exp(
        sum(
            (age / scale) ** shape - min(_FAR, (age + years * pace) / scale) ** shape
            for shape, scale, age, pace in parts
        )
    )


def _risks(
    lives: Sequence[Weibull], ages: Sequence[float], shares: Sequence[float]
) -> list[tuple[float, float, float, float]]:
    """Return shape, scale, effective age and pace of each part: a part with a share s of its life runs 1/s as fast."""
    paces = [1.0 / max(share, _LEAST) for share in shares] if shares else [1.0] * len(lives)
    return [(life.shape, life.scale, age, pace) for life, age, pace in zip(lives, ages, paces, strict=True)]


def _reached(parts: list[tuple[float, float, float, float]], target: float, longest: float) -> float:
    """Return the time [years] at which the summed cumulative hazard reaches `target`, at most `longest`.

    Newton's steps, each kept inside the bracket that the steps before have left; a step that leaves it is halved
    instead, so that it ends whatever the shapes are.
    """
    low, high = 0.0, longest
    at = 0.5 * longest
    for _ in range(60):
        total = slope = 0.0
        for shape, scale, age, pace in parts:
            reach = min(_FAR, (age + at * pace) / scale)
            power = reach**shape
            total += power
            slope += shape * pace / scale * (power / reach) if reach > 0.0 else 0.0
        if total < target:
            low = at
        else:
            high = at
        step = at - (total - target) / slope if slope > 0.0 else low
        after = step if low < step < high else 0.5 * (low + high)
        if abs(after - at) < 1e-9 * longest:
            return after
        at = after
    return at


def chance_of_being_first(lives: Sequence[Weibull], ages: Sequence[float], shares: Sequence[float] = ()) -> list[float]:
    """Return how likely each of several parts is to give out first [–]; the chances sum to 1.

    Args:
        lives: Distribution of each part's life, at least one.
        ages: Effective age of each [years].
        shares: Share of its remaining life that each can be given [–]; none: all of it.

    Notes:
        Each part's hazard integrated against the joint survival, on a grid of time that reaches to where one
        instrument in 100,000 is left.
    """
    parts = _risks(lives, ages, shares)
    base = sum((age / scale) ** shape for shape, scale, age, _ in parts)
    end = _reached(parts, base + 11.5, 8.0 * max(scale for _, scale, _, _ in parts))
    shape, scale, start, pace = (np.array(column) for column in zip(*parts, strict=True))
    # Finer where failures come early: an old part may fail within a small fraction of the reach.
    times = end * np.linspace(0.0, 1.0, 257)[:, None] ** 2
    hazard = np.minimum(_FAR, (start + times * pace) / scale) ** shape - (start / scale) ** shape
    steps = np.diff(hazard, axis=0)
    survival = np.exp(-hazard.sum(axis=1))
    total = np.maximum(steps.sum(axis=1, keepdims=True), 1e-300)
    chances = (-np.diff(survival)[:, None] * steps / total).sum(axis=0)
    if not chances.sum() > 0.0:
        # So far past their lives that all fail at once as far as numbers tell: the one that is most overdue.
        chances = (start / scale == (start / scale).max()).astype(float)
    return [float(chance) for chance in chances / chances.sum()]
