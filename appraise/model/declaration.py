"""Declarations beside a field's type: the values it takes, its words in a form, its choices.

The declaration stands in `Annotated`; annotations are texts until `declared` is asked: the classes of the case import
this module for the type checker alone, and `hints` lends them its names.
A plain text among them says what a file expects where a required key is missing.
"""

from __future__ import annotations

import sys
from dataclasses import MISSING, fields, is_dataclass
from decimal import Decimal
from functools import lru_cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

from appraise.model.lazy_dataclass import dataclass
from appraise.model.plausible import LEAST_PRICE
from appraise.model.span import Span

LONGEST_TEXT = 20_000
"""Characters of a free text."""

LONGEST_LIST = 500
"""Items of a list within a record."""


@dataclass(frozen=True, slots=True)
class Chars:
    """A text of at most so many characters, of a pattern where it has one."""

    most: int
    """0: the pattern says how many."""
    pattern: str = ""
    looks: str = "a text that says something"
    """Words for the value expected where a text does not fit the pattern."""
    least: int = 0


@dataclass(frozen=True, slots=True)
class Number:
    """A number between two bounds, each allowed itself unless it is open."""

    low: float
    high: float
    unit: str = ""
    low_open: bool = False
    high_open: bool = False


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in its unit, or a text with another unit of its kind behind it."""

    unit: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Money:
    """An amount as a decimal number in quotes."""

    least: int | None = None
    """None: either sign."""
    above: bool = False
    """The least itself is too little."""


@dataclass(frozen=True, slots=True)
class Measured:
    """Result of a check: a number, yes or no, or a text."""


@dataclass(frozen=True, slots=True)
class HalfStep:
    """A grade from 1 to 5 in half steps."""


@dataclass(frozen=True, slots=True)
class NoteNumber:
    """A note of the compass by its number or its name."""


@dataclass(frozen=True, slots=True)
class Some:
    """A list that may not be empty."""


@dataclass(frozen=True, slots=True)
class Row:
    """The key of a row, or of several, of what `tables.choices` lists."""

    of: str
    what: str = ""
    """Words for the value a file expects; empty: a check of its own compares the key."""
    fits: bool = False
    """Only rows for the kind of the instrument are good in a file."""


@dataclass(frozen=True, slots=True)
class Form:
    """How a person meets a field, a section or a list of records."""

    label: str
    help: str = ""
    long: bool = False
    """Text of several lines."""
    after: str = ""
    """The field before it in the form, where that is not the one before it in the class."""
    labels: tuple[tuple[str, str], ...] = ()
    """Words for each key that may be chosen, where they are not the key."""
    begins: str = ""
    """Value of a new record."""
    needed: bool = True
    """False: may be left empty though a file needs it."""
    one: str = ""
    """Name of one record of a list."""


Text = Annotated[str, Chars(LONGEST_TEXT)]
"""Free text."""
Said = Annotated[str, Chars(LONGEST_TEXT, r"\S")]
"""Free text that may not be left empty."""
Name = Annotated[str, Chars(300)]
"""A name or short line."""
Named = Annotated[str, Chars(300, least=1)]
"""A name that may not be left empty."""
Key = Annotated[str, Chars(100)]
"""The key of a table's row, or nothing."""
PhotoPath = Annotated[str, Chars(500, least=1)]
"""A path relative to the case file."""
Digest = Annotated[str, Chars(0, r"^(?:[0-9a-f]{64})?$", "64 hexadecimal digits in lower case")]
"""SHA-256, hexadecimal; empty: never hashed."""
Amount = Annotated[Decimal, Money()]
"""Money, either sign."""
Cost = Annotated[Decimal, Money(0)]
"""Money, not negative."""
Rate = Annotated[Decimal, Money(0, above=True)]
"""Money, above nothing."""
Price = Annotated[Decimal, Money(LEAST_PRICE)]
"""Price of an instrument."""
Percent = Annotated[float, Number(0, 100, "%")]
"""A share [%]."""
Size = Annotated[float, Number(50, 500, "cm")]
"""Length of a grand, height of an upright [cm]."""
Remarked = Annotated[int, Number(1, 10_000)]
"""A remark by its place in a list, counted from 1."""


@dataclass(frozen=True, slots=True)
class Declared:
    """One field of a record of the case."""

    name: str
    type: Any
    """Of the value, or of one of several: `str`, `date`, an enumeration, a record."""
    default: Any
    """`MISSING` where it must be stated."""
    optional: bool
    many: bool
    rule: Any
    """The values it takes, where its type does not say all."""
    row: Row | None
    form: Form | None
    expected: str
    some: bool

    @property
    def missing(self) -> bool:
        """True where a file must state it."""
        return self.default is MISSING

    @property
    def needed(self) -> bool:
        """True where a form may not leave it empty."""
        return self.form is not None and self.form.needed and self.default not in (None, "", ())

    @property
    def record(self) -> bool:
        """True for a section, or a list of records."""
        return is_dataclass(self.type) and self.type is not Span


_RULES = (Chars, Number, Quantity, Money, Measured, HalfStep, NoteNumber)


@lru_cache(maxsize=64)
def hints(record: type, *, extras: bool = False) -> dict[str, Any]:
    """Return the types of a record's fields, with what is annotated beside them where that is asked."""
    names = {**globals(), **vars(sys.modules[record.__module__])}
    return get_type_hints(record, names, names, include_extras=extras)


@lru_cache(maxsize=64)
def declared(record: type) -> dict[str, Declared]:
    """Return the fields of a record of the case by name, in their order."""
    types = hints(record, extras=True)
    return {item.name: _declared(item, types[item.name]) for item in fields(record)}


@lru_cache(maxsize=64)
def naming_rows(record: type) -> tuple[tuple[str, Declared, Row], ...]:
    """Return the fields of a record of the case whose values are rows of a table, with what those are called."""
    every = declared(record).items()
    return tuple((name, one, one.row) for name, one in every if one.row is not None and one.row.what)


def parts(record: type, before: tuple[str, ...] = ()) -> dict[tuple[str, ...], Declared]:
    """Return the sections and the lists of records in a case, or a part of one, by their paths."""
    result: dict[tuple[str, ...], Declared] = {}
    for name, one in declared(record).items():
        if one.record:
            result |= {(*before, name): one, **parts(one.type, (*before, name))}
    return result


def in_form(record: type) -> list[Declared]:
    """Return the fields of a record that a form has, in its order; sections and lists are not among them."""
    open_ones = [one for one in declared(record).values() if one.form is not None and not one.record]
    result = [one for one in open_ones if one.form is not None and not one.form.after]
    while len(result) < len(open_ones):
        for one in open_ones:
            places = [at for at, other in enumerate(result, 1) if one.form is not None and other.name == one.form.after]
            if places and one not in result:
                result.insert(places[0], one)
    return result


def _declared(item: Any, hint: Any) -> Declared:  # noqa: ANN401 - a field and its annotation
    notes: list[Any] = []
    optional = many = False
    while True:
        origin, inside = get_origin(hint), get_args(hint)
        if origin is Annotated:
            hint = inside[0]
            notes += inside[1:]
        elif origin is tuple:
            hint, many = inside[0], True
        elif origin in (Union, UnionType) and len(inside) == 2 and inside[1] is type(None):
            hint, optional = inside[0], True
        else:
            break
    default = item.default_factory() if item.default_factory is not MISSING else item.default

    def noted(kind: Any, otherwise: Any = None) -> Any:  # noqa: ANN401
        return next((note for note in notes if isinstance(note, kind)), otherwise)

    form, row, rule = noted(Form), noted(Row), noted(_RULES)
    some = noted(Some) is not None
    return Declared(item.name, hint, default, optional, many, rule, row, form, noted(str, ""), some)
