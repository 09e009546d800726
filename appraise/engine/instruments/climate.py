"""A data logger's readings summed up: time-weighted means, time outside limits, spells, months."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

DAY = 86_400.0
"""Seconds of a day [s]."""


@dataclass(frozen=True, slots=True)
class Spell:
    """The longest unbroken run of readings of one kind."""

    days: float
    """[days]; 0 where there is none."""
    first: int
    """Place of its first reading, counted from 0; −1 where there is none."""
    last: int


def weights(seconds: Floats, gap: float) -> Floats:
    """Time [days] each reading stands for: half of the way to either neighbour, nothing of a silence over `gap` [s]."""
    between = np.diff(seconds)
    counted = np.where(between <= gap, between, 0.0) / DAY
    time = np.zeros(len(seconds))
    time[:-1] += 0.5 * counted
    time[1:] += 0.5 * counted
    return time


def weighted_mean(values: Floats, time: Floats) -> float:
    """Return the mean of values weighted by the time they stand for; the plain mean where none has any."""
    total = float(time.sum())
    return float(values @ time) / total if total > 0.0 else float(values.mean())


def share(inside: NDArray[np.bool_], time: Floats) -> float:
    """Return the share of the time [–] in which a condition holds, of the readings where none has any time."""
    return weighted_mean(inside.astype(np.float64), time)


def longest_spell(inside: NDArray[np.bool_], seconds: Floats, gap: float) -> Spell:
    """Find the longest run of readings for which a condition holds; a silence over `gap` [s] ends a run.

    It goes from its first reading to its last; the earlier of two equally long.
    """
    if not inside.any():
        return Spell(0.0, -1, -1)
    broken = np.diff(seconds) > gap
    begins = inside.copy()
    begins[1:] &= ~inside[:-1] | broken
    ends = inside.copy()
    ends[:-1] &= ~inside[1:] | broken
    first, last = np.flatnonzero(begins), np.flatnonzero(ends)
    at = int(np.argmax(seconds[last] - seconds[first]))
    return Spell(float(seconds[last[at]] - seconds[first[at]]) / DAY, int(first[at]), int(last[at]))


def months(seconds: Floats) -> tuple[NDArray[np.int64], list[str]]:
    """Put each reading, in [s] since 1970-01-01 on the logger's own clock and rising, into its calendar month.

    Returns:
        The place of the first reading of each month, with the number of readings at the end, shape (m + 1,); and the
        m months, "2026-01".
    """
    month = np.floor(seconds).astype(np.int64).astype("datetime64[s]").astype("datetime64[M]")
    edges = np.concatenate(([0], np.flatnonzero(month[1:] != month[:-1]) + 1, [len(month)])).astype(np.int64)
    return edges, [str(name) for name in month[edges[:-1]]]
