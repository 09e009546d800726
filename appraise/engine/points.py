"""Curves that the tables give as points: linear between them, flat outside."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray


def along(points: Sequence[tuple[float, float]], at: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """Return the curve through (place, figure) points, places rising, at least one; shape of `at`."""
    places, figures = zip(*points, strict=True)
    return np.asarray(np.interp(at, places, figures))
