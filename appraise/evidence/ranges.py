"""Width of the ranges of sold instruments beside the market rows: condition, costs and looks."""

from __future__ import annotations

from math import log, sqrt
from statistics import median
from typing import TYPE_CHECKING

from appraise.engine.draws import Z90
from appraise.engine.market import factor_rows, relative_sd
from appraise.evidence.levels import instrument
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.evidence.levels import Level
    from appraise.tables.rows import Tables

_LOOKED_AT = 31
_DRAWS = 256


def condition_sd(found: Sequence[Level], tables: Tables) -> float:
    """Return the spread of ranges that no market row and no price new puts in [–], on the logarithmic scale.

    The median over a few of the sales, from the youngest instrument to the oldest, each valued as a case.
    """
    from appraise.engine.valuation import value_case

    by_age = sorted(found, key=lambda level: level.age)
    some = by_age[:: max(1, len(by_age) // _LOOKED_AT)][:_LOOKED_AT]
    rest = []
    for level in some:
        case = instrument(level.sale, tables)
        exact = value_case(case, tables, draws=_DRAWS).exact
        if exact is None or exact.low <= 0.0:
            continue
        basis = tables.bases[level.sale.sale]
        spreads = [(row.low, row.high) for row in factor_rows(case, tables)] + [(basis.low, basis.high)]
        known = sum((relative_sd(Range(low, low, high)) ** 2 for low, high in spreads), 0.0)
        known += tables.setting("replacement_cost_sd") ** 2
        rest.append(max(0.0, (log(exact.high / exact.low) / (2 * Z90)) ** 2 - known))
    return sqrt(median(rest)) if rest else 0.0
