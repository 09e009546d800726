"""Quotations of workshops: which of them stand in place of the table, and for how much."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.scenarios import percentile_range
from appraise.model.lazy_dataclass import dataclass
from appraise.model.loss import QuotationUse, QuotedWork

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    import numpy as np
    from numpy.typing import NDArray

    from appraise.model.claim import Quotation
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Quotations:
    """What workshops ask, on the day of the valuation."""

    given: tuple[Quotation, ...]
    day: date
    tax_recovered: bool
    """The claimant recovers the tax, so that it is no part of the loss."""

    def counted(self, quotation: Quotation) -> float:
        """Return what a quotation comes to [money]."""
        return float(quotation.amount if self.tax_recovered else quotation.amount + quotation.tax)

    def priced(
        self, typical: Mapping[str, float], drawn: Mapping[str, Array], tables: Tables
    ) -> tuple[tuple[QuotedWork, ...], dict[str, float]]:
        """Choose the quotations that count for a plan of jobs.

        Args:
            typical: Typical cost of each job of the plan by the table [money].
            drawn: The same in every draw, shape (n,).
            tables: For the percentiles shown.

        Returns:
            Every quotation in the order given with what became of it, and the price of each job that one prices
            [money]: its sum, parted among its jobs as the table's typical costs are.

        Notes:
            The lowest are taken first. One that names a job outside the plan is not taken, since nothing tells what of
            its sum is for the damage.
        """
        uses: dict[int, QuotationUse] = {}
        prices: dict[str, float] = {}
        for at, each in sorted(enumerate(self.given), key=lambda pair: (self.counted(pair[1]), pair[0])):
            jobs = dict.fromkeys(each.jobs)
            if each.valid_until is not None and each.valid_until < self.day:
                uses[at] = QuotationUse.EXPIRED
            elif any(job not in typical for job in jobs):
                uses[at] = QuotationUse.BEYOND
            elif any(job in prices for job in jobs):
                uses[at] = QuotationUse.OVERLAPS
            else:
                uses[at] = QuotationUse.TAKEN
                whole = sum(typical[job] for job in jobs)
                for job in jobs:
                    share = typical[job] / whole if whole > 0.0 else 1.0 / len(jobs)
                    prices[job] = share * self.counted(each)
        found = []
        for at, each in enumerate(self.given):
            own = [drawn[job] for job in dict.fromkeys(each.jobs) if job in drawn]
            whole_range = percentile_range(sum(own[1:], own[0]), tables) if own else None
            by_table = None if uses[at] is QuotationUse.BEYOND else whole_range
            found.append(QuotedWork(each, uses[at], self.counted(each), by_table))
        return tuple(found), prices
