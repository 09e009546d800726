"""The answer to a check as it is typed, wherever that is: read once, written into the case."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.model.claim import Finding
from appraise.model.problem import InputError, quoted
from appraise.model.quantities import Units, grade_typed, in_unit, span, unit_shown
from appraise.services.note_readings import line_typed
from appraise.services.quantity_limits import quantity_of, tolerance
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.services.case_session import CaseSession
    from appraise.tables.rows import Check

_GRADE = re.compile(r"[0-5](?:[.,]5?)?\Z", re.ASCII)
"""Words typed for a grade by a person who takes a check of words for one of grades."""

_ANSWERS = {
    "y": Finding.YES,
    "yes": Finding.YES,
    "n": Finding.NO,
    "no": Finding.NO,
    "s": Finding.SUSPECTED,
    "suspected": Finding.SUSPECTED,
}
_LIKELY = re.compile(r"(s|suspected)[\s,]*(?=[0-9])(.*)\Z", re.ASCII | re.DOTALL)
"""A suspected fault with how likely it is: s30, suspected 30 %."""


def probability(text: str) -> float:
    """Read how likely a suspected fault is there [%], above 0 and below 100: "30", "30 %".

    Raises:
        InputError: It is none.
    """
    likely = in_unit(text, "%")
    if not 0.0 < likely < 100.0:
        raise InputError(quoted(text), "per cent above 0 and below 100")
    return likely


def value_typed(text: str, check: Check, units: Units = Units.METRIC) -> float | str:
    """Return the value of a check of one quantity or of words, as typed.

    Args:
        text: As typed.
        check: Measured, counted or recorded.
        units: What a number alone is in.

    Returns:
        The number in the unit of the check, or the words.

    Raises:
        InputError: It does not fit the check.
    """
    if check.kind is not CheckKind.RECORD:
        return quantity_of(check).read(text, units)
    value = text.strip()
    if not value:
        raise InputError("write down what was found")
    if _GRADE.match(value):
        raise InputError(quoted(text), "words: this check takes no grade")
    return value


def write_answer(sheet: CaseSession, check: Check, text: str) -> None:
    """Write down the answer to a check, in place of the one it has; readings note by note are added.

    Args:
        sheet: The worksheet.
        check: What is answered.
        text: As typed: a grade, y, n or s, a quantity, note and quantity, or words.

    Raises:
        InputError: It is no answer to this check; nothing is written then.
    """
    case = sheet.case
    units = case.assignment.units
    if check.kind is CheckKind.GRADED:
        grade = grade_typed(text)
        if grade is None:
            raise InputError(quoted(text), allowed(check, units))
        sheet.set_grade(check.key, grade)
    elif check.kind is CheckKind.YES_NO:
        said = text.strip().casefold()
        stated = _LIKELY.match(said)
        answer = _ANSWERS.get(stated[1] if stated else said)
        if answer is None:
            raise InputError(quoted(text), allowed(check, units))
        sheet.set_answer(check.key, answer, probability(stated[2]) if stated else None)
    elif check.per_note:
        notes, number = line_typed(text, (), check, case.identity.compass, units)
        sheet.add_readings(check.key, dict.fromkeys(notes or (None,), number))
    else:
        place = next((reading.place for reading in reversed(case.readings) if reading.check == check.key), "")
        sheet.set_reading(check.key, value_typed(text, check, units), place=place)


def allowed(check: Check, units: Units = Units.METRIC) -> str:
    """Say what answers a check: "a grade from 1 as new to 5 worn out", "yes or no", "a number in mm, 0 to 12 mm"."""
    if check.kind is CheckKind.GRADED:
        return "a grade from 1 as new to 5 worn out, in half steps such as 2.5"
    if check.kind is CheckKind.YES_NO:
        return "yes, no or suspected"
    if check.kind is CheckKind.RECORD:
        return "words"
    unit = unit_shown(check.unit, units)
    number = "a whole number" if check.kind is CheckKind.COUNT else f"a number in {unit}" if unit else "a number"
    between = "" if check.plausible is None else f", {span(*check.plausible, check.unit, units)}"
    noted = "; note and number such as A4 and the number, or the number alone for the section" if check.per_note else ""
    return f"{number}{between}{noted}"


def means(check: Check, units: Units = Units.METRIC) -> list[str]:
    """Return what the answers to a check mean, a line each."""
    if check.kind is CheckKind.GRADED:
        return [f"{grade:g}: {words}" for grade, words in check.words]
    if check.kind is CheckKind.YES_NO:
        return [
            f"yes means grade {check.grade_yes:g}, no means grade {check.grade_no:g}",
            "suspected counts as yes so often as it is likely: suspected 30 states 30 %",
        ]
    found = tolerance(check, units)
    return [found] if found else []
