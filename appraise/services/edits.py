"""Every edit that a person can make of a case: each refuses what does not fit, and is made as one step."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING, Any, TypeVar

from appraise.model.case import Grade, LeftOut, Reading
from appraise.model.problem import InputError
from appraise.services.fields import get, replace_at
from appraise.services.quantity_limits import quantity_of
from appraise.services.quick_look import QUICK_LOOK, checked, refusal
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from appraise.model.case import Case
    from appraise.tables.rows import Check, Tables

_T = TypeVar("_T")

GRADES: tuple[float, ...] = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0)
"""The nine condition grades."""


class Edits(ABC):
    """The edits of a case open for work; what is made of them is for the session."""

    tables: Tables
    """The reference tables in force."""

    @property
    @abstractmethod
    def case(self) -> Case:
        """The case as it stands now."""

    @abstractmethod
    def change(self, case: Case, what: str, *, joins: bool = False) -> None:
        """Make `case` the current one, as one step."""

    # -- grades and readings -----------------------------------------------------------------------

    def check(self, key: str) -> Check:
        """Return a check's row.

        Raises:
            KeyError: No such check.
        """
        return self.tables.checks[key]

    def set_grade(self, check: str, grade: float | None, reason: str = "", *, joins: bool = False) -> None:
        """Give a graded check its grade, or with None take the grade away.

        Args:
            check: Key of the check.
            grade: One of the nine.
            reason: A word on it.
            joins: It goes on with what was typed just before: 2, and then .5.

        Raises:
            InputError: Not one of the nine grades.
        """
        row = self.check(check)
        kept = next((old for old in self.case.grades if old.check == check), None)
        if kept is not None and not reason and kept.grade == grade:
            reason = kept.reason  # it was given for this grade, not for another
        made = None if grade is None else Grade(_grade(grade), check=check, reason=reason)
        case = self.case if made is None else checked(self.case, row)
        case = replace(case, grades=_set(case.grades, kept, made))
        self.change(case, f"grade of {row.label.lower()}", joins=joins)

    def overrule(self, component: str, grade: float | None, reason: str = "") -> None:
        """Put a grade in place of what the checks say of a component, or with None let the checks speak.

        Raises:
            InputError: No reason given, or not one of the nine grades.
        """
        kept = next((old for old in self.case.grades if old.component == component), None)
        if grade is not None and not reason.strip():
            raise InputError("overruling what the checks say needs a reason")
        made = None if grade is None else Grade(_grade(grade), component=component, reason=reason.strip())
        label = self.tables.components[component].label.lower()
        self.change(replace(self.case, grades=_set(self.case.grades, kept, made)), f"overruling of {label}")

    def look(self, grades: Mapping[str, float | None], *, joins: bool = False) -> None:
        """Grade components at a quick look, as one edit; None takes such a grade back.

        Args:
            grades: Grade by component.
            joins: It goes on with what was typed just before: 2, and then .5.

        Raises:
            InputError: A check of a component was made, or its grade was overruled: what was looked at closely stands.
        """
        case, labels = self.case, []
        for component, grade in grades.items():
            wrong = refusal(case, component, self.tables)
            if wrong:
                raise InputError(wrong)
            kept = next((old for old in case.grades if old.component == component), None)
            made = None if grade is None else Grade(_grade(grade), "", component, QUICK_LOOK, preliminary=True)
            case = replace(case, grades=_set(case.grades, kept, made))
            labels.append(self.tables.components[component].named(case.identity.kind).lower())
        what = labels[0] if len(labels) == 1 else f"{len(labels)} parts"
        self.change(case, f"quick look at {what}", joins=joins)

    def leave_out(self, check: str, reason: str = "", *, out: bool = True) -> None:
        """Say that a check cannot be made here, and why; or with `out` False that it can."""
        row = self.check(check)
        kept = next((old for old in self.case.left_out if old.check == check), None)
        made = LeftOut(check, reason.strip()) if out else None
        left_out = _set(self.case.left_out, kept, made)
        self.change(replace(self.case, left_out=left_out), f"leaving out {row.label.lower()}")

    def set_reading(
        self,
        check: str,
        value: float | bool | str | None,
        *,
        note: int | None = None,
        place: str = "",
        remark: str = "",
    ) -> None:
        """Write down what a check gave, or with None strike it out.

        Args:
            check: Key of the check.
            value: A number in the check's unit, yes or no, or the text to record.
            note: Note 1–88, for checks made note by note.
            place: Where, for checks made at several places.
            remark: A word on it.

        Raises:
            InputError: The value does not fit the check, is implausible, or the note is not on this keyboard.
        """
        row = self.check(check)
        if value is not None:
            value = _fitting(row, value)
        if note is not None:
            self._on_keyboard(note)
        kept = next(
            (old for old in self.case.readings if (old.check, old.note, old.place) == (check, note, place)), None
        )
        made = None if value is None else Reading(check, value, row.unit, note, place, remark)
        case = self.case if made is None else checked(self.case, row)
        self.change(replace(case, readings=_set(case.readings, kept, made)), f"reading of {row.label.lower()}")

    def set_readings(self, check: str, values: Mapping[int, float | None]) -> None:
        """Write down what a check gave at several notes at once, as one edit; None strikes a note out.

        Args:
            check: Key of a check made note by note.
            values: Value in the check's unit by note.

        Raises:
            InputError: A value is implausible, or a note is not on this keyboard; nothing is written then.
        """
        row = self.check(check)
        readings = self.case.readings
        for note, value in values.items():
            self._on_keyboard(note)
            if value is None:
                readings = tuple(old for old in readings if (old.check, old.note) != (check, note))
                continue
            kept = next((old for old in readings if (old.check, old.note) == (check, note)), None)
            place, remark = ("", "") if kept is None else (kept.place, kept.remark)
            made = Reading(check, _fitting(row, value), row.unit, note, place, remark)
            readings = _set(readings, kept, made)
        case = checked(self.case, row) if any(value is not None for value in values.values()) else self.case
        self.change(replace(case, readings=readings), f"readings of {row.label.lower()}")

    def add_readings(self, check: str, values: Mapping[int | None, float]) -> None:
        """Write down what a check gave at several notes, as one edit, beside what was read there before.

        Args:
            check: Key of a check made note by note.
            values: Value in the check's unit by note; at none: for the section, or the whole.

        Raises:
            InputError: A value is implausible, or a note is not on this keyboard; nothing is written then.
        """
        row = self.check(check)
        readings = self.case.readings
        for note, value in values.items():
            if note is not None:
                self._on_keyboard(note)
            taken = {old.place for old in readings if (old.check, old.note) == (check, note)}
            place = next(place for place in _places() if place not in taken)
            readings = (*readings, Reading(check, _fitting(row, value), row.unit, note, place))
        case = checked(self.case, row) if values else self.case
        self.change(replace(case, readings=readings), f"readings of {row.label.lower()}")

    def _on_keyboard(self, note: int) -> None:
        if not 1 <= note <= self.case.identity.compass:
            raise InputError(f"note {note} is not on this keyboard: 1 to {self.case.identity.compass}")

    def clear(self, check: str) -> None:
        """Strike out everything one check has: not inspected again."""
        row = self.check(check)
        grades = tuple(grade for grade in self.case.grades if grade.check != check)
        readings = tuple(reading for reading in self.case.readings if reading.check != check)
        self.change(replace(self.case, grades=grades, readings=readings), f"answer to {row.label.lower()}")

    # -- everything else ---------------------------------------------------------------------------

    def put(self, path: tuple[str | int, ...], value: object, what: str = "") -> None:
        """Set one field of the case by its path, as `("identity", "maker")` or `("remarks", 0, "text")`."""
        self.change(replace_at(self.case, path, value), what or str(path[-1]).replace("_", " "))

    def add(self, path: tuple[str, ...], record: object, what: str) -> int:
        """Add a record to one of the case's lists: `("renewals",)`, `("market", "comparables")`.

        Returns:
            Its place in the list, from 0.
        """
        records: tuple[Any, ...] = self._records(path)
        self.put(path, (*records, record), what)
        return len(records)

    def remove(self, path: tuple[str, ...], index: int, what: str) -> None:
        """Take a record out of one of the case's lists."""
        records = self._records(path)
        self.put(path, records[:index] + records[index + 1 :], what)

    def _records(self, path: tuple[str, ...]) -> tuple[Any, ...]:
        return tuple(get(self.case, path))


def _places() -> Iterator[str]:
    """Yield what tells the readings at one note apart: nothing for the first, "reading 2" for the next."""
    yield ""
    yield from (f"reading {at}" for at in count(2))


def _grade(grade: float) -> float:
    if grade not in GRADES:
        raise InputError(f"{grade:g} is not a grade: 1 to 5 in half steps")
    return float(grade)


def _fitting(row: Check, value: float | bool | str) -> float | bool | str:
    """Return the value in the type its check wants, or refuse it."""
    if row.kind is CheckKind.YES_NO and not isinstance(value, bool):
        raise InputError("answer yes or no")
    if row.kind is CheckKind.RECORD and not (isinstance(value, str) and value.strip()):
        raise InputError("write down what was found")
    if row.kind in (CheckKind.MEASURED, CheckKind.COUNT):
        if isinstance(value, bool | str):
            raise InputError(f"a number is expected{' in ' + row.unit if row.unit else ''}")
        return quantity_of(row).checked(float(value))
    if row.kind is CheckKind.GRADED:
        raise InputError("this check takes a grade, not a reading")
    return value


def _set(records: tuple[_T, ...], kept: _T | None, made: _T | None) -> tuple[_T, ...]:
    """Put `made` where `kept` was, else at the end; with no `made`, take `kept` out."""
    if kept is None:
        return records if made is None else (*records, made)
    at = records.index(kept)
    return records[:at] + (() if made is None else (made,)) + records[at + 1 :]
