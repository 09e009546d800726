"""Typed reading of one cell of a table, from TOML (already typed) or from CSV (text)."""

from __future__ import annotations

import math
import re
from dataclasses import MISSING, field
from datetime import date
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING, Any, TypeVar

from appraise.model.case import Kind
from appraise.model.lazy_dataclass import dataclass
from appraise.model.unsafe import CONTROL_OR_HIDDEN_OR_BREAK

if TYPE_CHECKING:
    from collections.abc import Callable

_KEY = re.compile(r"[a-z0-9][a-z0-9_.]*\Z")
_SHOWN = 60

_Option = TypeVar("_Option", bound=StrEnum)


class WrongCellError(ValueError):
    """A cell that does not fit its column."""

    def __init__(self, found: str, expected: str, mend: str = "") -> None:
        super().__init__(f"found {found}, expected {expected}")
        self.found = found
        self.expected = expected
        self.mend = mend


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table."""

    read: Callable[[object], object]
    """Turns a cell into the field's type or raises `WrongCellError`."""
    required: bool
    field: str
    """Field of the row."""
    of: str | tuple[str, ...] = ""
    """Table whose keys it names, or the words that it may hold; empty: neither."""


def cell(
    read: Callable[[object], object],
    default: object = MISSING,
    *,
    factory: Callable[[], object] | None = None,
    required: bool = False,
    column: str = "",
    of: str | tuple[str, ...] = "",
) -> Any:  # noqa: ANN401 - the field's own type, which its row states
    """Declare a field of a row that is read from a column of its table.

    Args:
        read: Turns a cell into the field's type or raises `WrongCellError`.
        default: Of the field; none: every row of the table must have the column.
        factory: Makes the default, where it can be changed.
        required: Rows of the table must have it all the same.
        column: Its name where it is not the field's.
        of: Table whose keys it names, or the words that it may hold.
    """
    about = {"read": read, "required": required, "column": column, "of": of}
    return field(default=default, metadata=about) if factory is None else field(default_factory=factory, metadata=about)


def shown(value: object) -> str:
    """Return a value as a message may quote it: on one line, without control characters, not too long."""
    text = "true" if value is True else "false" if value is False else repr(value)
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"


def text(value: object) -> str:
    """Read a text of one line."""
    if not isinstance(value, str):
        raise WrongCellError(shown(value), "a text in quotes")
    if CONTROL_OR_HIDDEN_OR_BREAK.search(value):
        raise WrongCellError(shown(value), "a text on one line without control characters")
    return value


def filled(value: object) -> str:
    """Read a text that must say something."""
    words = text(value)
    if not words.strip():
        raise WrongCellError("an empty text", "some words")
    return words


def key(value: object) -> str:
    """Read a row's key."""
    words = text(value)
    if not _KEY.match(words):
        raise WrongCellError(
            shown(value), "a key of small letters, digits and underscores", "write it like hammer_felt"
        )
    return words


def number(value: object) -> float:
    """Read a finite number."""
    if isinstance(value, str):
        try:
            value = float(value)
        except ValueError:
            raise WrongCellError(shown(value), "a number") from None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise WrongCellError(shown(value), "a number")
    try:
        result = float(value)
    except OverflowError:
        raise WrongCellError(shown(value), "a number of ordinary size") from None
    if not math.isfinite(result):
        raise WrongCellError(shown(value), "a finite number")
    return result


def between(low: float, high: float) -> Callable[[object], float]:
    """Return a reader of numbers from `low` to `high`, both included."""

    def read(value: object) -> float:
        result = number(value)
        if not low <= result <= high:
            expected = f"{low:g} or more" if high == math.inf else f"a number from {low:g} to {high:g}"
            raise WrongCellError(shown(value), expected)
        return result

    return read


def above_zero(value: object) -> float:
    """Read a number above 0."""
    result = number(value)
    if result <= 0:
        raise WrongCellError(shown(value), "a number above 0")
    return result


def flag(value: object) -> bool:
    """Read true or false."""
    if isinstance(value, bool):
        return value
    if isinstance(value, str) and value in {"true", "false"}:
        return value == "true"
    raise WrongCellError(shown(value), "true or false")


def day(value: object) -> date:
    """Read a date."""
    if type(value) is date:
        return value
    if isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    raise WrongCellError(shown(value), "a date, year-month-day")


def choice(options: type[_Option]) -> Callable[[object], _Option]:
    """Return a reader of one of an enumeration's words."""

    def read(value: object) -> _Option:
        try:
            return options(text(value))
        except ValueError as error:
            if isinstance(error, WrongCellError):
                raise
            raise WrongCellError(shown(value), "one of " + ", ".join(option.value for option in options)) from None

    return read


def _list(value: object) -> list[object]:
    if isinstance(value, list):
        return value
    if isinstance(value, str):  # CSV: items parted by blanks
        return list(value.split())
    raise WrongCellError(shown(value), "a list in brackets")


def names(value: object) -> tuple[str, ...]:
    """Read a list of keys, none twice."""
    items = tuple(text(item) for item in _list(value))
    if len(set(items)) < len(items):
        raise WrongCellError(shown(value), "every name once")
    return items


_read_kind = choice(Kind)


def kinds(value: object) -> tuple[Kind, ...]:
    """Read a list of kinds of instrument."""
    items = tuple(_read_kind(item) for item in _list(value))
    if len(set(items)) < len(items):
        raise WrongCellError(shown(value), "every kind once")
    return items


def some_kinds(value: object) -> tuple[Kind, ...]:
    """Read a list of kinds of instrument that names at least one."""
    items = kinds(value)
    if not items:
        raise WrongCellError("an empty list", 'at least one of "grand", "upright"')
    return items


def numbers(value: object) -> tuple[float, ...]:
    """Read a list of numbers."""
    return tuple(number(item) for item in _list(value))


def pair(value: object) -> tuple[float, float]:
    """Read two numbers, the second greater."""
    items = numbers(value)
    if len(items) != 2 or items[0] >= items[1]:
        raise WrongCellError(shown(value), "two numbers in brackets, the smaller first")
    return items[0], items[1]


def points(value: object) -> tuple[tuple[float, float], ...]:
    """Read a list of pairs of numbers whose first numbers rise."""
    result: list[tuple[float, float]] = []
    for item in _list(value):
        items = _list(item)
        if len(items) != 2:
            raise WrongCellError(shown(item), "two numbers in brackets")
        result.append((number(items[0]), number(items[1])))
    if any(first[0] >= second[0] for first, second in pairwise(result)):
        raise WrongCellError(shown(value), "points whose first numbers rise")
    return tuple(result)


def wordings(value: object) -> tuple[tuple[float, str], ...]:
    """Read a list of [grade, words], grades rising within 1–5."""
    result: list[tuple[float, str]] = []
    for item in _list(value):
        items = _list(item)
        if len(items) != 2:
            raise WrongCellError(shown(item), "a grade and words in brackets")
        result.append((grade(items[0]), filled(items[1])))
    if any(first[0] >= second[0] for first, second in pairwise(result)):
        raise WrongCellError(shown([item[0] for item in result]), "grades that rise")
    return tuple(result)


def factors(value: object) -> dict[str, float]:
    """Read names with a number each."""
    if not isinstance(value, dict):
        raise WrongCellError(shown(value), "names with a number each, in braces")
    return {text(name): number(item) for name, item in value.items()}


grade = between(1.0, 5.0)
share = between(0.0, 1.0)
not_negative = between(0.0, math.inf)
FACTOR = between(0.001, 100.0)
"""A factor on a price or a life: never nothing, for it is divided by and its logarithm is taken."""
LIFE = between(0.1, 5000.0)
"""A service life [years]."""
HOURS = between(0.0, 10_000.0)
"""Work [h]."""
