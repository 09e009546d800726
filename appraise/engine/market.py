"""The market factor that the tables give an instrument: by kind, age, class of maker, size, finish and records."""

from __future__ import annotations

from math import exp, log, sqrt
from typing import TYPE_CHECKING

from appraise.engine.draws import Z90
from appraise.engine.market_age import factor_at
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.case import Case
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Basis, MarketFactor


def factor_rows(case: Case, tables: Tables) -> list[MarketFactor]:
    """Return the rows of `market_factors` that apply to an instrument, one a factor at most, in table order."""
    identity = case.identity
    wanted = {"base": None, "tier": identity.tier, "finish": identity.finish, "records": case.circumstances.records}
    wanted["fitted"] = identity.player
    found: dict[str, MarketFactor] = {}
    for row in tables.market_factors.values():
        if identity.kind not in row.kinds:
            continue
        if row.factor == "design":
            if row.key in identity.design:
                found[row.key] = row  # a design may have more than one thing that buyers mark down
            continue
        if row.factor in found:
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


def tables_factor(case: Case, tables: Tables, age: float) -> Range:
    """Return the market factor that the tables give an instrument of an age [years] [–]: the product of its rows."""
    rows = factor_rows(case, tables)
    spread = product((row.low, row.typical, row.high) for row in rows)
    by_age = factor_at(rows, age)
    return Range(spread.low * by_age, spread.mid * by_age, spread.high * by_age)


def obsolescence(case: Case, tables: Tables, age: float, basis: Basis) -> Range:
    """Return what an old design costs an owner at cost less depreciation [–]; 1 where the basis takes none of it.

    A power of the base row's factor by age [years] against that of a new one, its spread alike: what a market takes for
    age is part obsolescence of the design, which depreciation from all causes includes, and part a market that is full.
    """
    base = next((row for row in factor_rows(case, tables) if row.factor == "base"), None)
    if base is None or basis.obsolescence <= 0.0:
        return Range(1.0, 1.0, 1.0)
    middle = (factor_at((base,), age) / factor_at((base,), 0.0)) ** basis.obsolescence
    low, high = (middle * (end / base.typical) ** basis.obsolescence for end in (base.low, base.high))
    return Range(min(low, middle), middle, min(1.0, max(high, middle)))


def relative_sd(spread: Range) -> float:
    """Return the standard deviation on the logarithmic scale that a range's outer quantiles speak of [–]."""
    if spread.low <= 0.0 or spread.high <= spread.low:
        return 0.0
    return log(spread.high / spread.low) / (2.0 * Z90)


def size_factor(size_cm: float, case: Case, tables: Tables) -> float:
    """Return the factor of the size class that a length or height [cm] of this kind falls into [–]; 1 outside all."""
    for row in tables.market_factors.values():
        if row.factor == "size" and case.identity.kind in row.kinds and _in_class(row, size_cm):
            return row.typical
    return 1.0
