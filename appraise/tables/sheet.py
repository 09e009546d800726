"""A table while it is being put together: its rows, and the place each came from."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, TypeVar

from appraise.model.lazy_dataclass import dataclass
from appraise.tables.columns import shown
from appraise.tables.files import RawRow, nearest
from appraise.tables.rows import Row, Source

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from appraise.model.problem import Problem

_AnyRow = TypeVar("_AnyRow", bound="Row | Source")


@dataclass(slots=True)
class Sheet:
    """One table while it is being put together."""

    name: str
    rows: dict[str, Row | Source] = field(default_factory=dict)
    raw: dict[str, RawRow] = field(default_factory=dict)
    """Line of each row, by the same keys."""
    files: dict[str, str] = field(default_factory=dict)
    """Name of the file, relative to its folder, by the same keys."""
    yours: set[str] = field(default_factory=set)
    """Keys of the user's rows."""

    def copy(self) -> Sheet:
        """Return a sheet with the same rows that can be changed on its own."""
        return Sheet(self.name, dict(self.rows), dict(self.raw), dict(self.files), set(self.yours))


class Book:
    """All sheets at hand, and the problems found in them."""

    def __init__(self, sheets: dict[str, Sheet], problems: list[Problem]) -> None:
        self.sheets = sheets
        self.problems = problems

    def rows(self, name: str, row_class: type[_AnyRow]) -> list[_AnyRow]:
        """Return the rows of one table as what they are."""
        return [row for row in self.sheets[name].rows.values() if isinstance(row, row_class)]

    def wrong(self, row: Row | Source, column: str, found: str, expected: str, mend: str = "") -> None:
        """Note a problem with one cell of a row, or with the whole row where `column` is empty."""
        name = row.table if isinstance(row, Row) else "sources"
        self.problems.append(self.sheets[name].raw[row.key].problem(column, found, expected, mend))

    def known(self, row: Row, column: str, names: Iterable[str], known: Collection[str], what: str) -> None:
        """Note every name that is none of the known ones."""
        for name in names:
            if name not in known:
                self.wrong(row, column, shown(name), what, nearest(name, known))

    def below(self, row: Row, low: str, high: str) -> None:
        """Note a number that is not less than another of its row, where the row has both."""
        least, most = getattr(row, low), getattr(row, high)
        if least is not None and most is not None and least >= most:
            self.wrong(row, low, f"{least:g}", f"less than {high}, {most:g}")

    def one_of(self, row: Row, column: str, name: str, known: Collection[str]) -> None:
        """Note a name that is none of a few; all of them are told."""
        self.known(row, column, (name,), known, "one of " + ", ".join(known))

    def in_order(self, first: Row, second: Row, column: str, found: tuple[str, str], expected: str) -> None:
        """Note two rows of one table that do not follow each other; the user's is named, where one is theirs.

        Args:
            first: A row.
            second: The row after it.
            column: Of both.
            found: What the one has there, and the other.
            expected: What the rows should do.
        """
        blamed = first if first.yours and not second.yours else second
        self.wrong(blamed, column, found[0 if blamed is first else 1], expected)

    def rising(self, row: Row, *columns: str) -> None:
        """Note columns whose numbers do not rise, equal ones allowed."""
        values = [getattr(row, column) for column in columns]
        for first, second, value, after in zip(columns, columns[1:], values, values[1:], strict=False):
            if value > after:
                self.wrong(row, first, f"{value:g}", f"at most {second}, {after:g}")
