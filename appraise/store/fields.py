"""The kinds of value a case file may hold, each refused with what was expected and how to mend it."""

from __future__ import annotations

import math
import re
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated

from pydantic import Field, PlainValidator
from pydantic_core import PydanticCustomError

from appraise.model.span import Span

EARLIEST_YEAR = 1600
"""No instrument with hammers is older; an earlier year is a slip of the pen."""

_MONEY = re.compile(r"-?\d{1,12}(?:\.\d{1,4})?\Z", re.ASCII)
_LOOSE = re.compile(r"-?[\d.,' ]{1,20}\Z", re.ASCII)


def refused(expected: str, mend: str = "") -> PydanticCustomError:
    """Return the error that `schema.explain` turns into a problem."""
    return PydanticCustomError("refused", "refused", {"expected": expected, "mend": mend})


def _amount(value: object) -> Decimal:
    expected = 'an amount as a decimal number in quotes, such as "48000.00"'
    if isinstance(value, str) and _MONEY.match(value):
        return Decimal(value)
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e12:
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


def _day(value: object) -> date:
    expected = "a day written as 2026-11-20, without quotes"
    # A TOML date-time is a Python date as well; the hour says nothing here.
    if isinstance(value, date) and not isinstance(value, datetime):
        if value.year < EARLIEST_YEAR:
            raise refused(f"a year from {EARLIEST_YEAR}")
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
    if span.earliest.year < EARLIEST_YEAR:
        raise refused(f"a year from {EARLIEST_YEAR}")
    return span


def _reading(value: object) -> float | bool | str:
    if isinstance(value, bool):
        return value
    if isinstance(value, str):
        if len(value) > 20_000:
            raise refused("a text of at most 20000 characters")
        return value
    if isinstance(value, int | float):
        if isinstance(value, float) and not math.isfinite(value):
            raise refused("a finite number")
        if abs(value) > 1e12:
            raise refused("a number of a size that can be read off an instrument")
        return float(value)
    raise refused("a number, true or false, or a text")


def _grade(value: object) -> float:
    expected = "a grade from 1 (as new) to 5 (spent), in half steps"
    if isinstance(value, bool) or not isinstance(value, int | float) or not 1 <= value <= 5:
        raise refused(expected)
    if value * 2 != int(value * 2):
        raise refused(expected, f"write {round(value * 2) / 2:g}")
    return float(value)


Text = Annotated[str, Field(max_length=20_000)]
"""Free text."""
Said = Annotated[str, Field(max_length=20_000, pattern=r"\S")]
"""Free text that may not be left empty."""
Name = Annotated[str, Field(max_length=300)]
"""A name or short line."""
Key = Annotated[str, Field(max_length=100)]
"""The key of a table's row, or nothing."""
Amount = Annotated[Decimal, PlainValidator(_amount)]
"""Money, either sign."""
Cost = Annotated[Decimal, PlainValidator(_not_negative)]
"""Money, not negative."""
Price = Annotated[Decimal, PlainValidator(_positive)]
"""Money, above nothing."""
Day = Annotated[date, PlainValidator(_day)]
"""One day."""
When = Annotated[Span, PlainValidator(_span)]
"""A day, month, year or interval."""
Measured = Annotated[float | bool | str, PlainValidator(_reading)]
"""What a check gave."""
HalfStep = Annotated[float, PlainValidator(_grade)]
"""A condition grade."""
Percent = Annotated[float, Field(ge=0, le=100)]
"""A share [%]."""
Years = Annotated[float, Field(ge=0, le=1000)]
"""A time [years]."""
