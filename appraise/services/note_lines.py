"""Readings of one check note by note, as typed, pasted or brought in."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.model.locale_format import Units
from appraise.model.notes import notes_of
from appraise.services.displayed_quantities import unit_shown
from appraise.services.quantity import quantity
from appraise.services.refused import InputError, quoted

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.tables.rows import Check

_MIXED = re.compile(r"\s*\d+\s+\d+/\d+\b", re.ASCII)
_FIRST = re.compile(r"\s*([^\s:=]+)\s*[\s:=]\s*(\S.*)\Z")


def notes_typed(text: str, compass: int) -> tuple[int, ...] | None:
    """Return the notes that a word names: "49", "A4", "46-58"; none when it names none on this keyboard."""
    if text.isascii() and text.isdigit() and len(text) <= 3:
        return (int(text),) if 1 <= int(text) <= compass else None
    try:
        notes = notes_of(text)
    except ValueError:
        return None
    return notes if notes[-1] <= compass else None


def line_typed(
    text: str, chosen: tuple[int, ...], check: Check, compass: int, units: Units = Units.METRIC
) -> tuple[tuple[int, ...], float]:
    """Return notes and value of one line: "7.4" for the chosen notes, "40 7.4", "A4: 7.4", "46-58 7.4".

    The notes are 1 to `compass`; the value is in the unit of the check, a number alone is in that unit as `units` have
    it.

    Raises:
        InputError: Neither; the text is one line.
    """
    match = _FIRST.match(text)
    if match is not None and _MIXED.match(text):
        mixed, note = f"{match[1]}-{match[2].strip()}", f"{match[1]}: {match[2].strip()}"
        raise InputError(f"found {quoted(text)}, which can be read in two ways: write {mixed}, or for the note {note}")
    if match is not None and any(letter.isdecimal() for letter in match[2]):
        notes = notes_typed(match[1], compass)
        if notes is not None:
            return notes, quantity(match[2], check, units)
    if not text.strip():
        raise InputError("write a value for the note under the cursor, or note and value, as 40 7.4 or A4 7.4")
    return chosen, quantity(text, check, units)


def lines_typed(
    text: str, chosen: tuple[int, ...], check: Check, compass: int, units: Units = Units.METRIC
) -> tuple[dict[int, float | None], int]:
    """Return the values of many lines, a note each upwards from where a line names none.

    The arguments are as for `line_typed`; the first line without a note is for the first of the chosen.

    Returns:
        Value by note in the unit of the check, and the note to go on with.

    Raises:
        InputError: One of the lines is neither; the text is one line.
    """
    at = chosen[0]
    values: dict[int, float | None] = {}
    for line in text.splitlines():
        if line.strip():
            notes, value = line_typed(line, (at,), check, compass, units)
            values.update(dict.fromkeys(notes, value))
            at = notes[-1] + 1
    return values, at


def column_of(path: Path, check: Check, first: int, units: Units = Units.METRIC) -> dict[int, float | None]:
    """Return the values of a file by note, in the unit of the check: one column, or columns headed note and value.

    A column without notes begins at the note `first`; a number without a unit in cell or heading is in that of `units`.

    Raises:
        InputError: What is in it cannot be a reading of this check.
        Unreadable: Anything is wrong with the file; carries every problem, with line and column.
    """
    from appraise.services.instruments.note_values import note_columns, quantity_of, words_of

    what = quantity_of(check, others=("value", "reading", *words_of(check)))
    shown = {what.key: unit_shown(check.unit, units)}
    return dict(note_columns(path, (what,), first=first, units=shown)[what.key])
