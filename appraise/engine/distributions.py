"""The few special functions of statistics that the intervals need, in closed or convergent form."""

from __future__ import annotations

from functools import lru_cache
from math import exp, isinf, lgamma, log, log1p, sqrt
from statistics import NormalDist

_NORMAL = NormalDist()
_TINY = 1e-300


def normal_quantile(probability: float) -> float:
    """Return the quantile of the standard normal distribution [–].

    Args:
        probability: In (0, 1).

    Raises:
        statistics.StatisticsError: The probability is not inside (0, 1).
    """
    return _NORMAL.inv_cdf(probability)


def regularised_beta(x: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b) [–].

    Args:
        x: In [0, 1].
        a: First shape, > 0.
        b: Second shape, > 0.

    Raises:
        ValueError: An argument is out of range.

    References:
        Continued fraction 8.17.22 of the NIST Digital Library of Mathematical Functions, evaluated by
        Lentz's method (number of the equation from memory).
    """
    if not 0.0 <= x <= 1.0 or a <= 0.0 or b <= 0.0:
        raise ValueError(f"regularised_beta needs 0 ≤ x ≤ 1 and a, b > 0: {x}, {a}, {b}")
    if x in (0.0, 1.0):
        return x
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - regularised_beta(1.0 - x, b, a)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x)) / a
    c, d = 1.0, 1.0 / max(1.0 - (a + b) * x / (a + 1.0), _TINY)
    fraction = d
    for m in range(1, 400):
        for numerator in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1.0 + numerator * d
            d = 1.0 / (d if abs(d) > _TINY else _TINY)
            c = 1.0 + numerator / c
            c = c if abs(c) > _TINY else _TINY
            fraction *= c * d
        if abs(c * d - 1.0) < 1e-15:
            break
    return front * fraction


@lru_cache(maxsize=512)
def student_quantile(probability: float, freedom: int) -> float:
    """Return the quantile of Student's t distribution [–].

    Args:
        probability: In (0.5, 1).
        freedom: Degrees of freedom, ≥ 1.

    Raises:
        ValueError: An argument is out of range.

    References:
        Student, "The probable error of a mean", Biometrika 6, 1908; the tail as an incomplete beta function.
    """
    if not 0.5 < probability < 1.0 or freedom < 1:
        raise ValueError(f"student_quantile needs ½ < p < 1 and freedom ≥ 1: {probability}, {freedom}")
    tail = 2.0 * (1.0 - probability)
    low, high = 0.0, 1.0
    for _ in range(64):  # the tail area 2(1−p) = I_x(ν/2, ½) rises with x = ν/(ν + t²)
        middle = 0.5 * (low + high)
        if regularised_beta(middle, 0.5 * freedom, 0.5) < tail:
            low = middle
        else:
            high = middle
    x = 0.5 * (low + high)
    return sqrt(freedom * (1.0 - x) / x)


def mean_interval(values: list[float], level: float = 0.90) -> tuple[float, float, float]:
    """Return the mean of a sample with Student's t interval.

    Args:
        values: At least one value, any unit.
        level: Confidence level [–].

    Returns:
        Mean, lower and upper bound, in the unit of the values; for one value all three are that value.

    Raises:
        ValueError: No values.
    """
    n = len(values)
    if n == 0:
        raise ValueError("mean_interval needs at least one value")
    mean = sum(values) / n
    if n == 1:
        return mean, mean, mean
    spread = sqrt(sum((value - mean) ** 2 for value in values) / (n - 1))
    half = student_quantile(0.5 + 0.5 * level, n - 1) * spread / sqrt(n)
    return mean, mean - half, mean + half


def share_interval(hits: int, n: int, level: float = 0.90) -> tuple[float, float]:
    """Return Wilson's score interval for a share.

    Args:
        hits: Number found, 0 … n.
        n: Number looked at, ≥ 1.
        level: Confidence level [–].

    Returns:
        Lower and upper bound of the share [–].

    Raises:
        ValueError: The counts make no sense.

    References:
        E. B. Wilson, "Probable inference, the law of succession, and statistical inference", JASA 22, 1927.
    """
    if n < 1 or not 0 <= hits <= n:
        raise ValueError(f"share_interval needs 0 ≤ hits ≤ n, n ≥ 1: {hits}, {n}")
    return wilson_bounds(hits / n, float(n), level)


def wilson_bounds(share: float, n: float, level: float = 0.90) -> tuple[float, float]:
    """Return Wilson's score interval for a share seen in a sample of an effective size.

    Args:
        share: Share found [–], 0 … 1.
        n: Size of the sample, > 0; not whole where it stands for a sample with other than simple variance, and
            infinite where nothing is left to chance.
        level: Confidence level [–].

    Returns:
        Lower and upper bound of the share [–].

    References:
        As `share_interval`.
    """
    if isinf(n):
        return share, share
    z = normal_quantile(0.5 + 0.5 * level)
    centre = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    return max(0.0, centre - half), min(1.0, centre + half)
