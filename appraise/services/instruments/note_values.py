"""Readings note by note, as typed or from a file of separated values: one clear line for each problem."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import Units
from appraise.model.notes import FIRST, LAST, name_of, notes_of, number_of
from appraise.model.problem import Problem, Unreadable
from appraise.services.displayed_quantities import unit_shown
from appraise.services.instruments.csv_reader import separated
from appraise.services.refused import InputError, quoted
from appraise.services.typed_quantities import in_unit, within

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from appraise.tables.rows import Check


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity that may be typed or imported."""

    key: str
    """Its column: "downweight"."""
    unit: str = ""
    """Base unit, as `model.units` names it."""
    plausible: tuple[float, float] | None = None
    """Least and greatest that are taken."""
    others: tuple[str, ...] = ()
    """Other headings that mean it."""
    whole: bool = False


def quantity_of(check: Check, key: str = "", others: Sequence[str] = ()) -> Quantity:
    """Return the quantity that a check measures, its unit and plausible range from the row."""
    return Quantity(key or check.key, check.unit, check.plausible, (check.key, *others), check.kind.value == "count")


def words_of(check: Check) -> tuple[str, ...]:
    """Return headings that mean a check where a file holds nothing else: its label, and the last word of it."""
    label = check.label.casefold()
    return label, label.split()[-1]


def amount(text: str, what: Quantity, unit: str = "") -> float:
    """Read one amount in the base unit; without a unit of its own it is in `unit`, or in the base unit.

    Raises:
        InputError: Not a number, a unit that does not fit, or what cannot be; the text is one line.
    """
    value = in_unit(text, what.unit, meant=unit, whole=what.whole)
    if what.plausible is None:
        return value
    # The refusal speaks in the unit that was meant.
    units = Units.INCH if unit and unit == unit_shown(what.unit, Units.INCH) else Units.METRIC
    return within(value, what.plausible, what.unit, units)


def typed(words: Iterable[str], what: Quantity, unit: str = "") -> dict[int, float]:
    """Read `note=value` each, "A4=52" or "46-58=51": reading by key number, lowest note first.

    Raises:
        InputError: Not a note and a value, or a note twice.
    """
    found: dict[int, float] = {}
    for word in words:
        notes, mark, value = word.partition("=")
        if not mark:
            raise InputError(f"{what.key}: found {quoted(word)}, expected note=value such as A4=52 or 46-58=51")
        try:
            _enter(found, notes_of(notes), amount(value, what, unit))
        except InputError as refused:
            raise InputError(f"{what.key} {quoted(notes)}: {refused}") from None
        except ValueError as error:
            raise InputError(f"{what.key}: {error}") from None
    return dict(sorted(found.items()))


def _enter(found: dict[int, float], notes: Iterable[int], value: float) -> None:
    for note in notes:
        if note in found:
            raise InputError(f"found note {note} ({name_of(note)}) twice, expected one reading a note")
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
                raise InputError(f"found note {max(notes)}, expected one of the compass, up to {most}")
        except ValueError as error:
            problems.append(read.problem(line, "note", error))
            continue
        for what in quantities:
            cell = line.cells.get(what.key, "")
            if not cell:
                continue
            unit = read.units.get(what.key) or (units or {}).get(what.key, "")
            try:
                _enter(found.setdefault(what.key, {}), notes, amount(cell, what, unit))
            except InputError as refused:
                problems.append(read.problem(line, what.key, refused))
    if not found and not problems:
        expected = " or ".join(what.key for what in quantities)
        problems.append(Problem(str(path), None, "", "no readings", f"some in the column {expected}"))
    if problems:
        raise Unreadable(*problems)
    return {key: dict(sorted(values.items())) for key, values in found.items()}
