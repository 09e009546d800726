"""Readings as typed at an instrument: units on input, what cannot be refused, what is unlikely remarked on."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from appraise.model.notes import number_of
from appraise.model.units import UNITS, spellings, to_base
from appraise.services.quantity import Refused, number, span, with_unit

if TYPE_CHECKING:
    from appraise.tables.rows import Tables

_PARTED = re.compile(r"([-+−]?[\d.,]+)\s*(.*)\Z", re.DOTALL)


def reading(text: str, key: str, tables: Tables) -> float:
    """Read a quantity, a unit behind it where it is not the table's own.

    Args:
        text: "21", "70 °F", "1,2 mm", "55 1/4" is refused.
        key: Row of `reading_ranges` that says the unit and what can be.
        tables: The tables.

    Returns:
        The value in the row's unit.

    Raises:
        Refused: No number, a unit that does not fit, or a value that cannot be.
    """
    row = tables.reading_ranges[key]
    base = "" if row.unit == "1" else row.unit
    parted = _PARTED.match(text.strip())
    if parted is None:
        raise Refused(f"“{text.strip()}” is not a number{f' in {base}' if base else ''}")
    value, unit = number(parted[1]), parted[2].strip()
    if unit and unit != base:
        known = {name.casefold(): name for name in UNITS}.get(unit.casefold())
        if known is None or UNITS[known].base != base:
            ways = ", ".join(way for way in spellings(base) if way) or "a number alone"
            raise Refused(f"“{unit}” does not fit here: write {ways}")
        value = round(to_base(value, known)[0], 9)
    return checked(value, key, tables)


def checked(value: float, key: str, tables: Tables) -> float:
    """Return a value, in the unit of its row of `reading_ranges`.

    Raises:
        Refused: It cannot be; the text names the range.
    """
    row = tables.reading_ranges[key]
    if not math.isfinite(value) or not row.low <= value <= row.high:
        unit = "" if row.unit == "1" else row.unit
        raise Refused(
            f"{row.label.lower()} of {with_unit(value, unit)} cannot be: expected {span(row.low, row.high, unit)}"
        )
    return value


def remark(value: float, key: str, tables: Tables) -> str:
    """Return a sentence about a value that can be but seldom is, or nothing."""
    row = tables.reading_ranges[key]
    if row.usual_low <= value <= row.usual_high:
        return ""
    unit = "" if row.unit == "1" else row.unit
    usual = span(row.usual_low, row.usual_high, unit)
    return f"{row.label} of {with_unit(value, unit)} is unusual ({usual} is usual): look again."


def note_number(text: str) -> int:
    """Read a note: its number, 1–88 from the left, or its name, "A4", "f#3", "Bb2".

    Raises:
        Refused: No such note.
    """
    try:
        return number_of(text)
    except ValueError as error:
        raise Refused(str(error)) from None
