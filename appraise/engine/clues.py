"""Years since a renewal nobody documented, from what the parts look like."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from appraise.tables.rows_ageing import DatingClue

STEP_YEARS = 0.25
"""Width of a cell of the density [years]."""

MEET = 0.1
"""Share of the narrower interval that two clues must have in common to agree [–]."""


@dataclass(frozen=True, eq=False)
class YearsSince:
    """A density over the years since an event."""

    years: NDArray[np.float64]
    """Upper edges of the cells [years]."""
    cumulative: NDArray[np.float64]
    """Probability up to each edge [–], rising to 1."""

    def quantile(self, probability: NDArray[np.float64] | float) -> NDArray[np.float64]:
        """Return the years not exceeded with this probability, linear within a cell, shape of the argument."""
        edges = np.concatenate(([0.0], self.years))
        filled = np.concatenate(([0.0], self.cumulative))
        keep = np.concatenate(([True], np.diff(filled) > 0.0))
        # Where cells are empty, the quantile starts at the far edge of the gap, not at its near one.
        return np.asarray(np.interp(probability, filled[keep], edges[keep]), dtype=np.float64)

    @property
    def median(self) -> float:
        """Median [years]."""
        return float(self.quantile(0.5))

    def interval(self, level: float = 0.8) -> tuple[float, float]:
        """Return the central interval that holds `level` of the probability [years]."""
        return float(self.quantile(0.5 - level / 2)), float(self.quantile(0.5 + level / 2))


def weigh(clues: Sequence[DatingClue], longest_years: float, flat_years: float) -> YearsSince:
    """Combine dating clues into one density.

    Args:
        clues: Rows of the table; none leaves every year equally likely.
        longest_years: Longest possible time since the event [years], > 0: the age of the instrument.
        flat_years: Span over which a clue that misleads says nothing [years], > 0. It is one figure for every
            instrument, so that an older instrument can only make a renewal look older, never younger.

    Returns:
        The product of the clues' densities, each r·uniform over its interval plus (1 − r)·flat over the span, cut
        off at the age of the instrument and normalised. The order of the clues does not matter.

    Raises:
        ValueError: A span is not positive.
    """
    if longest_years <= 0.0 or flat_years <= 0.0:
        raise ValueError(f"the span of possible years must be positive: {longest_years}, {flat_years}")
    edges = np.append(np.arange(0.0, longest_years, STEP_YEARS), longest_years)
    logs = np.log(np.diff(edges))
    for clue in sorted(clues, key=lambda row: row.key):
        inside = _overlap(edges, clue.low, clue.high)
        width = max(clue.high - clue.low, STEP_YEARS)
        logs += np.log(clue.reliability * inside / width + (1.0 - clue.reliability) / flat_years)
    cumulative = np.cumsum(np.exp(logs - logs.max()))
    return YearsSince(edges[1:], cumulative / cumulative[-1])


def disagreeing(clues: Sequence[DatingClue]) -> tuple[tuple[str, str], ...]:
    """Return the pairs of clues whose intervals share less than a tenth of the narrower one, by key."""
    rows = sorted(clues, key=lambda row: row.key)
    found = []
    for n, first in enumerate(rows):
        for second in rows[n + 1 :]:
            common = min(first.high, second.high) - max(first.low, second.low)
            if common < MEET * min(first.high - first.low, second.high - second.low):
                found.append((first.key, second.key))
    return tuple(found)


def _overlap(edges: NDArray[np.float64], low: float, high: float) -> NDArray[np.float64]:
    """Return the share of each cell that lies in [low, high]."""
    covered = np.minimum(edges[1:], high) - np.maximum(edges[:-1], low)
    share: NDArray[np.float64] = np.clip(covered / np.diff(edges), 0.0, 1.0)
    return share
