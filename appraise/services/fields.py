"""Fields of a case to fill in, as the model declares them: where each lives, what it accepts, how it reads."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from appraise.model.chronology import contradictions
from appraise.model.currency import DIGITS
from appraise.model.declaration import Money, NoteNumber, Number, Quantity, in_form
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN
from appraise.model.notes import number_of
from appraise.model.problem import InputError, quoted
from appraise.model.quantities import UNITS, amount, as_shown, in_unit, money, number, unit_shown, unit_typed, with_unit
from appraise.model.span import Span
from appraise.store.crosscheck import photo_problem
from appraise.store.document import written
from appraise.store.locales import EXPECTED, known_locale, nearest_locale
from appraise.store.sections import refusal
from appraise.tables.choices import choices

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.model.case import Case
    from appraise.model.declaration import Declared
    from appraise.model.quantities import Units
    from appraise.tables.rows import Tables

Path = tuple[str | int, ...]
"""Path of a field in a case: `("identity", "maker")`, `("renewals", 0, "by")`."""

Choices = tuple[tuple[str, str], ...]
"""Choices of a field: (key, words for a person)."""

_DOTTED = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})\Z", re.ASCII)

_FIGURES = "0123456789.,+-−/ "
"""Digits before a unit; a quantity converted from another unit keeps no more figures than were measured."""

NOTHING = "—"
"""How an empty field reads."""


class Accepts(StrEnum):
    """Kind of value that a field accepts."""

    TEXT = "text"
    LONG = "long"
    """Text of several lines."""
    NUMBER = "number"
    WHOLE = "whole"
    MONEY = "money"
    DAY = "day"
    SPAN = "span"
    CHOICE = "choice"
    SEVERAL = "several"
    """Any number of the choices."""
    NOTES = "notes"
    NOTE = "note"
    """One note, by name or number."""
    PHOTOS = "photos"
    """Paths of photos, with commas between them."""
    LOCALE = "locale"
    """A locale of the CLDR."""


_BY_TYPE = {
    float: Accepts.NUMBER,
    int: Accepts.WHOLE,
    Decimal: Accepts.MONEY,
    date: Accepts.DAY,
    Span: Accepts.SPAN,
}


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form."""

    path: Path
    label: str
    accepts: Accepts = Accepts.TEXT
    unit: str = ""
    help: str = ""
    choices: Callable[[Case, Tables], Choices] | None = None
    required: bool = False
    low: float | None = None
    """Least number accepted."""
    high: float | None = None

    def at(self, *before: str | int) -> Field:
        """Return the same field under a longer path."""
        return replace(self, path=(*before, *self.path))


def form(record: type, *before: str) -> tuple[Field, ...]:
    """Return the fields of a section of the case, or of a record, in the order of their form."""
    return tuple(_field(one, before) for one in in_form(record))


def _field(one: Declared, before: tuple[str, ...]) -> Field:
    words, rule = one.form, one.rule
    assert words is not None  # noqa: S101 - only fields of a form come here
    low = high = None
    if isinstance(rule, Number | Quantity):
        low, high = rule.low, rule.high
    elif isinstance(rule, Money) and rule.least is not None:
        low = 0.01 if rule.above else 0
    return Field(
        (*before, one.name),
        words.label,
        _accepts(one),
        rule.unit if isinstance(rule, Number | Quantity) else "",
        words.help,
        _choices(one),
        one.needed,
        low,
        high,
    )


def _accepts(one: Declared) -> Accepts:
    if one.row is not None and one.row.of in ("photos", "locales"):
        return Accepts.PHOTOS if one.many else Accepts.LOCALE
    if one.many:
        return Accepts.NOTES if one.row is None else Accepts.SEVERAL
    if one.row is not None or one.type is bool or issubclass(one.type, StrEnum):
        return Accepts.CHOICE
    if isinstance(one.rule, NoteNumber):
        return Accepts.NOTE
    if one.type is str:
        return Accepts.LONG if one.form is not None and one.form.long else Accepts.TEXT
    return _BY_TYPE[one.type]


def _choices(one: Declared) -> Callable[[Case, Tables], Choices] | None:
    """Return what finds the choices of a field: rows that fit the instrument, yes or no, words of an enumeration."""
    if one.row is not None:
        of = one.row.of
        if of in ("photos", "locales"):
            return None
        return lambda case, tables: tuple(choices(of, tables, case.identity.kind).items())
    labels = one.form.labels if one.form is not None else ()
    if one.type is bool:
        labels = labels or (("yes", "yes"), ("no", "no"))
    elif issubclass(one.type, StrEnum):
        labels = labels or tuple((word.value, word.value) for word in one.type)
    return (lambda _case, _tables: labels) if labels else None


def get(case: object, path: Path) -> Any:  # noqa: ANN401 - any field of any record
    """Return what a path leads to."""
    result = case
    for step in path:
        result = result[step] if isinstance(step, int) and isinstance(result, tuple) else getattr(result, str(step))
    return result


def replace_at(case: Any, path: Path, value: object) -> Any:  # noqa: ANN401 - returns what it was given
    """Return a copy of a frozen record, or tuple of them, with one field replaced."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        return (*case[:step], replace_at(case[step], rest, value), *case[step + 1 :])
    return replace(case, **{step: replace_at(getattr(case, step), rest, value)})


def shown(field: Field, case: Case, tables: Tables) -> str:
    """Return a field's value as people read it."""
    value = get(case, field.path)
    if value is None or value == "" or value == ():
        return NOTHING
    if field.accepts in (Accepts.CHOICE, Accepts.SEVERAL) and field.choices is not None:
        labels = labels_of(field, case, tables)
        keys = value if isinstance(value, tuple) else (value,)
        return ", ".join(labels.get(_key(key), _key(key)) for key in keys)
    if field.accepts is Accepts.MONEY:
        return PLAIN.exact_money(float(value), case.assignment.currency)
    if field.accepts is Accepts.LONG:
        return " ".join(str(value).split())
    return f"{as_typed(field, case)} {unit_of(field, case)}".rstrip()


def labels_of(field: Field, case: Case, tables: Tables) -> dict[str, str]:
    """Return what a person reads for each key that may be chosen; nothing where nothing is chosen."""
    return {} if field.choices is None else dict(field.choices(case, tables))


def unit_of(field: Field, case: Case) -> str:
    """Return the unit that a field is shown in, and that a number typed without one has."""
    return unit_shown(field.unit, case.assignment.units)


def as_typed(field: Field, case: Case) -> str:
    """Return a field's value the way a person would type it again."""
    value = get(case, field.path)
    if value is None:
        return ""
    if isinstance(value, StrEnum | bool):
        return _key(value)
    if isinstance(value, tuple):
        return ", ".join(str(part) for part in value)
    if isinstance(value, float):
        return f"{as_shown(value, field.unit, case.assignment.units):g}"
    return str(value)


def _key(value: object) -> str:
    """Return the key that stands for a value among the choices."""
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


def parse(field: Field, text: str, case: Case, tables: Tables) -> object:
    """Turn what was typed into the value that the case keeps.

    Raises:
        InputError: The text does not fit; the reason is one line.
    """
    typed = text.strip()
    if not typed:
        return _empty(field, case)
    if field.accepts is Accepts.NUMBER and typed == as_typed(field, case):
        return get(case, field.path)  # as it was: turned over and back it might not be
    value = _read(field, typed, case, tables)
    if isinstance(value, float | int) and not isinstance(value, bool):
        _bounded(field, value, case.assignment.units)
    if isinstance(value, Decimal) and field.low is not None and value < Decimal(str(field.low)):
        raise InputError(f"{field.label.lower()}: not less than {field.low:g}")
    _consistent(field.path, value, case)
    expected = refusal(field.path, written(value))
    if field.accepts is Accepts.PHOTOS and isinstance(value, tuple) and not expected:
        expected = next(filter(None, map(photo_problem, value)), "")
    if expected:
        raise InputError(quoted(typed), expected, subject=field.label.strip().lower())
    return value


def _consistent(path: Path, value: object, case: Case) -> None:
    """Refuse a value that contradicts what the case says elsewhere: its file could not be opened again."""
    if path == ("assignment", "currency") and value not in DIGITS:
        near = get_close_matches(str(value).upper(), DIGITS, n=1)
        mend = f"; did you mean {near[0]}?" if near else ", such as EUR"
        raise InputError(quoted(str(value)), f"a currency: three capital letters of ISO 4217{mend}")
    is_clue = path[0] == "drying_clues" and path[-1] == "clue" and value != get(case, path)
    if is_clue and value in {clue.clue for clue in case.drying_clues}:
        raise InputError("that clue is in the list already")
    known = {place for place, *_ in contradictions(case)} - {path}
    for place, day, expected in contradictions(replace_at(case, path, value)):
        if place not in known:
            elsewhere = " ".join(str(step + 1) if isinstance(step, int) else step.replace("_", " ") for step in place)
            raise InputError(day, expected, subject="" if place == path else elsewhere)


def _read(field: Field, typed: str, case: Case, tables: Tables) -> object:
    match field.accepts:
        case Accepts.NUMBER:
            # A quantity kept in its base unit may be typed in another.
            if field.unit in UNITS and UNITS[field.unit].base == field.unit != "":
                meant = unit_of(field, case)
                value = amount(typed, field.unit, field.label.lower(), -math.inf, math.inf, meant=meant)
                unit = unit_typed(typed.lstrip(_FIGURES)) or unit_typed(meant)
                return value if unit == field.unit else float(f"{value:.4g}")
            if field.unit in UNITS and field.unit:
                base = UNITS[field.unit].base
                value = in_unit(typed, base, meant=unit_of(field, case)) / UNITS[field.unit].factor
                return float(f"{value:.4g}")
            return number(typed)
        case Accepts.WHOLE:
            return int(number(typed, whole=True))
        case Accepts.MONEY:
            return money(typed, case.assignment.currency, case.assignment.locale)
        case Accepts.DAY:
            return _day(typed)
        case Accepts.SPAN:
            try:
                return Span.parse(typed)
            except ValueError:
                raise InputError(quoted(typed), "a date: 1931, 1931-05 or 1925/1931") from None
        case Accepts.CHOICE:
            chosen = _chosen(field, (typed,), case, tables)[0]
            return chosen == "yes" if _yes_or_no(field, case, tables) else chosen
        case Accepts.SEVERAL:
            return _chosen(field, tuple(part.strip() for part in typed.split(",") if part.strip()), case, tables)
        case Accepts.PHOTOS:
            return tuple(dict.fromkeys(part.strip() for part in typed.split(",") if part.strip()))
        case Accepts.NOTES:
            return _notes(typed, case.identity.compass)
        case Accepts.NOTE:
            return _note(typed, case.identity.compass)
        case Accepts.LOCALE:
            return _locale(typed)
        case _:
            return typed


def _yes_or_no(field: Field, case: Case, tables: Tables) -> bool:
    """Tell whether a field keeps a truth: it holds one, or none yet where yes and no are the choices."""
    kept = get(case, field.path)
    return isinstance(kept, bool) or (kept is None and labels_of(field, case, tables).keys() == {"yes", "no"})


def _day(typed: str) -> date:
    """Read a day: 2026-11-20, or 20.11.2026; with strokes it could be the month that comes first."""
    dotted = _DOTTED.match(typed)
    try:
        if dotted is not None:
            return date(int(dotted[3]), int(dotted[2]), int(dotted[1]))
        return date.fromisoformat(typed)
    except ValueError:
        raise InputError(quoted(typed), "a day such as 2026-11-20 or 20.11.2026") from None


def _locale(typed: str) -> str:
    result = known_locale(typed)
    if not result:
        raise InputError(quoted(typed), EXPECTED, nearest_locale(typed))
    return result


def _empty(field: Field, case: Case) -> object:
    if field.required:
        raise InputError(f"{field.label.lower()} cannot be empty")
    now = get(case, field.path)
    if field.accepts in (Accepts.SEVERAL, Accepts.NOTES, Accepts.PHOTOS):
        return ()
    return "" if isinstance(now, str) else None


def _chosen(field: Field, typed: tuple[str, ...], case: Case, tables: Tables) -> tuple[str, ...]:
    known = () if field.choices is None else tuple(key for key, _ in field.choices(case, tables))
    for key in typed:
        if key not in known:
            raise InputError(quoted(key), f"one of {', '.join(known)}")
    now = get(case, field.path)
    if isinstance(now, StrEnum):
        return tuple(type(now)(key) for key in typed)
    return typed


def _notes(typed: str, compass: int) -> tuple[int, ...]:
    found: set[int] = set()
    for part in re.split(r"[,\s]+", typed):
        match = re.fullmatch(r"(\d{1,3})(?:[-–](\d{1,3}))?", part)
        if match is None:
            raise InputError(quoted(part), "notes such as 12 or 40-44")
        low, high = int(match[1]), int(match[2] or match[1])
        if not 1 <= low <= high <= compass:
            raise InputError(quoted(part), f"notes from 1 to {compass}")
        found.update(range(low, high + 1))
    return tuple(sorted(found))


def _note(typed: str, compass: int) -> int:
    note = number_of(typed)
    if note > compass:
        raise InputError(quoted(typed), f"a note from 1 to {compass}")
    return note


def _bounded(field: Field, value: float, units: Units) -> None:
    if field.low is not None and value < field.low:
        raise InputError(f"{field.label.lower()}: not less than {with_unit(field.low, field.unit, units)}")
    if field.high is not None and value > field.high:
        raise InputError(f"{field.label.lower()}: not more than {with_unit(field.high, field.unit, units)}")
