"""Tolerances: the values in and out of order, from the anchors of a check."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

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
