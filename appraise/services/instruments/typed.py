"""Readings as typed at an instrument: units on input, what cannot be refused, what is unlikely remarked on."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from appraise.model.notes import number_of
from appraise.services.instruments.amounts import in_unit
from appraise.services.quantity import Refused, span, with_unit

if TYPE_CHECKING:
    from appraise.tables.rows import Tables


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
    return checked(in_unit(text, "" if row.unit == "1" else row.unit), key, tables)


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
