"""Quantities typed at a measuring tool: refused where they cannot be, remarked on where they are unlikely."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.locale_format import Units
from appraise.model.notes import number_of
from appraise.services.displayed_quantities import span, unit_shown, with_unit
from appraise.services.refused import InputError
from appraise.services.typed_quantities import in_unit, within

if TYPE_CHECKING:
    from appraise.tables.rows import Tables
    from appraise.tables.rows_wood import ReadingRange


def reading(text: str, key: str, tables: Tables, units: Units = Units.METRIC) -> float:
    """Read a quantity in the unit of its row of `reading_ranges`; a number alone is in that unit as `units` have it.

    Raises:
        InputError: No number, a unit that does not fit, or a value that cannot be.
    """
    unit = _unit(tables.reading_ranges[key])
    return checked(in_unit(text, unit, meant=unit_shown(unit, units)), key, tables, units)


def checked(value: float, key: str, tables: Tables, units: Units = Units.METRIC) -> float:
    """Return a value, in the unit of its row of `reading_ranges`.

    Raises:
        InputError: It cannot be; the text names the range.
    """
    row = tables.reading_ranges[key]
    return within(value, (row.low, row.high), _unit(row), units, what=f"{row.label.lower()}: ")


def remark(value: float, key: str, tables: Tables) -> str:
    """Return a sentence about a value that can be but seldom is, or nothing."""
    row = tables.reading_ranges[key]
    if row.usual_low <= value <= row.usual_high:
        return ""
    unit = _unit(row)
    usual = span(row.usual_low, row.usual_high, unit)
    return f"{row.label} of {with_unit(value, unit)} is unusual ({usual} is usual): check again."


def _unit(row: ReadingRange) -> str:
    """Return the unit of a row as `model.units` names it: nothing for what has none."""
    return "" if row.unit == "1" else row.unit


def note_number(text: str) -> int:
    """Read a note: its number, 1–88 from the left, or its name, "A4", "f#3", "Bb2".

    Raises:
        InputError: No such note.
    """
    try:
        return number_of(text)
    except ValueError as error:
        raise InputError(str(error)) from None
