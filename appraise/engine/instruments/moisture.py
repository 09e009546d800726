"""Wood and the air around it: moisture content in equilibrium, its inverse, change of width, the lag behind the air."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING

import numpy as np

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import ArrayLike, NDArray

    from appraise.tables.rows_measurements import SorptionTerm

    Floats = NDArray[np.float64]

_HALVINGS = 60
"""Steps of bisection: 100 % / 2^60 is finer than a double can tell near 100 %."""


@dataclass(frozen=True, slots=True)
class Sorption:
    """The four terms of the two-hydrate equation, each (constant, linear, quadratic) in temperature [°C]."""

    w: tuple[float, float, float]
    k: tuple[float, float, float]
    k1: tuple[float, float, float]
    k2: tuple[float, float, float]

    @classmethod
    def of(cls, rows: Mapping[str, SorptionTerm]) -> Sorption:
        """Return the terms as the table `sorption` has them."""
        w, k, k1, k2 = ((row.constant, row.linear, row.quadratic) for row in (rows[n] for n in ("w", "k", "k1", "k2")))
        return cls(w, k, k1, k2)


def equilibrium_moisture_content(temperature: ArrayLike, humidity: ArrayLike, sorption: Sorption) -> Floats:
    """Moisture content that wood comes to in air that stays as it is.

    Args:
        temperature: Air temperature [°C]; scalar or any shape.
        humidity: Relative humidity [%], 0 to 100; broadcasts with `temperature`.
        sorption: The four terms.

    Returns:
        Equilibrium moisture content [% of dry mass], the broadcast shape.

    Raises:
        ValueError: A humidity outside 0 to 100 %.

    Notes:
        With h = humidity / 100 and the terms W, K, K1, K2 at the temperature,
        EMC = 1800/W · [K·h/(1 − K·h) + (K1·K·h + 2·K1·K2·K²·h²) / (1 + K1·K·h + K1·K2·K²·h²)].
        It is a fit to tables that differ from it by some tenths; species differ too.

    References:
        A. J. Hailwood and S. Horrobin, Trans. Faraday Soc., vol. 42B, pp. 84–92, 1946 (from memory).
        USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, ch. 4, equation 4-5.
    """
    t, h = np.asarray(temperature, dtype=np.float64), np.asarray(humidity, dtype=np.float64) / 100.0
    if np.any((h < 0.0) | (h > 1.0)):
        raise ValueError("relative humidity outside 0 to 100 %")
    w, k, k1, k2 = (_parabola(term, t) for term in (sorption.w, sorption.k, sorption.k1, sorption.k2))
    kh = k * h
    first = k1 * kh
    second = first * k2 * kh
    hydrate: Floats = (first + 2.0 * second) / (1.0 + first + second)
    return 1800.0 / w * (kh / (1.0 - kh) + hydrate)


def relative_humidity(temperature: ArrayLike, moisture_content: ArrayLike, sorption: Sorption) -> Floats:
    """Relative humidity [%] at which wood would stay at a moisture content: the inverse of the equation, by bisection.

    From air temperature [°C] and moisture content [% of dry mass], broadcast; NaN where no humidity from 0 to 100 %
    gives it.
    """
    t, wanted = np.broadcast_arrays(
        np.asarray(temperature, dtype=np.float64), np.asarray(moisture_content, dtype=np.float64)
    )
    low, high = np.zeros(t.shape), np.full(t.shape, 100.0)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = equilibrium_moisture_content(t, middle, sorption) < wanted
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    reached = (wanted >= 0.0) & (wanted <= equilibrium_moisture_content(t, np.full(t.shape, 100.0), sorption))
    found: Floats = np.where(reached, 0.5 * (low + high), np.nan)
    return found


def width_change(width: float, coefficient: float, before: float, after: float) -> float:
    """Change of width [mm] of a free panel across the grain between two moisture contents [%], negative for shrinking.

    Width · coefficient [1/%] · (after − before); a board held by ribs and rim moves less.

    References:
        USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, ch. 13, table 13-5 and the equation
        before it; for moisture contents from 6 to 14 %.
    """
    return width * coefficient * (after - before)


def moisture_change(gap: float, width: float, coefficient: float) -> float:
    """Loss of moisture content [percentage points] by which a free board of a width [mm] opens a gap [mm].

    Gap / (width · coefficient [1/%]); the gap may be the sum of several.

    Raises:
        ValueError: Width or coefficient is not positive.
    """
    if width <= 0.0 or coefficient <= 0.0:
        raise ValueError("width and coefficient must be above 0")
    return gap / (width * coefficient)


def followed(times: Floats, wanted: Floats, lag: float, start: float) -> Floats:
    """Moisture content that follows the air with a first-order lag.

    Args:
        times: Time of each value [days], rising, shape (n,), n ≥ 1.
        wanted: Equilibrium moisture content at each time [%], shape (n,).
        lag: Time constant τ [days], > 0.
        start: Moisture content at the first time [%].

    Returns:
        Moisture content [%], shape (n,).

    Raises:
        ValueError: The lag is not positive, or the times go back.

    Notes:
        τ·dm/dt = e(t) − m, solved exactly with e(t) straight between its values (our assumption: wood dries and
        wets by diffusion, and gives off more slowly than it takes up).
    """
    if lag <= 0.0:
        raise ValueError("the time constant must be above 0")
    step = np.diff(times) / lag
    if np.any(step < 0.0):
        raise ValueError("times that go back")
    kept = np.exp(-step)
    # Share of the ramp reached: (1 − e^−s)/s, which is 1 where no time passes.
    safe = np.where(step > 0.0, step, 1.0)
    reached = np.where(step > 0.0, -np.expm1(-step) / safe, 1.0)
    gained = wanted[1:] * (1.0 - reached) + wanted[:-1] * (reached - kept)
    pairs = zip(kept.tolist(), gained.tolist(), strict=True)
    path = accumulate(pairs, lambda m, pair: m * pair[0] + pair[1], initial=start)
    return np.fromiter(path, dtype=np.float64, count=len(times))


def _parabola(term: tuple[float, float, float], t: Floats) -> Floats:
    return term[0] + t * (term[1] + t * term[2])
