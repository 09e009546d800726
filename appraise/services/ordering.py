"""Candidates filtered and put in order on disk, so that a ranking of any length fits in memory."""

from __future__ import annotations

import json
import sqlite3
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

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
    "resale": SortKey("resale", True, "the highest resale first"),
    "margin": SortKey("margin", True, "the greatest margin, the expected profit, first"),
    "work": SortKey("work", False, "the least work first"),
    "carriage": SortKey("carriage", False, "the least carriage first"),
    "preparation": SortKey("preparation", False, "the least preparation first"),
    "guarantee": SortKey("guarantee", False, "the least guarantee first"),
    "holding": SortKey("holding", False, "the least holding first"),
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

    @property
    def empty(self) -> bool:
        """True when every candidate is wanted."""
        return self == Filter()

    def condition(self) -> tuple[str, tuple[object, ...]]:
        """Return it as a condition of SQL with its parameters."""
        parts: list[tuple[str, object]] = []
        if self.kind:
            parts.append(("kind = ?", self.kind))
        for text, bound in (
            ("offer >= ?", self.above),
            ("loss_risk_pct <= ?", self.risk_pct),
            ("next_intervention_months >= ?", self.months),
        ):
            if bound is not None:
                parts.append((text, bound))
        return " AND ".join(text for text, _ in parts) or "1", tuple(bound for _, bound in parts)


EVERY = Filter()
"""Wants every candidate."""

_COLUMNS = ("kind", "currency", *(key.column for key in SORTS.values()))


class Ordered:
    """Rows that can be had in any order, held in a temporary database that goes to disk when it grows."""

    def __init__(self, base: sqlite3.Connection) -> None:
        """Begin an empty ranking; made by `ordered`, or on a connection of one's own."""
        self._base = base
        base.execute(f"CREATE TABLE row (place INTEGER PRIMARY KEY, content TEXT, {', '.join(_COLUMNS)})")

    def add(self, row: Mapping[str, Any], place: int | None = None) -> None:
        """Take a row.

        Args:
            row: As from `report.ranking.flat`.
            place: What `row` gives it back by; one that is there already is replaced. None: the next that is free.
        """
        values = (place, json.dumps(row, allow_nan=False), *(row[key] for key in _COLUMNS))
        self._base.execute(f"INSERT OR REPLACE INTO row VALUES ({', '.join('?' * len(values))})", values)  # noqa: S608 - marks only

    def drop(self, place: int) -> None:
        """Forget the row at a place, if there is one."""
        self._base.execute("DELETE FROM row WHERE place = ?", (place,))

    def clear(self) -> None:
        """Forget every row."""
        self._base.execute("DELETE FROM row")

    def count(self, wanted: Filter = EVERY) -> int:
        """Return how many rows are wanted."""
        condition, bounds = wanted.condition()
        (found,) = self._base.execute(f"SELECT count(*) FROM row WHERE {condition}", bounds).fetchone()  # noqa: S608 - names of columns are ours
        return int(found)

    def currencies(self, wanted: Filter = EVERY) -> list[str]:
        """Return the currencies of the wanted rows, by name."""
        condition, bounds = wanted.condition()
        query = f"SELECT DISTINCT currency FROM row WHERE {condition} ORDER BY currency"  # noqa: S608 - names of columns are ours
        return [str(found) for (found,) in self._base.execute(query, bounds)]

    def places(
        self, key: SortKey, *, backwards: bool = False, wanted: Filter = EVERY, most: int | None = None
    ) -> list[int]:
        """Return the places of the wanted rows, best first, those without the figure last, equal ones by file.

        Args:
            key: The order.
            backwards: The other way round.
            wanted: Which rows.
            most: How many at most; none: all.
        """
        return [int(place) for (place,) in self._asked("place", key, backwards, wanted, most)]

    def row(self, place: int) -> Row | None:
        """Return the row at a place, none where there is none."""
        found = self._base.execute("SELECT content FROM row WHERE place = ?", (place,)).fetchone()
        return None if found is None else json.loads(found[0])

    def rows(
        self, key: SortKey, *, backwards: bool = False, wanted: Filter = EVERY, most: int | None = None
    ) -> Iterator[Row]:
        """Yield the rows themselves, as for `places`."""
        for (content,) in self._asked("content", key, backwards, wanted, most):
            yield json.loads(content)

    def _asked(self, what: str, key: SortKey, backwards: bool, wanted: Filter, most: int | None) -> sqlite3.Cursor:
        way = "DESC" if key.most_first != backwards else "ASC"
        condition, bounds = wanted.condition()
        column = key.column
        query = f"SELECT {what} FROM row WHERE {condition} ORDER BY {column} IS NULL, {column} {way}, file LIMIT ?"  # noqa: S608 - names of columns are ours
        return self._base.execute(query, (*bounds, -1 if most is None else most))


@contextmanager
def ordered() -> Iterator[Ordered]:
    """Open an empty ranking, gone when it is closed."""
    base = temporary()
    try:
        yield Ordered(base)
    finally:
        base.close()


def temporary() -> sqlite3.Connection:
    """Open a database of its own that lies on disk as soon as it outgrows its cache, and is gone when it is closed."""
    return sqlite3.connect("")
