"""Rates of exchange: one dated table, every currency against one reference."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date


@dataclass(frozen=True, slots=True)
class Rates:
    """What a unit of other currencies was worth on one day, from one source."""

    reference: str
    """ISO 4217."""
    day: date
    source: str
    units: Mapping[str, float]
    """Currency → units of the reference for one of it, as in the rates of imported sales; > 0."""

    def of(self, currency: str) -> float | None:
        """Return units of the reference for one of a currency; none where the table has no such rate."""
        return 1.0 if currency == self.reference else self.units.get(currency)
