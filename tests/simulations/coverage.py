"""How often the range from P10 to P90 holds the value that the truth of a simulated piano has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tests.simulations.pianos import looked_at, prior, shown, some_of, valued

if TYPE_CHECKING:
    from appraise.tables.rows import Tables

SEEN = (0.0, 0.3, 0.7, 1.0)
"""Shares of the checks made, by weight."""


@dataclass(frozen=True, slots=True)
class Coverage:
    """One instrument, one share of its checks made."""

    kind: str
    age: int
    seen: float
    pianos: int
    inside: int
    below: int
    """True values below the low end."""
    above: int
    width: float
    """Mean of (P90 − P10) / P50 [–]."""

    @property
    def share(self) -> float:
        """Share of the true values within the range [–]."""
        return self.inside / self.pianos


def coverage(
    kind: str,
    age: int,
    seen: float,
    pianos: int,
    tables: Tables,
    *,
    basis: str = "retail",
    draws: int = 512,
    seed: int = 5,
) -> Coverage:
    """Simulate pianos of one kind and age, look at part of each, and value them.

    Args:
        kind: Grand or upright.
        age: [years].
        seen: Share of the checks made, by weight [–].
        pianos: How many.
        tables: The reference tables.
        basis: Kind of sale.
        draws: Behind each range.
        seed: Of the inspections.
    """
    known = prior(kind, age, basis, 4096, tables)
    rng = np.random.default_rng([seed, age, int(100 * seen)])
    inside = below = above = 0
    widths = []
    kept = None
    for _ in range(pianos):
        at, market = int(rng.integers(known.n)), int(rng.integers(8))
        if seen > 0.0 or kept is None:
            grades = shown(known, at, tables, rng)
            case = looked_at(known.case, grades, some_of(known.case, seen, tables, rng))
            kept = valued(case, tables, 1900, draws)[2].value
        low, mid, high = np.percentile(kept, (10.0, 50.0, 90.0))
        value = known.value(at, market)
        below, above = below + (value < low), above + (value > high)
        inside += low <= value <= high
        widths.append((high - low) / max(1.0, abs(mid)))
    return Coverage(kind, age, seen, pianos, inside, int(below), int(above), float(np.median(widths)))
