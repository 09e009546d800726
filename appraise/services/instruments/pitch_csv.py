"""A pitch log from a file of separated values."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from appraise.model import plausible
from appraise.model.case import PitchReading
from appraise.model.locale_format import Units
from appraise.model.problem import Problem, Unreadable
from appraise.services.displayed_quantities import span, unit_shown, with_unit
from appraise.services.instruments.csv_reader import separated
from appraise.services.instruments.typed_readings import note_number
from appraise.services.refused import InputError
from appraise.services.typed_quantities import in_unit
from appraise.store.characters import sanitize_line

if TYPE_CHECKING:
    from pathlib import Path

COLUMNS = {
    "date": ("day",),
    "note": ("key",),
    "cents": (),
    "temperature": ("temp",),
    "humidity": ("rh",),
    "remark": (),
}
"""The columns that may stand in the file, and other headings that mean them."""
NEEDED = ("date", "note", "cents")


def read_pitch_csv(path: Path, units: Units = Units.METRIC) -> tuple[PitchReading, ...]:
    """Read a pitch log.

    Args:
        path: UTF-8, columns parted by comma, semicolon or tabulator, the first row naming them:
            date, note, cents, and if known temperature, humidity, remark.
        units: What a temperature is in where neither cell nor heading says.

    Returns:
        The readings in the order of the file.

    Raises:
        Unreadable: The file is no such table, or rows of it cannot be; carries every problem, a line each.
    """
    read = separated(path, COLUMNS)
    problems = [
        Problem(str(path), 1, name, "no such column", f"the columns {', '.join(NEEDED)} at least")
        for name in NEEDED
        if name not in read.lines[0].cells
    ]
    if problems:
        raise Unreadable(*problems)
    found: list[PitchReading] = []
    for line in read.lines:
        if not any(line.cells.values()):
            continue
        values: dict[str, object] = {}
        for name, cell in line.cells.items():
            try:
                values[name] = _cell(name, cell, read.units.get(name, ""), units)
            except InputError as refused:
                problems.append(read.problem(line, name, refused))
        if len(values) == len(line.cells):
            found.append(PitchReading(**values))  # type: ignore[arg-type]
    if problems:
        raise Unreadable(*problems)
    return tuple(found)


def _cell(name: str, cell: str, heading: str, units: Units) -> object:
    """Read one cell.

    Args:
        name: Its column.
        cell: What stands there.
        heading: The unit that the heading of the column names; empty: none.
        units: What a number is in where neither says.

    Raises:
        InputError: It does not fit its column.
    """
    if name == "remark":
        return sanitize_line(cell)[:20_000]
    if name == "date":
        return _day(cell)
    if name == "note":
        return note_number(cell)
    if name == "cents":
        return _within(cell, "cents", *plausible.CENTS, heading, units)
    if not cell:
        return None
    if name == "temperature":
        return _within(cell, "°C", *plausible.CELSIUS, heading, units)
    return _within(cell, "%", *plausible.HUMIDITY, heading, units)


def _within(cell: str, unit: str, low: float, high: float, heading: str, units: Units) -> float:
    meant = heading or unit_shown(unit, units)
    if not cell:
        raise InputError(f"found nothing, expected a number in {meant}")
    value = in_unit(cell, unit, meant=meant)
    if not low <= value <= high:
        shown, expected = with_unit(value, unit, units), span(low, high, unit, units)
        raise InputError(f"found {shown}, which cannot be; expected {expected}")
    return value


def _day(cell: str) -> date:
    try:
        day = date.fromisoformat(cell)
    except ValueError:
        raise InputError(f"found “{sanitize_line(cell[:40])}”, expected a day written as 2026-11-20") from None
    if not plausible.is_likely(day):
        raise InputError(f"found {day}, expected {plausible.YEARS}")
    return day
