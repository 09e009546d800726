"""Whether a visit narrows the range by as much as it promised."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.visit import visit
from tests.simulations.pianos import looked_at, prior, shown, valued

if TYPE_CHECKING:
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class Kept:
    """One instrument, visits of one length."""

    kind: str
    age: int
    minutes: float
    visits: int
    promised: float
    """[%]."""
    realised: float
    """Mean [%]."""
    error: float
    """Standard error of that mean [%]."""

    @property
    def ratio(self) -> float:
        """Mean realised narrowing over that promised [–]."""
        return self.realised / self.promised


def promise(
    kind: str,
    age: int,
    minutes: float,
    visits: int,
    tables: Tables,
    *,
    basis: str = "retail",
    draws: int = 1024,
    seed: int = 9,
) -> Kept:
    """Make the proposed checks on simulated pianos and value each again.

    Args:
        kind: Grand or upright.
        age: [years].
        minutes: Of the visit [min].
        visits: How many.
        tables: The reference tables.
        basis: Kind of sale.
        draws: Behind each range.
        seed: Of the inspections.
    """
    known = prior(kind, age, basis, 4096, tables)
    proposed = visit(known.case, tables, minutes, draws=draws)
    checks = [entry.check for entry in proposed.checks]
    before = _width(valued(known.case, tables, 1900, draws)[2].value)
    rng = np.random.default_rng([seed, age, int(minutes)])
    found = []
    for _ in range(visits):
        grades = shown(known, int(rng.integers(known.n)), tables, rng)
        after = _width(valued(looked_at(known.case, grades, checks), tables, 1900, draws)[2].value)
        found.append(100.0 * (1.0 - after / before))
    return Kept(
        kind, age, minutes, visits, proposed.narrows_pct, float(np.mean(found)), float(np.std(found) / sqrt(visits))
    )


def _width(column: np.ndarray) -> float:
    low, high = np.percentile(column, (10.0, 90.0))
    return float(high - low)
