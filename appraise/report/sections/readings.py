"""Readings as cells of a table: all of one check in one cell, note by note where they were taken so."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from appraise.model.message import message
from appraise.model.notes import note_name
from appraise.report.words import literal
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from appraise.model.case import Case, Reading
    from appraise.report.appraisal import Appraisal

BY_NOTE = message("Readings by note are written as note: reading; A4 is the A above middle C.")
"""Printed where a table has such cells."""


def found_at(item: Appraisal, check: str, notes: Collection[int] = ()) -> str:
    """Return everything that one check gave: "C2: 4.4, C4: 5 mm", "belly rail: 0.04 mm", "yes", "grade 2.5".

    Args:
        item: The valued case.
        check: Key of the check.
        notes: Only the readings of these notes, where any is given.
    """
    say, case = item.manner.say, item.case
    readings = [reading for reading in case.readings if reading.check == check and (not notes or reading.note in notes)]
    grades = [
        say("grade {grade}", grade=item.manner.number(grade.grade)) for grade in case.grades if grade.check == check
    ]
    row = item.tables.checks.get(check)
    text = _together(item, readings, row.kind if row else None)
    return "; ".join([*([text] if text else []), *grades])


def remarked_at(case: Case, check: str) -> str:
    """Return what was written beside the readings and the grade of one check, each once."""
    words = []
    for reading in case.readings:
        if reading.check == check and reading.remark.strip():
            note = "" if reading.note is None else f"{note_name(reading.note, case.identity.compass)}: "
            words.append(note + literal(reading.remark))
    words += [literal(grade.reason) for grade in case.grades if grade.check == check and grade.reason.strip()]
    return _sentences(dict.fromkeys(words))


def per_note(case: Case, checks: Collection[str]) -> bool:
    """Tell whether any of these checks was read note by note."""
    return any(reading.note is not None and reading.check in checks for reading in case.readings)


def _together(item: Appraisal, readings: list[Reading], kind: CheckKind | None) -> str:
    cells = []
    for (place, unit), group in groupby(readings, key=lambda reading: (literal(reading.place), literal(reading.unit))):
        items = []
        for reading in group:
            note = "" if reading.note is None else f"{note_name(reading.note, item.case.identity.compass)}: "
            items.append(note + _value(item, reading, kind))
        where = f"{place}: " if place and ": " not in items[0] else f"{place} " if place else ""
        cells.append((f"{where}{', '.join(items)}", item.manner.unit(unit)))
    units = {unit for _, unit in cells}
    if len(units) == 1:
        return f"{'; '.join(text for text, _ in cells)} {units.pop()}".rstrip()
    return "; ".join(f"{text} {unit}".rstrip() for text, unit in cells)


def _value(item: Appraisal, reading: Reading, kind: CheckKind | None) -> str:
    if isinstance(reading.value, bool):
        return item.manner.say("yes") if reading.value else item.manner.say("no")
    if reading.suspected and kind == CheckKind.YES_NO:
        return item.manner.say("suspected")
    if isinstance(reading.value, str):
        return literal(reading.value)
    return item.manner.amount(reading.value, reading.unit, 0 if kind == CheckKind.COUNT else 3)


def _sentences(words: Iterable[str]) -> str:
    """Join what are often whole sentences."""
    text = ""
    for word in words:
        text += ("" if not text else " " if text.endswith((".", "!", "?")) else "; ") + word
    return text
