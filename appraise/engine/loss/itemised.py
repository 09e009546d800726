"""The repair as a bill: hours, rate, parts, overhead, contingency and betterment, each line rounded as it is shown."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from appraise.engine.costs import share_of
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.loss import RepairItem, Scenario
    from appraise.tables.rows import Tables

_TENTH = Decimal("0.1")
_HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Line:
    """One job at its typical figures; a quoted one has no hours. Every amount is rounded to the currency's unit."""

    job: RepairItem
    hours: Decimal | None
    """[h], to a hundredth."""
    labour: Decimal | None
    """Hours × rate [money]."""
    parts_pct: Decimal | None
    """Of hours × the rate for parts [%], to a tenth."""
    parts: Decimal | None
    overhead: Decimal | None
    """On labour and parts [money]."""
    contingency: Decimal | None
    """On labour, parts and overhead [money]."""
    cost: Decimal
    """Labour, parts, overhead and contingency together; the quotation's share where one prices it [money]."""
    worn_pct: Decimal
    """Depreciation of what is replaced [%], to a tenth."""
    betterment: Decimal
    """Cost × that depreciation [money]."""


@dataclass(frozen=True, slots=True)
class Bill:
    """The lines of a repair and what they add up to."""

    rate: Decimal
    """An hour of work [money]."""
    parts_rate: Decimal
    """The rate that the shares for parts are taken of [money]."""
    overhead_pct: Decimal
    contingency_pct: Decimal
    lines: tuple[Line, ...]

    @property
    def cost(self) -> Decimal:
        """Sum of the lines [money]."""
        return sum((line.cost for line in self.lines), Decimal(0))

    @property
    def betterment(self) -> Decimal:
        """Sum of the betterment of the lines [money]."""
        return sum((line.betterment for line in self.lines), Decimal(0))

    @property
    def net(self) -> Decimal:
        """Cost less betterment [money]."""
        return self.cost - self.betterment


def bill(scenario: Scenario, case: Case, tables: Tables, digits: int) -> Bill | None:
    """Return the repair of a scenario line by line, at the typical figures.

    Args:
        scenario: With its jobs.
        case: The later state, whose rates count.
        tables: For overhead and contingency where the case states none.
        digits: Decimal places of the currency.

    Returns:
        None without a labour rate.
    """
    if case.costs.labour_rate is None:
        return None
    unit = Decimal(1).scaleb(-digits)
    rate = case.costs.labour_rate
    parts_rate = rate if case.costs.parts_rate is None else case.costs.parts_rate
    shares = [_to(100.0 * share_of(key, case, tables), _TENTH) for key in ("overhead_pct", "contingency_pct")]
    overhead, contingency = shares

    def one(job: RepairItem) -> Line:
        worn = _to(100.0 * job.depreciation, _TENTH)
        if job.by_table is not None:
            cost = _to(job.cost.mid, unit)
            return Line(job, None, None, None, None, None, None, cost, worn, _of(cost, worn, unit))
        hours, share = _to(job.hours.mid, _HUNDREDTH), _to(100.0 * job.parts, _TENTH)
        labour = _to(hours * rate, unit)
        parts = _of(hours * parts_rate, share, unit)
        over = _of(labour + parts, overhead, unit)
        more = _of(labour + parts + over, contingency, unit)
        cost = labour + parts + over + more
        return Line(job, hours, labour, share, parts, over, more, cost, worn, _of(cost, worn, unit))

    return Bill(rate, parts_rate, overhead, contingency, tuple(map(one, scenario.items)))


def _of(amount: Decimal, pct: Decimal, unit: Decimal) -> Decimal:
    return _to(amount * pct / 100, unit)


def _to(figure: float | Decimal, unit: Decimal) -> Decimal:
    exact = figure if isinstance(figure, Decimal) else Decimal(repr(float(figure)))
    return exact.quantize(unit, rounding=ROUND_HALF_UP)
