"""A sale as the book holds it: each column declared once, for SQLite, PostgreSQL, CSV and Parquet alike."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Container, Sequence


@dataclass(frozen=True, slots=True)
class Sale:
    """An instrument sold, by the practice or seen by it; money in one currency, as decimals."""

    date: date
    kind: str
    price: Decimal
    """What was paid for it."""
    currency: str
    sale: str
    """Kind of sale: a row of the table `bases` on a market."""
    made: str = ""
    """Year, day or interval of its making, as ISO 8601 writes it."""
    maker: str = ""
    maker_class: str = ""
    """Standing of the maker: a class of the table `market_factors`, factor "tier"."""
    size_cm: float | None = None
    grade: float | None = None
    """General condition, 1 as new … 5 spent."""
    price_new: Decimal | None = None
    """Of the like instrument new on that day; without it a sale says nothing of the market's level."""
    asked: Decimal | None = None
    bought: Decimal | None = None
    """What the practice had paid for it."""
    costs: Decimal | None = None
    """Work, carriage and what else went into it before the sale."""
    days: int | None = None
    """From offer to sale [days]."""
    low: Decimal | None = None
    """10th percentile of the valuation at the time."""
    middle: Decimal | None = None
    high: Decimal | None = None
    tables_version: str = ""
    """Of that valuation."""
    case_file: str = ""
    case_sha256: str = ""
    """Of the case file as it was then."""
    file: str = ""
    """Where the row was imported from."""
    file_sha256: str = ""
    """Of that file or of the case, or drawn by lot for a sale typed: with the line it tells a sale from all others."""
    line: int | None = None
    note: str = ""
    revision: int = 0
    """How often it was corrected, struck out or taken back: of two copies of a sale the later revision stands."""
    withdrawn: str = ""
    """Why it was struck out: it stays in the book, and counts for nothing while a word stands here."""

    @property
    def valued(self) -> bool:
        """True where a range of the time stands beside the price."""
        return self.low is not None and self.middle is not None and self.high is not None


MONEY = ("price", "price_new", "asked", "bought", "costs", "low", "middle", "high")
"""Columns of money: text in SQLite and CSV, so that no cent is lost; numeric elsewhere."""

_SQLITE = {"date": "TEXT", "Decimal": "TEXT", "float": "REAL", "int": "INTEGER", "str": "TEXT"}
_POSTGRES = {"date": "date", "Decimal": "numeric", "float": "double precision", "int": "integer", "str": "text"}

COLUMNS: dict[str, tuple[str, bool]] = {
    each.name: (str(each.type).removesuffix(" | None"), str(each.type).endswith(" | None")) for each in fields(Sale)
}
"""Column → its type and whether it may be empty."""


LATER = {"revision": "0", "withdrawn": "''"}
"""Columns that layout 2 added, and what a row of layout 1 holds there, as SQL writes it."""


def schema(dialect: str = "sqlite") -> str:
    """Return the statement that makes the table of sales, in one of two dialects."""
    serial = "INTEGER PRIMARY KEY" if dialect == "sqlite" else "integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY"
    columns = ", ".join(_column(name, dialect) for name in COLUMNS)
    return f"CREATE TABLE IF NOT EXISTS sale (number {serial}, {columns}, UNIQUE (file_sha256, line))"


def additions(there: Container[str], dialect: str = "sqlite") -> list[str]:
    """Return the statements that bring a table of layout 1 up to the present one, by the columns that it has."""
    return [f"ALTER TABLE sale ADD COLUMN {_column(name, dialect)}" for name in LATER if name not in there]


def _column(name: str, dialect: str) -> str:
    kind, empty = COLUMNS[name]
    types = _SQLITE if dialect == "sqlite" else _POSTGRES
    default = f" DEFAULT {LATER[name]}" if name in LATER else ""
    return f"{name} {types[kind]}{'' if empty else ' NOT NULL'}{default}"


INSERT = f"INSERT INTO sale ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))}) ON CONFLICT DO NOTHING"  # noqa: S608 - names are ours
REPLACE = (
    f"{INSERT.removesuffix('DO NOTHING')}(file_sha256, line) DO UPDATE SET "
    f"{', '.join(f'{name} = excluded.{name}' for name in COLUMNS)} WHERE sale.revision < excluded.revision"
)
"""As `INSERT`, but a later revision takes the place of an earlier one."""
SELECT = f"SELECT {', '.join(COLUMNS)} FROM sale"  # noqa: S608 - names are ours


def plain(sale: Sale) -> tuple[Any, ...]:
    """Return a sale as texts and numbers, in the order of `COLUMNS`."""
    found = (getattr(sale, name) for name in COLUMNS)
    return tuple(str(value) if isinstance(value, date | Decimal) else value for value in found)


def of_plain(row: Sequence[Any]) -> Sale:
    """Return the sale of a row in the order of `COLUMNS`.

    Raises:
        ValueError: A cell is not what its column holds.
    """
    made: dict[str, Any] = {}
    for (name, (kind, empty)), value in zip(COLUMNS.items(), row, strict=True):
        if value is None and not empty:
            raise ValueError(f"{name}: found nothing, expected {kind}")
        if value is None or isinstance(value, date) or kind == "str":
            made[name] = value
        elif kind == "date":
            made[name] = date.fromisoformat(value)
        elif kind == "Decimal":
            made[name] = _decimal(name, value)
        else:
            made[name] = float(value) if kind == "float" else int(value)
    return Sale(**made)


def _decimal(name: str, value: Any) -> Decimal:  # noqa: ANN401 - whatever a database gives
    try:
        found = Decimal(str(value))
    except ArithmeticError:
        raise ValueError(f"{name}: found {str(value)[:40]!r}, expected an amount of money") from None
    if not found.is_finite():
        raise ValueError(f"{name}: found {found}, expected an amount of money")
    return found
