"""The runs test: do like things stand together more than chance would have them?"""

from __future__ import annotations

from itertools import groupby
from math import comb, sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

EXACT_UP_TO = 200
"""Longer sequences use the normal approximation; the exact count is a sum of whole numbers up to here."""


@dataclass(frozen=True, slots=True)
class Runs:
    """The runs of one sequence of two kinds."""

    n_true: int
    n_false: int
    runs: int
    expected: float
    """Mean number of runs of all arrangements."""
    sd: float
    """Their standard deviation."""
    chance: float
    """Share of all arrangements with as few runs or fewer [–]; 1 where there is only one kind."""
    exact: bool


def runs_test(kinds: Sequence[bool]) -> Runs:
    """Count the runs of a sequence and tell how rarely chance gives so few.

    Args:
        kinds: In the order in which they stand, at least one.

    Returns:
        The test against clustering (one-sided: few runs). Exact up to `EXACT_UP_TO`, else the normal approximation with
        a correction of one half for continuity.

    Raises:
        ValueError: Nothing to test.

    References:
        A. Wald and J. Wolfowitz, "On a test whether two samples are from the same population", Annals of Mathematical
        Statistics 11, 1940; exact probabilities as tabulated by F. S. Swed and C. Eisenhart, Annals of Mathematical
        Statistics 14, 1943.
    """
    if not kinds:
        raise ValueError("the runs test needs at least one reading")
    first = sum(kinds)
    second = len(kinds) - first
    runs = sum(1 for _ in groupby(kinds))
    mean, sd = moments(first, second)
    if first == 0 or second == 0:
        return Runs(first, second, runs, mean, sd, 1.0, exact=True)
    if len(kinds) <= EXACT_UP_TO:
        return Runs(first, second, runs, mean, sd, few_runs_exact(runs, first, second), exact=True)
    chance = NormalDist().cdf((runs + 0.5 - mean) / sd)
    return Runs(first, second, runs, mean, sd, chance, exact=False)


def moments(first: int, second: int) -> tuple[float, float]:
    """Return mean and standard deviation of the number of runs of all arrangements of so many things of two kinds."""
    n = first + second
    twice = 2 * first * second
    mean = twice / n + 1.0
    return mean, sqrt(twice * (twice - n) / (n * n * (n - 1))) if n > 1 and twice > n else 0.0


def few_runs_exact(runs: int, first: int, second: int) -> float:
    """Return the share of all arrangements of things of two kinds, one or more each, with `runs` runs or fewer [–]."""
    ways = sum(_arrangements(count, first, second) for count in range(2, runs + 1))
    return ways / comb(first + second, first)


def _arrangements(runs: int, first: int, second: int) -> int:
    """Count the arrangements with exactly so many runs."""
    half, odd = divmod(runs, 2)
    if not odd:
        return 2 * comb(first - 1, half - 1) * comb(second - 1, half - 1)
    return comb(first - 1, half) * comb(second - 1, half - 1) + comb(first - 1, half - 1) * comb(second - 1, half)


def longest(kinds: Sequence[bool]) -> tuple[int, int]:
    """Return start and length of the first longest run of true; (0, 0) where there is none."""
    best, place = (0, 0), 0
    for kind, group in groupby(kinds):
        length = sum(1 for _ in group)
        if kind and length > best[1]:
            best = (place, length)
        place += length
    return best
