"""What a market makes of age: a factor by market age, and how far renewals make an instrument younger on its market."""

from __future__ import annotations

from functools import lru_cache, partial
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.identity_cache import IdentityCache
from appraise.engine.points import along
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from appraise.tables.rows_worth import MarketFactor

    Array = NDArray[np.float64]

_YEARS = np.arange(0.0, 401.0)
"""Ages at which the product of the rows is worked out [years]; linear between, flat beyond."""


@dataclass(frozen=True, eq=False)
class MarketCurve:
    """The product of the market factors that know age, against its value at one reference age."""

    factors: Array
    """At 0, 1, 2 … years [–]."""
    reference: float
    """Factor at the instrument's own central age [–], by which the others are divided."""
    renewal_share: float
    """ρ: share of the age that a renewal takes off a component's market age [–], in [0, 1]."""

    def at(self, made: Array, component: Array | float) -> Array:
        """Return the factor of one component against the reference [–], shape (n,).

        Args:
            made: Years since the instrument was made [years], shape (n,).
            component: Age in service of the component [years], shape (n,) or one number.

        Notes:
            Market age = made − ρ · (made − component). A component carries its own market age, so that a rebuild
            counts by the share of the cost that it renewed: an old design stays an old design. Our assumption.
        """
        age = made - self.renewal_share * np.maximum(0.0, made - component)
        found: Array = np.interp(age, _YEARS, self.factors) / self.reference
        return found

    def unrenewed(self, made: Array) -> Array:
        """Return the factor of every component that is as old as the instrument, see `at`."""
        return _SHARED.of((self, made), "unrenewed", partial(self.at, made, made))

    def renewed(self, made: Array) -> Array:
        """Return the factor of every component that is new, see `at`."""
        return _SHARED.of((self, made), "renewed", partial(self.at, made, 0.0))


_SHARED: IdentityCache[Array] = IdentityCache(8)


def factor_at(rows: Sequence[MarketFactor], age: float) -> float:
    """Return the product of the rows' factors by age at one market age [years] [–]."""
    found = 1.0
    for row in rows:
        if row.by_age:
            found *= float(along(row.by_age, age))
    return found


@lru_cache(maxsize=64)
def market_curve(rows: tuple[MarketFactor, ...], age: float, renewal_share: float) -> MarketCurve:
    """Return the curve of an instrument of a central age [years]; kept, because grades do not change it.

    Args:
        rows: The market factors that apply; those without points by age are passed over.
        age: Central age of the instrument [years], the reference.
        renewal_share: See `MarketCurve.renewal_share`.
    """
    factors = np.ones_like(_YEARS)
    for row in rows:
        if row.by_age:
            factors *= along(row.by_age, _YEARS)
    return MarketCurve(factors, factor_at(rows, age), renewal_share)
