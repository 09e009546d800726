"""Usability by grade: how far a component's grade lets the whole instrument be played."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.points import along

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


def usability_at(points: tuple[tuple[float, float], ...], grade: Array) -> Array:
    """Return usability [–] along a curve that falls with the grade, shape of `grade`; see `_usability`."""
    place, figure = points[0]
    if figure >= 1.0 and float(grade.max()) <= place:
        return _open(grade.size)
    return _usability(along(points, grade))


def at_least(gate: Array, figure: float) -> Array:
    """Return a gate opened at least so far [–]."""
    return gate if gate is _open(gate.size) else _usability(np.maximum(gate, figure))


def _usability(gate: Array) -> Array:
    """Return a gate [–]; one and the same array where it is open in every draw."""
    return _open(gate.size) if float(gate.min()) >= 1.0 else gate


@lru_cache(maxsize=8)
def _open(n: int) -> Array:
    ones = np.ones(n)
    ones.flags.writeable = False
    return ones
