"""The price new of an instrument whose sale states none: looked up by kind, class of maker and size."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from appraise.engine.market import relative_sd
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range

if TYPE_CHECKING:
    from appraise.evidence.sale import Sale
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import PriceNew


@dataclass(frozen=True, slots=True)
class LookedUp:
    """A price new from the table."""

    price: Decimal
    """In the currency of the sale, brought to its year [money]."""
    sd: float
    """How unsure it is [–], on the logarithmic scale."""
    row: PriceNew


def price_new(sale: Sale, tables: Tables) -> LookedUp | None:
    """Return what the like instrument cost new in the year of a sale; none without class or size, or without a row."""
    if not sale.maker_class or sale.size_cm is None:
        return None
    for row in tables.prices_new.values():
        inside = (row.above_cm or 0.0) <= sale.size_cm < (row.below_cm or float("inf"))
        if inside and row.tier == sale.maker_class and row.currency == sale.currency and sale.kind in row.kinds:
            years = sale.date.year - row.year
            moved = row.typical * (1.0 + tables.setting("prices_new_yearly_pct") / 100.0) ** years
            return LookedUp(Decimal(str(round(moved, 2))), relative_sd(Range(row.low, row.typical, row.high)), row)
    return None
