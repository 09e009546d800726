"""What the checks of one component show of it: the worst governs, and the others are akin to it."""

from __future__ import annotations

from functools import lru_cache
from math import sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.belief import GradePosterior
    from appraise.tables.rows import Check

KINSHIP = 0.7
"""Correlation of what one check shows with the component's grade, general condition aside; our assumption [–]."""


@lru_cache(maxsize=64)
def worst_of(n: int) -> float:
    """Return the mean of the greatest of n standard normal draws [–]: ∫ 1 − Φⁿ − (1 − Φ)ⁿ from 0 on.

    References:
        H. L. Harter, "Expected Values of Normal Order Statistics", Biometrika 48, 1961: 0.564 of two, 0.846 of three,
        1.029 of four, 1.163 of five (from memory).
    """
    at = np.linspace(0.0, 8.0, 1601)
    below = np.array([NormalDist().cdf(x) for x in at])
    return float(np.trapezoid(1.0 - below**n - (1.0 - below) ** n, at))


def governing(checks: Sequence[Check], grade: float, share: float) -> Check:
    """Return the check that shows a component's grade: one that can tell of it, as likely as its weight.

    Args:
        checks: Of the component, at least one.
        grade: Of the component.
        share: Where in [0, 1] the choice falls, the checks side by side by weight.
    """
    able = [row for row in checks if row.cap >= grade] or [max(checks, key=lambda row: row.cap)]
    left = share * sum(row.weight for row in able)
    for row in able:
        left -= row.weight
        if left < 0.0:
            return row
    return able[-1]


def aspect(belief: GradePosterior, checks: int, score: float, own: float, common: float) -> float:
    """Return what a check that does not govern would show by itself [grade], not held by the component's grade.

    The belief is of the worst of the aspects, so that each by itself is better than that, by as much as the worst of
    so many normal draws exceeds their mean.

    Args:
        belief: Of the component.
        checks: How many the component has.
        score: Of the component's own grade, standard normal.
        own: Of this aspect, standard normal.
        common: Of the general condition, standard normal.
    """
    apart = sqrt(1.0 - KINSHIP**2)
    better = belief.own_sd * apart * worst_of(checks)
    return belief.mean - better + belief.own_sd * (KINSHIP * score + apart * own) + belief.common_sd * common
