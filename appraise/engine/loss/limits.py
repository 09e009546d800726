"""Limits of carriage in the currency of the case, at a rate that the case states with its day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.claim import LimitRate
    from appraise.model.loss import CarriageLimit


@dataclass(frozen=True, slots=True)
class Converted:
    """A limit in the currency of the case."""

    amount: float
    """[money]."""
    rate: LimitRate | None
    """None where the limit is in that currency already."""


def converted(limit: CarriageLimit, currency: str, rates: Iterable[LimitRate]) -> Converted | None:
    """Return a limit in a currency; none where it was not worked out or no rate for its unit is stated.

    Args:
        limit: With its amount in its own unit.
        currency: ISO 4217 code of the case.
        rates: Units in that currency, as somebody typed them.

    References:
        CMR article 23(7), as amended 1978: the amount in SDR is converted into the national currency at the value of
        that currency on the date of the judgment or a date agreed on by the parties.
    """
    if limit.amount is None:
        return None
    if limit.unit == currency:
        return Converted(limit.amount, None)
    for rate in rates:
        if rate.unit == limit.unit:
            return Converted(limit.amount * rate.rate, rate)
    return None
