"""The values of a case file: each read as its field declares, refused with what was expected and how to mend it."""

from __future__ import annotations

import math
import re
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any

from appraise.model.declaration import (
    LONGEST_LIST,
    LONGEST_TEXT,
    Chars,
    HalfStep,
    Measured,
    Money,
    NoteNumber,
    Number,
    Quantity,
)
from appraise.model.notes import number_of
from appraise.model.plausible import MONEY_DIGITS, YEARS, is_likely
from appraise.model.quantities import spellings, to_base
from appraise.model.span import Span

if TYPE_CHECKING:
    from collections.abc import Callable
    from enum import StrEnum

    from appraise.model.declaration import Declared

    Tell = Callable[[tuple[str | int, ...], object, str, str], None]

GREATEST = 1e12
"""Nothing that an instrument shows is larger, either sign."""

_MONEY = re.compile(r"-?\d{1,30}(?:\.\d{1,4})?\Z", re.ASCII)
_WITH_UNIT = re.compile(r"([-+−]?\d{1,6}(?:[.,]\d{1,9})?)\s*([^\d\s].*)\Z", re.ASCII)
_LOOSE = re.compile(r"-?[\d.,' ]{1,20}\Z", re.ASCII)


class Refused(Exception):
    """A value that the layout does not take."""

    def __init__(self, expected: str, mend: str = "") -> None:
        super().__init__(expected)
        self.expected, self.mend = expected, mend


def read(one: Declared, value: object, tell: Tell) -> Any:  # noqa: ANN401 - of any field
    """Return a value of a file as the case keeps it.

    Args:
        one: The field it is of.
        value: As TOML has it.
        tell: Told where it is wrong, what stands there, what was expected and what to write.
    """
    if one.many:
        if not isinstance(value, list | tuple):
            tell((one.name,), value, "a list in square brackets", "")
            return ()
        if one.some and not value:
            tell((one.name,), value, "a list of at least 1", "")
        if len(value) > LONGEST_LIST:
            tell((one.name,), value, f"a list of at most {LONGEST_LIST}", "")
            return ()
        return tuple([_item(one, item, (one.name, at), tell) for at, item in enumerate(value)])
    return None if value is None and one.optional else _item(one, value, (one.name,), tell)


def _item(one: Declared, value: object, where: tuple[str | int, ...], tell: Tell) -> Any:  # noqa: ANN401
    try:
        return _reader(one)(value)
    except Refused as refused:
        tell(where, value, refused.expected, refused.mend)
        return None


def reader(one: Declared) -> Callable[[Any], Any]:
    """Return what reads a value of a field as `read` does, and raises `Refused` where that has something to tell."""
    item = _reader(one)
    if not one.many:
        return item

    def items(value: object) -> tuple[Any, ...]:
        if not isinstance(value, list | tuple) or len(value) > LONGEST_LIST or (one.some and not value):
            raise Refused("a list")
        return tuple([item(each) for each in value])

    return items


def _reader(one: Declared) -> Callable[[Any], Any]:
    """Return what reads a value of a field, or one of several, and raises `Refused` where it is wrong."""
    rule, kind = one.rule, one.type
    match rule:
        case Chars():
            return partial(_text, rule)
        case Money():
            return partial(_money, rule)
        case Measured():
            return _reading
        case HalfStep():
            return _grade
        case NoteNumber():
            return _note
        case Quantity():
            return partial(_quantity, rule.unit, rule.low, rule.high)
    if kind in (int, float):
        return partial(_number, rule, whole=kind is int)
    if kind is date:
        return _day
    if kind is Span:
        return _span
    return _truth if kind is bool else partial(_word, kind)


def _truth(value: object) -> bool:
    if isinstance(value, bool):
        return value
    raise Refused("true or false")


def _word(kind: type[StrEnum], value: Any) -> StrEnum:  # noqa: ANN401 - it says itself what it takes
    try:
        return kind(value)
    except ValueError:
        words = [f'"{word}"' for word in kind]
        raise Refused(f"{', '.join(words[:-1])} or {words[-1]}") from None


def _text(rule: Chars, value: object) -> str:
    if value.__class__ is str and rule.least <= len(value) <= rule.most and not rule.pattern:
        return value  # nearly every one
    if not isinstance(value, str):
        raise Refused("a text in quotes")
    if rule.most and len(value) > rule.most:
        raise Refused(f"a text of at most {rule.most} characters")
    if len(value) < rule.least or (rule.pattern and _pattern(rule.pattern).search(value) is None):
        raise Refused(rule.looks)
    return value


@lru_cache(maxsize=32)
def _pattern(words: str) -> re.Pattern[str]:
    """Compile a pattern of a JSON Schema: its closing "$" is the very end, before no line feed either."""
    return re.compile(re.sub(r"\$\Z", r"\\Z", words))


def _number(rule: Number | None, value: object, *, whole: bool) -> float:
    if isinstance(value, bool) or not isinstance(value, int if whole else int | float):
        raise Refused("a whole number" if whole else "a number", _as_number(value, whole=whole))
    try:
        number = value if whole else float(value)
    except OverflowError:
        raise Refused("a number") from None
    if isinstance(number, float) and not math.isfinite(number):
        raise Refused("a finite number")
    if rule is None:
        return number
    if number < rule.low or (rule.low_open and number == rule.low):
        raise Refused(f"a number {'above' if rule.low_open else 'of at least'} {rule.low:g}")
    if number > rule.high or (rule.high_open and number == rule.high):
        raise Refused(f"a number {'below' if rule.high_open else 'of at most'} {rule.high:g}")
    return number


def _as_number(value: object, *, whole: bool) -> str:
    """Say how a number ought to be written that stands in quotes, or with decimals that say nothing."""
    if whole:
        return f"write {value:.0f}" if isinstance(value, float) and value.is_integer() else ""
    try:
        return f"write {float(value.replace(',', '.')):g} without quotes" if isinstance(value, str) else ""
    except ValueError:
        return ""


def _amount(value: object) -> Decimal:
    expected = 'an amount as a decimal number in quotes, such as "48000.00"'
    if isinstance(value, str) and _MONEY.match(value):
        amount = Decimal(value)
        if abs(amount) >= 10**MONEY_DIGITS:
            raise Refused(f"an amount of ordinary size, at most {MONEY_DIGITS} digits before the point")
        return amount
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 10**MONEY_DIGITS:
        raise Refused(expected, f'write "{value:.2f}" in quotes')
    if isinstance(value, str) and _LOOSE.match(value):
        raise Refused(expected, "digits with a point before the decimals, nothing between the thousands")
    raise Refused(expected)


def _money(rule: Money, value: object) -> Decimal:
    amount = _amount(value)
    if rule.least is not None and (amount < rule.least or (rule.above and amount == rule.least)):
        above = rule.above or amount <= 0 < rule.least
        raise Refused("an amount above 0" if above else f"an amount of {rule.least} or more")
    return amount


def _day(value: object) -> date:
    expected = "a day written as 2026-11-20, without quotes"
    # A TOML date-time is a Python date as well; the hour says nothing here.
    if isinstance(value, date) and not isinstance(value, datetime):
        if not is_likely(value):
            raise Refused(YEARS)
        return value
    if isinstance(value, str):
        try:
            day = date.fromisoformat(value)
        except ValueError:
            raise Refused(expected) from None
        raise Refused(expected, f"write {day.isoformat()} without quotes")
    raise Refused(expected)


def _span(value: object) -> Span:
    expected = 'a year such as 1931, "1931-05", "1925/1931", or a day such as 1931-05-12'
    if isinstance(value, datetime):
        raise Refused(expected, f"write {value.date().isoformat()}")
    if isinstance(value, date):
        span = Span(value, value)
    elif isinstance(value, int) and not isinstance(value, bool) and 0 < value < 10000:
        span = Span.of_year(value)
    elif isinstance(value, str) and len(value) <= 40:
        try:
            span = Span.parse(value)
        except ValueError as error:
            backwards = "before" in str(error)
            raise Refused("the earlier date first" if backwards else expected) from None
    else:
        raise Refused(expected)
    if not is_likely(span.earliest, span.latest):
        raise Refused(YEARS)
    return span


def _reading(value: object) -> float | bool | str:
    if isinstance(value, bool):
        return value
    if isinstance(value, str):
        if len(value) > LONGEST_TEXT:
            raise Refused(f"a text of at most {LONGEST_TEXT} characters")
        return value
    if isinstance(value, int | float):
        if isinstance(value, float) and not math.isfinite(value):
            raise Refused("a finite number")
        if abs(value) > GREATEST:
            raise Refused("a number of a size that can be read off an instrument")
        return float(value)
    raise Refused("a number, true or false, or a text")


def _grade(value: object) -> float:
    expected = "a grade from 1 (as new) to 5 (worn out), in half steps"
    if isinstance(value, bool) or not isinstance(value, int | float) or not 1 <= value <= 5:
        raise Refused(expected)
    if value * 2 != int(value * 2):
        raise Refused(expected, f"write {round(value * 2) / 2:g}")
    return float(value)


def _note(value: object) -> int:
    expected = 'a note by its number, 1 to 88, or its name in quotes, such as "A4"'
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) < 1000:
        return value
    if isinstance(value, str) and len(value) <= 10:
        try:
            return number_of(value)
        except ValueError:
            raise Refused(expected) from None
    raise Refused(expected)


def _quantity(unit: str, low: float, high: float, value: object) -> float:
    """Read a number in `unit`, or a text with another unit of the same kind behind it."""
    ways = [way for way in spellings(unit) if way]
    expected = f"{low:g} to {high:g} {unit}, as a number or a text with its unit: {', '.join(ways)}"
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise Refused(expected)
    if isinstance(value, str):
        match = _WITH_UNIT.match(value.strip()) if len(value) <= 40 else None
        known = None if match is None else {way.casefold(): way for way in ways}.get(match[2].strip().casefold())
        if match is None or known is None:
            raise Refused(expected)
        value = float(f"{to_base(float(match[1].replace(',', '.').replace('−', '-')), known)[0]:.9g}")
    if not low <= value <= high:  # no number fails this as well
        raise Refused(expected, "check the unit and the decimal point")
    return float(value)
