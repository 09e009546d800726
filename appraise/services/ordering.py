"""Candidates filtered and put in order on disk, so that a ranking of any length fits in memory."""

from __future__ import annotations

import json
import sqlite3
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from appraise.model.ranking import Candidate

    Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class SortKey:
    """What candidates are put in order by."""

    column: str
    """Key of a row."""
    most_first: bool
    means: str


SORTS: dict[str, SortKey] = {
    "offer": SortKey("offer", True, "the highest offer first"),
    "profit": SortKey("expected_profit", True, "the greatest expected profit first"),
    "resale": SortKey("resale", True, "the highest resale first"),
    "margin": SortKey("margin", True, "the greatest margin first"),
    "work": SortKey("work", False, "the least work first"),
    "risk": SortKey("loss_risk_pct", False, "the least risk first"),
    "months": SortKey("next_intervention_months", True, "the longest time to major work first"),
    "file": SortKey("file", False, "by name"),
}
"""Every order, by the word that asks for it."""


@dataclass(frozen=True, slots=True)
class Filter:
    """Which candidates are wanted; money in each one's own currency."""

    kind: str = ""
    above: float | None = None
    """Least offer [money]."""
    risk_pct: float | None = None
    """Greatest risk [%]."""
    months: float | None = None
    """Least time to the next intervention [months]; where it is not known the candidate is left out."""

    def admits(self, candidate: Candidate) -> bool:
        """Tell whether a candidate is wanted."""
        trade = candidate.trade
        return (
            self.kind in ("", candidate.kind)
            and (self.above is None or trade.offer >= self.above)
            and (self.risk_pct is None or 100.0 * trade.risk <= self.risk_pct)
            and (self.months is None or (trade.next_months is not None and trade.next_months >= self.months))
        )


class Ordered:
    """Rows in the order asked for, held in a temporary database that goes to disk when it grows."""

    def __init__(self, base: sqlite3.Connection, key: SortKey, *, backwards: bool) -> None:
        """Begin an empty ranking; made by `ordered`."""
        self._base, self._key = base, key
        self._down = key.most_first != backwards
        self.count = 0
        base.execute("CREATE TABLE row (rank_key, file TEXT, content TEXT)")

    def add(self, row: Mapping[str, Any]) -> None:
        """Take a row."""
        content = json.dumps(row, allow_nan=False)
        self._base.execute("INSERT INTO row VALUES (?, ?, ?)", (row[self._key.column], str(row["file"]), content))
        self.count += 1

    def rows(self, most: int | None = None) -> Iterator[Row]:
        """Yield the rows, best first, those without the figure last, equal ones by file.

        Args:
            most: How many at most; none: all.
        """
        way = "DESC" if self._down else "ASC"
        query = f"SELECT content FROM row ORDER BY rank_key IS NULL, rank_key {way}, file LIMIT ?"  # noqa: S608
        for (content,) in self._base.execute(query, (-1 if most is None else most,)):
            yield json.loads(content)


@contextmanager
def ordered(key: SortKey, *, backwards: bool = False) -> Iterator[Ordered]:
    """Open an empty ranking, gone when it is closed.

    Args:
        key: The order.
        backwards: The other way round.
    """
    # An empty name is a database of its own that lies on disk as soon as it outgrows its cache.
    base = sqlite3.connect("")
    try:
        yield Ordered(base, key, backwards=backwards)
    finally:
        base.close()
