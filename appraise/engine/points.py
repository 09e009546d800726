"""Curves that the tables give as points: linear between them, flat outside."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_FEW = 64
"""Points, and places asked for, below which NumPy's own interpolation is the sooner."""

_CLOSE = 4.0
"""Intervals within which NumPy's own is the sooner: it looks beside the last place first."""

_NEARLY = 1e-9
"""Greatest difference of two steps, over the step, of points that count as evenly spaced [–]."""


class Curve:
    """A curve through points, figure for figure that of `numpy.interp`.

    That looks for the interval of each place by bisection, which among many points takes a column of draws many times
    what the rest does; where points are evenly spaced a product tells it.
    """

    def __init__(self, places: Array, figures: Array) -> None:
        """Take the points.

        Args:
            places: Rising, at least one, shape (k,).
            figures: Finite, shape (k,).
        """
        self._places, self._figures = places, figures
        steps = np.diff(places)
        self._slopes = np.append(np.diff(figures) / steps, 0.0)
        self._following = np.append(places[1:], np.inf)
        uneven = np.flatnonzero(np.abs(steps - steps[:1]) > _NEARLY * steps[:1])
        self._even = int(uneven[0]) + 1 if uneven.size else places.size
        """How many of the points, from the first, are evenly spaced."""

    def at(self, at: Array) -> Array:
        """Return the curve at some places, shape of `at`."""
        places, even = self._places, self._even
        if at.size < _FEW or even < _FEW:
            return np.asarray(np.interp(at, places, self._figures))
        highest = float(at.max())
        close = highest - float(at.min()) < _CLOSE * (places[1] - places[0])
        if close or (even < places.size and not highest < places[even - 1]):
            return np.asarray(np.interp(at, places, self._figures))
        inside = np.minimum(np.maximum(at, places[0]), places[-1])
        interval = ((inside - places[0]) * (1.0 / (places[1] - places[0]))).astype(np.intp)
        # Beside a point the product may be out by one.
        interval -= places.take(interval, mode="clip") > inside
        interval += self._following.take(interval, mode="clip") <= inside
        found: Array = self._slopes.take(interval, mode="clip")
        found *= inside - places.take(interval, mode="clip")
        found += self._figures.take(interval, mode="clip")
        return found


@lru_cache(maxsize=512)
def _points(points: tuple[tuple[float, float], ...]) -> tuple[Array, Array]:
    """Return places and figures; kept, because the tables ask for the same again and again."""
    places, figures = zip(*points, strict=True)
    return np.array(places, dtype=np.float64), np.array(figures, dtype=np.float64)


@lru_cache(maxsize=1024)
def along_at(points: tuple[tuple[float, float], ...], at: float) -> float:
    """Return the curve through points at one place, see `along`; kept, because the same few are asked for again."""
    return float(along(points, at))


def along(points: Sequence[tuple[float, float]], at: Array | float) -> Array:
    """Return the curve through (place, figure) points, places rising, at least one; shape of `at`."""
    return np.asarray(np.interp(at, *_points(tuple(points))))
