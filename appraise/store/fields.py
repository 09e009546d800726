"""The kinds of value a case file may hold, each refused with what was expected and how to mend it."""

from __future__ import annotations

import math
import re
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated

from pydantic import Field, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from appraise.model import plausible
from appraise.model.notes import number_of
from appraise.model.plausible import EARLIEST_YEAR, LATEST_YEAR, LEAST_PRICE, MONEY_DIGITS, YEARS, is_likely
from appraise.model.span import Span
from appraise.model.units import spellings, to_base

LONGEST_TEXT = 20_000
"""Characters of a free text."""

_GREATEST = 1e12
"""Nothing that an instrument shows is larger, either sign."""

_MONEY = re.compile(r"-?\d{1,30}(?:\.\d{1,4})?\Z", re.ASCII)
_WITH_UNIT = re.compile(r"([-+−]?\d{1,6}(?:[.,]\d{1,9})?)\s*([^\d\s].*)\Z", re.ASCII)
_LOOSE = re.compile(r"-?[\d.,' ]{1,20}\Z", re.ASCII)


def refused(expected: str, mend: str = "") -> PydanticCustomError:
    """Return the error that `refusals.explain` turns into a problem."""
    return PydanticCustomError("refused", "refused", {"expected": expected, "mend": mend})


def _amount(value: object) -> Decimal:
    expected = 'an amount as a decimal number in quotes, such as "48000.00"'
    if isinstance(value, str) and _MONEY.match(value):
        amount = Decimal(value)
        if abs(amount) >= 10**MONEY_DIGITS:
            raise refused(f"an amount of ordinary size, at most {MONEY_DIGITS} digits before the point")
        return amount
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 10**MONEY_DIGITS:
        raise refused(expected, f'write "{value:.2f}" in quotes')
    if isinstance(value, str) and _LOOSE.match(value):
        raise refused(expected, "digits with a point before the decimals, nothing between the thousands")
    raise refused(expected)


def _not_negative(value: object) -> Decimal:
    amount = _amount(value)
    if amount < 0:
        raise refused("an amount of 0 or more")
    return amount


def _positive(value: object) -> Decimal:
    amount = _amount(value)
    if amount <= 0:
        raise refused("an amount above 0")
    return amount


def _price(value: object) -> Decimal:
    amount = _positive(value)
    if amount < LEAST_PRICE:
        raise refused(f"an amount of {LEAST_PRICE} or more")
    return amount


def _day(value: object) -> date:
    expected = "a day written as 2026-11-20, without quotes"
    # A TOML date-time is a Python date as well; the hour says nothing here.
    if isinstance(value, date) and not isinstance(value, datetime):
        if not is_likely(value):
            raise refused(YEARS)
        return value
    if isinstance(value, str):
        try:
            day = date.fromisoformat(value)
        except ValueError:
            raise refused(expected) from None
        raise refused(expected, f"write {day.isoformat()} without quotes")
    raise refused(expected)


def _span(value: object) -> Span:
    expected = 'a year such as 1931, "1931-05", "1925/1931", or a day such as 1931-05-12'
    if isinstance(value, datetime):
        raise refused(expected, f"write {value.date().isoformat()}")
    if isinstance(value, date):
        span = Span(value, value)
    elif isinstance(value, int) and not isinstance(value, bool) and 0 < value < 10000:
        span = Span.of_year(value)
    elif isinstance(value, str) and len(value) <= 40:
        try:
            span = Span.parse(value)
        except ValueError as error:
            backwards = "before" in str(error)
            raise refused("the earlier date first" if backwards else expected) from None
    else:
        raise refused(expected)
    if not is_likely(span.earliest, span.latest):
        raise refused(YEARS)
    return span


def _reading(value: object) -> float | bool | str:
    if isinstance(value, bool):
        return value
    if isinstance(value, str):
        if len(value) > LONGEST_TEXT:
            raise refused(f"a text of at most {LONGEST_TEXT} characters")
        return value
    if isinstance(value, int | float):
        if isinstance(value, float) and not math.isfinite(value):
            raise refused("a finite number")
        if abs(value) > _GREATEST:
            raise refused("a number of a size that can be read off an instrument")
        return float(value)
    raise refused("a number, true or false, or a text")


def _grade(value: object) -> float:
    expected = "a grade from 1 (as new) to 5 (worn out), in half steps"
    if isinstance(value, bool) or not isinstance(value, int | float) or not 1 <= value <= 5:
        raise refused(expected)
    if value * 2 != int(value * 2):
        raise refused(expected, f"write {round(value * 2) / 2:g}")
    return float(value)


def _note(value: object) -> int:
    expected = 'a note by its number, 1 to 88, or its name in quotes, such as "A4"'
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) < 1000:
        return value
    if isinstance(value, str) and len(value) <= 10:
        try:
            return number_of(value)
        except ValueError:
            raise refused(expected) from None
    raise refused(expected)


def _quantity(value: object, unit: str, low: float, high: float) -> float:
    """Read a number in `unit`, or a text with another unit of the same kind behind it."""
    ways = [way for way in spellings(unit) if way]
    expected = f"{low:g} to {high:g} {unit}, as a number or a text with its unit: {', '.join(ways)}"
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise refused(expected)
    if isinstance(value, str):
        match = _WITH_UNIT.match(value.strip()) if len(value) <= 40 else None
        known = None if match is None else {way.casefold(): way for way in ways}.get(match[2].strip().casefold())
        if match is None or known is None:
            raise refused(expected)
        value = float(f"{to_base(float(match[1].replace(',', '.').replace('−', '-')), known)[0]:.9g}")
    if not low <= value <= high:  # no number fails this as well
        raise refused(expected, "check the unit and the decimal point")
    return float(value)


def _cents(value: object) -> float:
    return _quantity(value, "cents", *plausible.CENTS)


def _temperature(value: object) -> float:
    return _quantity(value, "°C", *plausible.CELSIUS)


def _humidity(value: object) -> float:
    return _quantity(value, "%", *plausible.HUMIDITY)


_DIGITS = rf"0{{0,19}}[0-9]{{1,{MONEY_DIGITS}}}(\.[0-9]{{1,4}})?$"
_LIKELY_YEAR = r"(1[6-9][0-9]{2}|2[01][0-9]{2}|2200)"
"""Years from `EARLIEST_YEAR` to `LATEST_YEAR`."""
_SOME_DAY = rf"{_LIKELY_YEAR}(-[0-9]{{2}}(-[0-9]{{2}})?)?"


def _as_text(pattern: str, description: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern, "description": description})


def _with_unit(unit: str, low: float, high: float) -> WithJsonSchema:
    """Describe a number in its unit, or a text with another: how much that is, the text does not tell."""
    number = {"type": "number", "minimum": low, "maximum": high, "description": unit}
    text = {"type": "string", "maxLength": 40, "pattern": r"^\s*[-+−]?[0-9]{1,6}([.,][0-9]{1,9})?\s*[^0-9\s]"}
    return WithJsonSchema({"anyOf": [number, text]})


Text = Annotated[str, Field(max_length=LONGEST_TEXT)]
"""Free text."""
Said = Annotated[str, Field(max_length=LONGEST_TEXT, pattern=r"\S")]
"""Free text that may not be left empty."""
Name = Annotated[str, Field(max_length=300)]
"""A name or short line."""
Key = Annotated[str, Field(max_length=100)]
"""The key of a table's row, or nothing."""
Amount = Annotated[Decimal, PlainValidator(_amount), _as_text(f"^-?{_DIGITS}", "money")]
"""Money, either sign."""
Cost = Annotated[Decimal, PlainValidator(_not_negative), _as_text(rf"^(-(?=0*(\.0*)?$))?{_DIGITS}", "money, 0 or more")]
"""Money, not negative."""
Rate = Annotated[Decimal, PlainValidator(_positive), _as_text(rf"^(?!0*(\.0*)?$){_DIGITS}", "money, above 0")]
"""Money, above nothing."""
Price = Annotated[
    Decimal, PlainValidator(_price), _as_text(rf"^(?!0+(\.|$)){_DIGITS}", f"money, {LEAST_PRICE} or more")
]
"""Price of an instrument."""
Day = Annotated[
    date, PlainValidator(_day), WithJsonSchema({"type": "string", "format": "date", "pattern": f"^{_LIKELY_YEAR}-"})
]
"""One day."""
When = Annotated[
    Span,
    PlainValidator(_span),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "integer", "minimum": EARLIEST_YEAR, "maximum": LATEST_YEAR},
                {"type": "string", "pattern": rf"^\s*{_SOME_DAY}\s*(/\s*{_SOME_DAY}\s*)?$", "maxLength": 40},
            ],
            "description": "a year, a month, a day, or two of them with a slash between",
        }
    ),
]
"""A day, month, year or interval."""
Measured = Annotated[
    float | bool | str,
    PlainValidator(_reading),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "number", "minimum": -_GREATEST, "maximum": _GREATEST},
                {"type": "boolean"},
                {"type": "string", "maxLength": LONGEST_TEXT},
            ]
        }
    ),
]
"""What a check gave."""
HalfStep = Annotated[
    float,
    PlainValidator(_grade),
    WithJsonSchema({"type": "number", "minimum": 1, "maximum": 5, "multipleOf": 0.5}),
]
"""A condition grade."""
Percent = Annotated[float, Field(ge=0, le=100)]
"""A share [%]."""
Years = Annotated[float, Field(ge=0, le=1000)]
"""A time [years]."""
NoteNumber = Annotated[
    int,
    PlainValidator(_note),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "integer", "minimum": -999, "maximum": 999},
                {"type": "string", "pattern": "^\\s*([0-9]{1,2}|[A-Ga-g][#♯b♭]?[0-8])\\s*$", "maxLength": 10},
            ]
        }
    ),
]
"""A note by number or name."""
Cents = Annotated[float, PlainValidator(_cents), _with_unit("cents", *plausible.CENTS)]
"""A deviation of pitch [cents]."""
Temperature = Annotated[float, PlainValidator(_temperature), _with_unit("°C", *plausible.CELSIUS)]
"""A temperature of the air [°C]."""
Humidity = Annotated[float, PlainValidator(_humidity), _with_unit("%", *plausible.HUMIDITY)]
"""A relative humidity [%]."""
