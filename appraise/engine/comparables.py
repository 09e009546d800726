"""Sales comparison: what every comparable says of its market, by the same model that values the subject."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import exp, sqrt
from statistics import median
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.market import relative_sd, size_factor
from appraise.engine.taking import hour
from appraise.model.case import Case, Costs, Grade, Market
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import GridLine, Range
from appraise.model.span import years_between

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from appraise.model.case import Comparable
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

RATIOS = np.geomspace(0.06, 6.0, 25)
"""Market levels against that of the tables at which a comparable is valued [–]."""

UNIFORM = "general condition of a comparable"
"""Reason of the grades that a comparable's parts are given."""


@dataclass(frozen=True, eq=False)
class Twin:
    """A comparable valued by the model of the subject, at several levels of its market."""

    level: float
    """Price of it as new on its channel by the tables, its market age included [money]."""
    middles: Callable[[range], Array]
    """Median of what it is worth at some of `RATIOS` times that level, by place, carriage taken off, before salvage
    [money]; worked out when it is asked for."""
    left: float
    """About what it is worth at that level with nothing done [money], > 0: where the search for a price begins."""
    flat: float
    """What a buyer of it pays for carriage and tunings [money]."""
    channel: Range
    """Share of the retail price that its kind of sale brings [–]."""

    @property
    def medians(self) -> Array:
        """Return the median at each of `RATIOS` [money]."""
        return self.middles(range(RATIOS.size))

    def ratio(self, price: float) -> float:
        """Return the market level against the tables' at which the model gives a price [–], within `RATIOS`.

        Medians never fall with the level, so that only those about the price are worked out.
        """
        low, last = self.first(price).start, RATIOS.size - 1
        while price < self.middles(range(low, low + 2))[0] and low > 0:
            low -= 1
        while price >= self.middles(range(low, low + 2))[1] and low + 1 < last:
            low += 1
        rising = np.maximum.accumulate(self.middles(range(low, low + 2)))
        return float(np.interp(price, rising, RATIOS[low : low + 2]))

    def first(self, price: float) -> range:
        """Return the places in `RATIOS` at which the search for a price begins [money]."""
        low = self._below((price + self.flat) / self.left)
        return range(low, low + 2)

    @staticmethod
    def within(ratio: float) -> bool:
        """Tell whether a level is one that the model was asked for, and not the end where they stop."""
        return bool(RATIOS[0] < ratio < RATIOS[-1])

    def worth(self, ratio: float) -> float:
        """Return the model's figure at a market level [money]."""
        low = self._below(ratio)
        return float(np.interp(ratio, RATIOS[low : low + 2], self.middles(range(low, low + 2))))

    @staticmethod
    def _below(ratio: float) -> int:
        """Return the place in `RATIOS` of the level below one, where there is another above."""
        return min(max(int(np.searchsorted(RATIOS, ratio)) - 1, 0), RATIOS.size - 2)


@dataclass(frozen=True, slots=True)
class Sale:
    """One comparable as evidence of the market."""

    comparable: Comparable
    price: float
    """Brought to the effective date [money]."""
    ratio: float
    """Level of its market against that of the tables [–]."""
    weight: float
    """[–], all together sum to 1."""
    channel: Range
    steps: tuple[tuple[str, float], ...]
    """Time, kind of sale and size: (feature, factor)."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the comparables say together."""

    sales: tuple[Sale, ...]
    ratio: float
    """Level of the market against that of the tables [–]: weighted geometric mean."""
    relative_sd: float
    """Of that ratio [–]."""
    factor_ratio: float
    """Median of the ratios [–]."""
    factor_sd: float
    """Its relative standard uncertainty [–]."""

    @property
    def channels(self) -> tuple[Range, ...]:
        """Share of the retail price that the kind of sale of each brings [–]."""
        return tuple(sale.channel for sale in self.sales)

    def channel_lean(self) -> float:
        """Return the weighted mean of what the lines' kinds of sale are unsure by [–], on the logarithmic scale."""
        return sum(sale.weight * relative_sd(sale.channel) for sale in self.sales)

    def channel_lean_unweighted(self) -> float:
        """Return the same with every line alike, as the median takes them [–]."""
        return sum(relative_sd(sale.channel) for sale in self.sales) / len(self.sales)


def like(comparable: Comparable, case: Case, tables: Tables, replacement: float) -> Case:
    """Return a comparable as a case of its own: the subject's kind, class and costs, its own age, size and condition.

    Args:
        comparable: Sold or offered.
        case: The subject.
        tables: Components and size classes.
        replacement: Replacement cost new of the subject [money].
    """
    kind = case.identity.kind
    parts = [row.key for row in tables.components.values() if kind in row.kinds and not row.hazard]
    size = case.identity.size_cm if comparable.size_cm is None else comparable.size_cm
    return Case(
        identity=replace(case.identity, made=comparable.made, size_cm=size, stairs=None),
        assignment=replace(case.assignment, inspected=comparable.date, basis=comparable.sale),
        circumstances=case.circumstances,
        grades=tuple(Grade(comparable.grade, component=key, reason=UNIFORM) for key in parts),
        market=Market(replacement_cost_new=Decimal(str(_new(comparable, case, tables, replacement)))),
        costs=_costs(case, tables),
    )


def _costs(case: Case, tables: Tables) -> Costs:
    """Return the rates at which a buyer of the comparable had it carried and worked on.

    Others pay the same workshops, and none of what belongs to the subject alone: its carriage, its contingency, an
    owner's own hours at nothing, for which the table's hour stands in.
    """
    if not case.costs.reckoned:
        return Costs()
    return Costs(labour_rate=case.costs.labour_rate or Decimal(str(round(hour(case, tables), 2))))


def evidence(
    case: Case,
    tables: Tables,
    replacement: float,
    own_channel: float,
    twin: Callable[[Case], Twin],
    ready: Callable[[Sequence[tuple[Twin, range]]], None] = lambda asked: None,
) -> Evidence | None:
    """Return what the comparables of a case say of the market; none without comparables.

    Args:
        case: With its comparables, basis and effective date.
        tables: Channels, size classes, settings.
        replacement: Replacement cost new of the subject [money].
        own_channel: Share of the retail price that the subject's kind of sale brings [–].
        twin: Values a comparable's case by the model of the subject.
        ready: Works out several comparables' medians at the places that will be asked for first, all at once.

    Notes:
        Each sale says at which level of the market the model gives its price. The subject is valued at that level by
        the same model with the same draws, so that sales of identical instruments reproduce their price at every
        grade, and a sale at just what the model gives changes nothing. The weight is the inverse of the gross *market*
        adjustment (time, sale, size) plus a floor, less with distance. Age and condition are left out of the weight on
        purpose: they change while the inspection goes on, and a comparable must not gain weight because a hammer was
        graded.
    """
    if not case.market.comparables:
        return None
    twins = [twin(like(each, case, tables, replacement)) for each in case.market.comparables]
    prices = [_carried(each, case) for each in case.market.comparables]
    ready([(its, its.first(price)) for its, price in zip(twins, prices, strict=True)])
    raw = [
        _sale(each, price, case, tables, replacement, own_channel, its)
        for each, price, its in zip(case.market.comparables, prices, twins, strict=True)
    ]
    weights = np.array([sale.weight for sale in raw])
    weights = weights / weights.sum()
    logs = np.log([sale.ratio for sale in raw])
    centre = float((weights * logs).sum())
    spread = sqrt(float((weights * (logs - centre) ** 2).sum()))
    single = max(tables.setting("comparable_sd"), spread)
    effective = 1.0 / float((weights**2).sum())
    sales = tuple(replace(sale, weight=float(weight)) for sale, weight in zip(raw, weights, strict=True))
    middle = median(sale.ratio for sale in raw)
    return Evidence(sales, exp(centre), single / sqrt(effective), middle, single / sqrt(len(raw)))


def _time(comparable: Comparable, case: Case) -> float:
    """Return by how much prices have moved since a sale [–]."""
    years = years_between(comparable.date, case.assignment.inspected)
    return float((1.0 + case.market.yearly_price_change_pct / 100.0) ** years)


def _carried(comparable: Comparable, case: Case) -> float:
    """Return the price of a sale brought to the effective date [money]."""
    return float(comparable.price) * _time(comparable, case)


def _sale(
    comparable: Comparable,
    price: float,
    case: Case,
    tables: Tables,
    replacement: float,
    own_channel: float,
    its: Twin,
) -> Sale:
    time = _time(comparable, case)
    size = replacement / float(_new(comparable, case, tables, replacement))
    steps = (("time", time), ("kind_of_sale", own_channel / its.channel.mid), ("size", size))
    running, gross = 1.0, 0.0
    for _, factor in steps:
        gross += abs(running * (factor - 1.0))
        running *= factor
    nearness = 1.0 / (1.0 + comparable.distance_km / tables.setting("distance_halving_km"))
    weight = nearness / (gross + tables.setting("comparable_weight_floor"))
    return Sale(comparable, price, its.ratio(price), weight, its.channel, steps)


def _new(comparable: Comparable, case: Case, tables: Tables, replacement: float) -> float:
    """Return the comparable's price new today [money]: as stated, else the subject's by their size classes."""
    if comparable.replacement_cost_new:
        return float(comparable.replacement_cost_new)
    if comparable.size_cm is None or case.identity.size_cm is None:
        return replacement
    own = size_factor(case.identity.size_cm, case, tables)
    return replacement * size_factor(comparable.size_cm, case, tables) / own


def grid(
    found: Evidence,
    case: Case,
    tables: Tables,
    replacement: float,
    subject: Callable[[float], float],
    own: tuple[float, float],
    twin: Callable[[Case], Twin],
) -> tuple[GridLine, ...]:
    """Return the comparables adjusted to the subject, one feature at a time.

    Args:
        found: What they say of the market.
        case: The subject.
        tables: For the gross limit.
        replacement: Replacement cost new of the subject [money].
        subject: The model's middle figure of the subject at a market level against the tables' [money].
        own: Share of the retail price of the subject's kind of sale [–], and what its buyer pays to take it [money].
        twin: As for `evidence`.

    Returns:
        Lines whose steps add up from the price to the adjusted price: time, kind of sale, size, and what age and
        condition make together by the model.
    """
    channel, flat = own
    lines = []
    for sale in found.sales:
        its = twin(like(sale.comparable, case, tables, replacement))
        price = float(sale.comparable.price)
        moved = its.worth(sale.ratio * channel / its.channel.mid) + its.flat - flat
        sized = its.worth(sale.ratio * channel / its.channel.mid * sale.steps[2][1]) + its.flat - flat
        at = [price, sale.price, moved, sized, subject(sale.ratio)]
        names = (*(name for name, _ in sale.steps), "age_and_condition")
        steps = tuple((name, after - before) for name, before, after in zip(names, at, at[1:], strict=False))
        gross = 100.0 * sum(abs(step) for _, step in steps) / price
        lines.append(
            GridLine(
                sale.comparable.label,
                price,
                steps,
                at[-1],
                gross,
                100.0 * (at[-1] - price) / price,
                sale.weight,
                gross > tables.setting("gross_limit_pct"),
                sale.ratio,
            )
        )
    return tuple(lines)
