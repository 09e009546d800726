"""Readings note by note, as typed, pasted or from a file of separated values: one clear line for each problem."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.model.notes import FIRST, LAST, name_of, notes_of, number_of
from appraise.model.problem import InputError, Problem, Unreadable, quoted
from appraise.model.quantities import Units, unit_shown
from appraise.services.instruments.csv_reader import separated
from appraise.services.quantity_limits import quantity_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from appraise.services.quantity_limits import Quantity
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
            return notes, quantity_of(check).read(match[2], units)
    if not text.strip():
        raise InputError("write a value for the note under the cursor, or note and value, as 40 7.4 or A4 7.4")
    return chosen, quantity_of(check).read(text, units)


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
    label = check.label.casefold()
    what = quantity_of(check, others=("value", "reading", label, label.split()[-1]))
    shown = {what.key: unit_shown(check.unit, units)}
    return dict(note_columns(path, (what,), first=first, units=shown)[what.key])


def typed(words: Iterable[str], what: Quantity, unit: str = "") -> dict[int, float]:
    """Read `note=value` each, "A4=52" or "46-58=51": reading by key number, lowest note first.

    Raises:
        InputError: Not a note and a value, or a note twice.
    """
    found: dict[int, float] = {}
    for word in words:
        notes, mark, value = word.partition("=")
        if not mark:
            raise InputError(quoted(word), "note=value such as A4=52 or 46-58=51", subject=what.key)
        try:
            _enter(found, notes_of(notes), what.read(value, meant=unit))
        except InputError as refused:
            raise refused.about(f"{what.key} {quoted(notes)}") from None
    return dict(sorted(found.items()))


def _enter(found: dict[int, float], notes: Iterable[int], value: float) -> None:
    for note in notes:
        if note in found:
            raise InputError(f"note {note} ({name_of(note)}) twice", "one reading a note")
        found[note] = value


def note_columns(
    path: Path,
    quantities: Sequence[Quantity],
    units: Mapping[str, str] | None = None,
    first: int = FIRST,
    most: int = LAST,
) -> dict[str, dict[int, float]]:
    """Import readings note by note.

    Args:
        path: A file with a column of notes (names, numbers or ranges) and one for each quantity, or a single column
            without notes: one line a note, upwards from `first`, a blank one where none was read.
        quantities: The columns asked for; some may be missing, not all.
        units: The unit meant where neither cell nor heading says, by key.
        first: Key number of the first line where there is no column of notes.
        most: Highest note of the compass.

    Returns:
        For each quantity found its readings by key number, lowest first.

    Raises:
        Unreadable: Anything is wrong; carries every problem, with line and column.
    """
    columns = {"note": ("key", "notes"), **{what.key: what.others for what in quantities}}
    read = separated(path, columns, ("note", *(what.key for what in quantities)))
    found: dict[str, dict[int, float]] = {}
    problems: list[Problem] = []
    for place, line in enumerate(read.lines):
        if not any(line.cells.values()):
            continue
        try:
            notes = notes_of(line.cells["note"]) if "note" in line.cells else (number_of(str(first + place)),)
            if max(notes) > most:
                raise InputError(f"note {max(notes)}", f"one of the compass, up to {most}")
        except InputError as error:
            problems.append(read.problem(line, "note", error))
            continue
        for what in quantities:
            cell = line.cells.get(what.key, "")
            if not cell:
                continue
            unit = read.units.get(what.key) or (units or {}).get(what.key, "")
            try:
                _enter(found.setdefault(what.key, {}), notes, what.read(cell, meant=unit))
            except InputError as refused:
                problems.append(read.problem(line, what.key, refused))
    if not found and not problems:
        expected = " or ".join(what.key for what in quantities)
        problems.append(Problem(str(path), None, "", "no readings", f"some in the column {expected}"))
    if problems:
        raise Unreadable(*problems)
    return {key: dict(sorted(values.items())) for key, values in found.items()}
