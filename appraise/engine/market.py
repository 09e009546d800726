"""The market: channel and class factors from the tables, comparables adjusted one feature at a time."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import exp, log, sqrt
from statistics import median
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.depreciation import depreciation
from appraise.engine.draws import Z90
from appraise.engine.life import weibull
from appraise.model.message import message
from appraise.model.result import GridLine, Range
from appraise.model.span import years_between

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.case import Case, Comparable, Kind
    from appraise.tables.rows import Component, Tables
    from appraise.tables.rows_ageing import Life
    from appraise.tables.rows_worth import MarketFactor


def factor_rows(case: Case, tables: Tables) -> list[MarketFactor]:
    """Return the rows of `market_factors` that apply to an instrument, one a factor at most, in table order."""
    identity = case.identity
    wanted = {"base": None, "tier": identity.tier, "finish": identity.finish, "records": case.circumstances.records}
    found: dict[str, MarketFactor] = {}
    for row in tables.market_factors.values():
        if identity.kind not in row.kinds or row.factor in found:
            continue
        if row.factor == "size":
            if identity.size_cm is not None and _in_class(row, identity.size_cm):
                found["size"] = row
        elif row.factor == "base" or _names(row, wanted.get(row.factor) or ""):
            found[row.factor] = row
    return list(found.values())


def _names(row: MarketFactor, name: str) -> bool:
    return bool(name) and row.key == name


def _in_class(row: MarketFactor, size_cm: float) -> bool:
    return (row.above_cm is None or size_cm >= row.above_cm) and (row.below_cm is None or size_cm < row.below_cm)


def product(ranges: Iterable[tuple[float, float, float]]) -> Range:
    """Multiply positive quantities known by their 10 %, 50 % and 90 % quantiles.

    Returns:
        The product of the medians; its spreads on either side are the root sum of squares of the parts' spreads
        on the logarithmic scale (independent parts).
    """
    middle, below, above = 0.0, 0.0, 0.0
    for low, typical, high in ranges:
        middle += log(typical)
        below += log(typical / low) ** 2
        above += log(high / typical) ** 2
    return Range(exp(middle - sqrt(below)), exp(middle), exp(middle + sqrt(above)))


def tables_factor(case: Case, tables: Tables) -> Range:
    """Return the market factor that the tables give an instrument [–]: the product of the rows that apply."""
    return product((row.low, row.typical, row.high) for row in factor_rows(case, tables))


def relative_sd(spread: Range) -> float:
    """Return the standard deviation on the logarithmic scale that a range's outer quantiles speak of [–]."""
    if spread.low <= 0.0 or spread.high <= spread.low:
        return 0.0
    return log(spread.high / spread.low) / (2.0 * Z90)


@lru_cache(maxsize=1024)
def uniform_share(
    age: float, grade: float, rows: tuple[tuple[Component, Life], ...], kind: Kind, tables: Tables
) -> float:
    """Return what is left of a new instrument when every component has one age and one grade.

    Kept, because the comparables do not change while the inspection goes on.

    Args:
        age: Age of everything [years].
        grade: Grade of everything.
        rows: Components with their life rows.
        kind: Grand or upright.
        tables: Holds the probable-life law, which values the comparables whatever the case's own law is.

    Returns:
        Σ share · (1 − D) [–].
    """
    law = tables.laws["probable_life"]
    total = 0.0
    for component, life in rows:
        spread = weibull(life.low, life.typical, life.high)
        loss = depreciation(law, np.array([age]), grade, spread, life.typical, component.visibility, tables)
        total += component.share(kind) * (1.0 - float(loss[0]))
    return total


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the comparables say together."""

    lines: tuple[GridLine, ...]
    level: float
    """Price of the subject as new on this channel [money]: weighted mean of the comparables' price levels."""
    relative_sd: float
    """Of that level [–]."""
    factor: float
    """Median of price over modelled value at retail level [–]."""
    factor_sd: float
    """Its relative standard uncertainty [–]."""
    channels: tuple[Range, ...]
    """Share of the retail price that the kind of sale of each line brings [–]."""

    def channel_lean(self) -> float:
        """Return the weighted mean of what the lines' kinds of sale are unsure by [–], on the logarithmic scale."""
        return sum(line.weight * relative_sd(channel) for line, channel in zip(self.lines, self.channels, strict=True))

    def channel_lean_unweighted(self) -> float:
        """Return the same with every line alike, as the median of their market factors takes them [–]."""
        return sum(relative_sd(channel) for channel in self.channels) / len(self.channels)


def compare(
    case: Case,
    tables: Tables,
    replacement: float,
    subject_share: float,
    subject_age: float,
    rows: tuple[tuple[Component, Life], ...],
) -> Evidence | None:
    """Adjust the comparables to the subject.

    Args:
        case: With its comparables, basis and effective date.
        tables: Channels, size classes, settings.
        replacement: Replacement cost new of the subject [money].
        subject_share: What condition leaves of a new one, usability included [–].
        subject_age: Share-weighted age in service of the subject [years].
        rows: Components with their life rows.

    Returns:
        The grid and what follows from it; none without comparables.

    Notes:
        In order: time, kind of sale, size (or stated replacement cost), age, condition, each on the price as already
        adjusted. The weight is the inverse of the gross *market* adjustment (time, sale, size) plus a floor, less
        with distance. Age and condition are left out of the weight on purpose: they change while the inspection goes
        on, and a comparable must not gain weight because a hammer was graded.
    """
    if not case.market.comparables:
        return None
    basis = tables.bases[case.assignment.basis]
    own_channel = basis.typical if basis.method == "market" else 1.0
    raw = [
        _line(comparable, case, tables, replacement, own_channel, subject_share, subject_age, rows)
        for comparable in case.market.comparables
    ]
    weights = np.array([weight for _, _, weight in raw])
    weights = weights / weights.sum()
    levels = np.array([level for _, level, _ in raw])
    centre = float((weights * np.log(levels)).sum())
    spread = sqrt(float((weights * (np.log(levels) - centre) ** 2).sum()))
    single = max(tables.setting("comparable_sd"), spread)
    effective = 1.0 / float((weights**2).sum())
    lines = tuple(
        GridLine(
            line.label,
            line.price,
            line.steps,
            line.adjusted,
            line.gross_pct,
            line.net_pct,
            float(weight),
            line.flagged,
            line.market_factor,
        )
        for (line, _, _), weight in zip(raw, weights, strict=True)
    )
    return Evidence(
        lines,
        exp(centre),
        single / sqrt(effective),
        median(line.market_factor for line in lines),
        single / sqrt(len(lines)),
        tuple(_channel(comparable, tables) for comparable in case.market.comparables),
    )


def _channel(comparable: Comparable, tables: Tables) -> Range:
    """Return the share of the retail price that a comparable's kind of sale brings [–]."""
    sold = tables.bases[comparable.sale]
    if sold.method not in ("market", "residual"):
        return Range(1.0, 1.0, 1.0)
    return Range(sold.low, sold.typical, sold.high)


def _line(
    comparable: Comparable,
    case: Case,
    tables: Tables,
    replacement: float,
    own_channel: float,
    subject_share: float,
    subject_age: float,
    rows: tuple[tuple[Component, Life], ...],
) -> tuple[GridLine, float, float]:
    """Return the grid line without its weight, the price level as new, and the raw weight."""
    day = case.assignment.inspected
    price = float(comparable.price)
    channel = _channel(comparable, tables).mid
    years = years_between(comparable.date, day)
    age = max(0.0, years_between(comparable.made.middle, comparable.date))
    # A spent instrument's price says next to nothing about a sound one's: it is not scaled up without limit.
    least = tables.setting("comparable_least_share")
    its_share = max(least, uniform_share(age, comparable.grade, rows, case.identity.kind, tables))
    as_old = max(least, uniform_share(subject_age, comparable.grade, rows, case.identity.kind, tables))
    factors = [
        (message("time"), (1.0 + case.market.yearly_price_change_pct / 100.0) ** years),
        (message("kind of sale"), own_channel / channel),
        (message("size"), _size_ratio(comparable, case, tables, replacement)),
        (message("age"), as_old / its_share),
        (message("condition"), subject_share / as_old),
    ]
    steps: list[tuple[str, float]] = []
    running = price
    for name, factor in factors:
        steps.append((name, running * (factor - 1.0)))
        running *= factor
    gross = 100.0 * sum(abs(step) for _, step in steps) / price
    market_gross = sum(abs(step) for _, step in steps[:3]) / price
    level = price * factors[0][1] * factors[1][1] * factors[2][1] / its_share
    nearness = 1.0 / (1.0 + comparable.distance_km / tables.setting("distance_halving_km"))
    weight = nearness / (market_gross + tables.setting("comparable_weight_floor"))
    its_new = float(comparable.replacement_cost_new or 0.0) or replacement / factors[2][1]
    factor = price * factors[0][1] / channel / (its_new * its_share)
    line = GridLine(
        comparable.label,
        price,
        tuple(steps),
        running,
        gross,
        100.0 * (running - price) / price,
        0.0,
        gross > tables.setting("gross_limit_pct"),
        factor,
    )
    return line, level, weight


def _size_ratio(comparable: Comparable, case: Case, tables: Tables, replacement: float) -> float:
    """Return the subject's price as new over the comparable's [–], as far as size or stated cost tells."""
    if comparable.replacement_cost_new:
        return replacement / float(comparable.replacement_cost_new)
    if comparable.size_cm is None or case.identity.size_cm is None:
        return 1.0
    own = _size_factor(case.identity.size_cm, case, tables)
    return own / _size_factor(comparable.size_cm, case, tables)


def _size_factor(size_cm: float, case: Case, tables: Tables) -> float:
    for row in tables.market_factors.values():
        if row.factor == "size" and case.identity.kind in row.kinds and _in_class(row, size_cm):
            return row.typical
    return 1.0
