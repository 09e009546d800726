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
    """Keys that order candidates."""

    column: str
    """Key of a row."""
    most_first: bool
    means: str
    money: bool = False
    """It is an amount."""


_ALL = 2**62

SORTS: dict[str, SortKey] = {
    "offer": SortKey("offer", True, "the highest offer first", money=True),
    "resale": SortKey("resale", True, "the highest resale first", money=True),
    "margin": SortKey("margin", True, "the greatest margin, the expected profit, first", money=True),
    "work": SortKey("work", False, "the least work first", money=True),
    "carriage": SortKey("carriage", False, "the least carriage first", money=True),
    "preparation": SortKey("preparation", False, "the least preparation first", money=True),
    "guarantee": SortKey("guarantee", False, "the least guarantee first", money=True),
    "holding": SortKey("holding", False, "the least holding first", money=True),
    "risk": SortKey("loss_risk_pct", False, "the least risk first"),
    "months": SortKey("next_intervention_months", True, "the longest time to the next large job first"),
    "file": SortKey("file", False, "by name"),
}
"""Every order, by the word that asks for it."""


@dataclass(frozen=True, slots=True)
class Filter:
    """Which candidates are wanted; money in the reference currency where several are converted, else in each's own."""

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

    def condition(self, *, mixed: bool = False) -> tuple[str, tuple[object, ...]]:
        """Return it as a condition of SQL with its parameters.

        Args:
            mixed: True where the candidates are in more than one currency.
        """
        parts: list[tuple[str, object]] = []
        if self.kind:
            parts.append(("kind = ?", self.kind))
        for text, bound in (
            (f"{_converted('offer') if mixed else 'offer'} >= ?", self.above),
            ("loss_risk_pct <= ?", self.risk_pct),
            ("next_intervention_months >= ?", self.months),
        ):
            if bound is not None:
                parts.append((text, bound))
        return " AND ".join(text for text, _ in parts) or "1", tuple(bound for _, bound in parts)


EVERY = Filter()
"""Wants every candidate."""

LIKE = ("basis", "after_loss")
"""Keys of a row in which neighbours are expected to be alike."""

_COLUMNS = (
    "kind",
    "currency",
    "rate",
    "reference_currency",
    "case_sha256",
    *LIKE,
    *(key.column for key in SORTS.values()),
)
_GROUP = "CASE WHEN rate IS NULL THEN currency ELSE '' END"
"""Rows converted to one currency stand together; the others stand with their own."""
_TWINS = 20
"""So many twins are named."""


def _converted(column: str) -> str:
    return f"{column} * COALESCE(rate, 1.0)"


class Ordered:
    """Rows that can be had in any order, held in a temporary database that goes to disk when it grows.

    Where rows are in several currencies, an order by money goes by what they convert to; those without a rate stand in
    a group of their own currency behind.
    """

    def __init__(self, base: sqlite3.Connection) -> None:
        """Begin an empty ranking; made by `ordered`, or on a connection of one's own."""
        self._base = base
        self._usual: tuple[bool, dict[str, object]] | None = None
        base.execute(f"CREATE TABLE row (place INTEGER PRIMARY KEY, content TEXT, instrument, {', '.join(_COLUMNS)})")
        base.execute("CREATE INDEX same_instrument ON row (instrument) WHERE instrument IS NOT NULL")
        base.execute("CREATE INDEX same_content ON row (case_sha256)")

    def add(self, row: Mapping[str, Any], place: int | None = None) -> None:
        """Take a row.

        Args:
            row: As from `report.ranking.flat`.
            place: What `row` gives it back by; one that is there already is replaced. None: the next that is free.
        """
        values = (place, json.dumps(row, allow_nan=False), _instrument(row), *(row[key] for key in _COLUMNS))
        self._base.execute(f"INSERT OR REPLACE INTO row VALUES ({', '.join('?' * len(values))})", values)  # noqa: S608 - marks only
        self._usual = None

    def drop(self, place: int) -> None:
        """Forget the row at a place, if there is one."""
        self._base.execute("DELETE FROM row WHERE place = ?", (place,))
        self._usual = None

    def clear(self) -> None:
        """Forget every row."""
        self._base.execute("DELETE FROM row")
        self._usual = None

    def count(self, wanted: Filter = EVERY) -> int:
        """Return how many rows are wanted."""
        condition, bounds = self._condition(wanted)
        (found,) = self._base.execute(f"SELECT count(*) FROM row WHERE {condition}", bounds).fetchone()  # noqa: S608 - names of columns are ours
        return int(found)

    def currencies(self, wanted: Filter = EVERY) -> list[str]:
        """Return the currencies of the wanted rows, by name."""
        return self._distinct("currency", wanted)

    def unconverted(self, wanted: Filter = EVERY) -> list[str]:
        """Return the currencies of the wanted rows for which there is no rate, by name."""
        return self._distinct("CASE WHEN rate IS NULL THEN currency END", wanted)

    def groups(self, key: SortKey, wanted: Filter = EVERY) -> list[tuple[str, int]]:
        """Return the groups that an order falls into: the currency that one is shown in, and how many rows it has.

        Args:
            key: The order; one that does not go by money has no groups.
            wanted: Which rows.
        """
        if not key.money or not self._mixed():
            return []
        condition, bounds = self._condition(wanted)
        name = "COALESCE(reference_currency, currency)"
        query = f"SELECT {name}, count(*) FROM row WHERE {condition} GROUP BY {_GROUP} ORDER BY {_GROUP}"  # noqa: S608 - names of columns are ours
        found = [(str(currency), int(count)) for currency, count in self._base.execute(query, bounds)]
        return found if len(found) > 1 else []

    def places(
        self, key: SortKey, *, backwards: bool = False, wanted: Filter = EVERY, most: int | None = None
    ) -> list[int]:
        """Return the places of the wanted rows, best first, those without the figure last, equal ones by file.

        Args:
            key: The order.
            backwards: The other way round.
            wanted: Which rows.
            most: How many at most, of each group; none: all.
        """
        return [int(place) for (place,) in self._asked("place", key, backwards, wanted, most)]

    def row(self, place: int) -> Row | None:
        """Return the row at a place, with its twins and what is unlike its neighbours; none where there is none."""
        found = self._base.execute("SELECT place, content FROM row WHERE place = ?", (place,)).fetchone()
        return None if found is None else self._told(*found)

    def rows(
        self, key: SortKey, *, backwards: bool = False, wanted: Filter = EVERY, most: int | None = None
    ) -> Iterator[Row]:
        """Yield the rows themselves, as for `places` and `row`."""
        for place, content in self._asked("place, content", key, backwards, wanted, most):
            yield self._told(place, content)

    def _asked(self, what: str, key: SortKey, backwards: bool, wanted: Filter, most: int | None) -> sqlite3.Cursor:
        way = "DESC" if key.most_first != backwards else "ASC"
        condition, bounds = self._condition(wanted)
        mixed = key.money and self._mixed()
        column = _converted(key.column) if mixed else key.column
        order, group = f"{key.column} IS NULL, {column} {way}, file", _GROUP if mixed else "''"
        ranked = f"ROW_NUMBER() OVER (PARTITION BY {group} ORDER BY {order})"
        query = (
            f"SELECT {what} FROM (SELECT place AS at, {group} AS together, {ranked} AS rank FROM row "  # noqa: S608 - names of columns are ours
            f"WHERE {condition}) JOIN row ON place = at WHERE rank <= ? ORDER BY together, rank"
        )
        return self._base.execute(query, (*bounds, _ALL if most is None else most))

    def _condition(self, wanted: Filter) -> tuple[str, tuple[object, ...]]:
        return wanted.condition(mixed=wanted.above is not None and self._mixed())

    def _distinct(self, what: str, wanted: Filter) -> list[str]:
        condition, bounds = self._condition(wanted)
        query = f"SELECT DISTINCT {what} AS found FROM row WHERE {condition} ORDER BY found"  # noqa: S608 - names of columns are ours
        return [str(found) for (found,) in self._base.execute(query, bounds) if found is not None]

    def _mixed(self) -> bool:
        return self._whole()[0]

    def _whole(self) -> tuple[bool, dict[str, object]]:
        """Return whether there are several currencies, and what most rows have of each key of `LIKE`."""
        if self._usual is None:
            (coins,) = self._base.execute("SELECT count(DISTINCT currency) FROM row").fetchone()
            usual = {}
            for key in LIKE:
                query = f"SELECT {key} FROM row GROUP BY {key} ORDER BY count(*) DESC, {key} LIMIT 1"  # noqa: S608 - names of columns are ours
                usual[key] = (self._base.execute(query).fetchone() or (None,))[0]
            self._usual = (coins > 1, usual)
        return self._usual

    def _told(self, place: int, content: str) -> Row:
        row: Row = json.loads(content)
        usual = self._whole()[1]
        row["unlike"] = "; ".join(key for key in LIKE if row[key] != usual[key])
        query = "SELECT file FROM row WHERE (instrument = ? OR case_sha256 = ?) AND place <> ? ORDER BY file LIMIT ?"
        found = self._base.execute(query, (_instrument(row), row["case_sha256"], place, _TWINS))
        row["twins"] = "; ".join(file for (file,) in found)
        return row


def _instrument(row: Mapping[str, Any]) -> str | None:
    """Return what two files of one instrument have in common: maker and serial, without case, spaces and dashes."""
    maker, serial = (
        "".join(letter for letter in str(row[key] or "").casefold() if letter.isalnum()) for key in ("maker", "serial")
    )
    return f"{maker} {serial}" if maker and serial else None


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
