"""One case being worked on: every edit, undo and redo, the valuation that follows, and the save."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

from appraise.services.fields import put
from appraise.services.quantity import Refused, plausible
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.model.reason import Reason
    from appraise.model.result import Valuation
    from appraise.tables.rows import Check, Tables

_T = TypeVar("_T")

GRADES: tuple[float, ...] = (1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0)
"""The nine condition grades."""


class Worksheet:
    """A case file open for work. The case inside is frozen: an edit replaces it, so undo is exact."""

    def __init__(self, path: Path, case: Case, tables: Tables, *, unsaved: bool = False) -> None:
        self.path = path
        """The case file."""
        self.tables = tables
        """The reference tables in force."""
        self._case = case
        self._saved: Case | None = None if unsaved else case
        self._past: list[tuple[str, Case]] = []
        self._future: list[tuple[str, Case]] = []
        self._valued: tuple[Case, Valuation] | None = None
        self._tree: tuple[Case, Reason] | None = None
        self._stamp = _stamp(path)
        self.start: Valuation | None = None
        """The first valuation of this session, to show how far the range has narrowed since."""

    @property
    def case(self) -> Case:
        """The case as it stands now."""
        return self._case

    @property
    def dirty(self) -> bool:
        """True while the case differs from what the file holds."""
        return self._case != self._saved

    @property
    def changed_on_disk(self) -> bool:
        """True when another program has written the file since it was read or saved here."""
        return _stamp(self.path) != self._stamp

    # -- valuation ---------------------------------------------------------------------------------

    @property
    def valuation(self) -> Valuation:
        """The valuation of the case as it stands, computed when first asked for."""
        known = self.known_valuation
        if known is None:
            known = compute(self._case, self.tables)
            self.accept(self._case, known)
        return known

    @property
    def known_valuation(self) -> Valuation | None:
        """The valuation of the case as it stands, if it has been computed already."""
        return self._valued[1] if self._valued is not None and self._valued[0] is self._case else None

    def accept(self, case: Case, valuation: Valuation) -> bool:
        """Take a valuation that was computed elsewhere, unless the case has changed since.

        Returns:
            True when it was still the current case's.
        """
        if self.start is None:
            self.start = valuation
        if case is not self._case:
            return False
        self._valued = (case, valuation)
        return True

    @property
    def reasons(self) -> Reason:
        """The reason tree of the current valuation."""
        if self._tree is None or self._tree[0] is not self._case:
            from appraise.engine.reasons import reason_tree

            self._tree = (self._case, reason_tree(self._case, self.tables, self.valuation))
        return self._tree[1]

    # -- history -----------------------------------------------------------------------------------

    def change(self, case: Case, what: str) -> None:
        """Make `case` the current one; `what` names the edit for undo."""
        if case == self._case:
            return
        self._past.append((what, self._case))
        self._future.clear()
        self._case = case

    def undo(self) -> str | None:
        """Take the last edit back.

        Returns:
            What was taken back, or none when there is nothing to undo.
        """
        if not self._past:
            return None
        what, before = self._past.pop()
        self._future.append((what, self._case))
        self._case = before
        return what

    def redo(self) -> str | None:
        """Make the last edit that was taken back again.

        Returns:
            What was made again, or none when there is nothing to redo.
        """
        if not self._future:
            return None
        what, after = self._future.pop()
        self._past.append((what, self._case))
        self._case = after
        return what

    def save(self) -> None:
        """Write the case to its file; the previous version is kept beside it.

        Raises:
            Unreadable: The file cannot be written, or the case could not be read again; the file is as it was.
        """
        from appraise.store.write import write_case

        write_case(self.path, self._case, self.tables)
        self._saved = self._case
        self._stamp = _stamp(self.path)

    # -- grades and readings -----------------------------------------------------------------------

    def check(self, key: str) -> Check:
        """Return a check's row.

        Raises:
            KeyError: No such check.
        """
        return self.tables.checks[key]

    def set_grade(self, check: str, grade: float | None, reason: str = "") -> None:
        """Give a graded check its grade, or with None take the grade away.

        Raises:
            Refused: Not one of the nine grades.
        """
        from appraise.model.case import Grade

        row = self.check(check)
        kept = next((old for old in self._case.grades if old.check == check), None)
        if kept is not None and not reason:
            reason = kept.reason
        made = None if grade is None else Grade(_grade(grade), check=check, reason=reason)
        self.change(replace(self._case, grades=_set(self._case.grades, kept, made)), f"grade of {row.label.lower()}")

    def overrule(self, component: str, grade: float | None, reason: str = "") -> None:
        """Put a grade in place of what the checks say of a component, or with None let the checks speak.

        Raises:
            Refused: No reason given, or not one of the nine grades.
        """
        from appraise.model.case import Grade

        kept = next((old for old in self._case.grades if old.component == component), None)
        if grade is not None and not reason.strip():
            raise Refused("overruling what the checks say needs a reason")
        made = None if grade is None else Grade(_grade(grade), component=component, reason=reason.strip())
        label = self.tables.components[component].label.lower()
        self.change(replace(self._case, grades=_set(self._case.grades, kept, made)), f"overruling of {label}")

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
            Refused: The value does not fit the check, is implausible, or the note is not on this keyboard.
        """
        from appraise.model.case import Reading

        row = self.check(check)
        if value is not None:
            value = _fitting(row, value)
        if note is not None and not 1 <= note <= self._case.identity.compass:
            raise Refused(f"note {note} is not on this keyboard: 1 to {self._case.identity.compass}")
        kept = next(
            (old for old in self._case.readings if (old.check, old.note, old.place) == (check, note, place)), None
        )
        made = None if value is None else Reading(check, value, row.unit, note, place, remark)
        self.change(
            replace(self._case, readings=_set(self._case.readings, kept, made)),
            f"reading of {row.label.lower()}",
        )

    def set_readings(self, check: str, values: Mapping[int, float | None]) -> None:
        """Write down what a check gave at several notes at once, as one edit; None strikes a note out.

        Args:
            check: Key of a check made note by note.
            values: Value in the check's unit by note.

        Raises:
            Refused: A value is implausible, or a note is not on this keyboard; nothing is written then.
        """
        from appraise.model.case import Reading

        row = self.check(check)
        readings = self._case.readings
        for note, value in values.items():
            if not 1 <= note <= self._case.identity.compass:
                raise Refused(f"note {note} is not on this keyboard: 1 to {self._case.identity.compass}")
            kept = next((old for old in readings if (old.check, old.note) == (check, note)), None)
            made = None
            if value is not None:
                place, remark = ("", "") if kept is None else (kept.place, kept.remark)
                made = Reading(check, _fitting(row, value), row.unit, note, place, remark)
            readings = _set(readings, kept, made)
        self.change(replace(self._case, readings=readings), f"readings of {row.label.lower()}")

    def clear(self, check: str) -> None:
        """Strike out everything one check has: not inspected again."""
        row = self.check(check)
        grades = tuple(grade for grade in self._case.grades if grade.check != check)
        readings = tuple(reading for reading in self._case.readings if reading.check != check)
        self.change(replace(self._case, grades=grades, readings=readings), f"answer to {row.label.lower()}")

    # -- everything else ---------------------------------------------------------------------------

    def put(self, path: tuple[str | int, ...], value: object, what: str = "") -> None:
        """Set one field of the case by its path, as `("identity", "maker")` or `("remarks", 0, "text")`."""
        self.change(put(self._case, path, value), what or str(path[-1]).replace("_", " "))

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
        found: Any = self._case
        for step in path:
            found = getattr(found, step)
        return tuple(found)


def compute(case: Case, tables: Tables) -> Valuation:
    """Value a case; the engine and its array library are imported at the first call."""
    from appraise.engine.valuation import value_case

    return value_case(case, tables)


def _stamp(path: Path) -> tuple[int, int] | None:
    """Return what tells one version of a file from another; none when there is no file."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def _grade(grade: float) -> float:
    if grade not in GRADES:
        raise Refused(f"{grade:g} is not a grade: 1 to 5 in half steps")
    return float(grade)


def _fitting(row: Check, value: float | bool | str) -> float | bool | str:
    """Return the value in the type its check wants, or refuse it."""
    if row.kind is CheckKind.YES_NO and not isinstance(value, bool):
        raise Refused("answer yes or no")
    if row.kind is CheckKind.RECORD and not (isinstance(value, str) and value.strip()):
        raise Refused("write down what was found")
    if row.kind in (CheckKind.MEASURED, CheckKind.COUNT):
        if isinstance(value, bool | str):
            raise Refused(f"a number is expected{' in ' + row.unit if row.unit else ''}")
        plausible(value, row)
        return float(value)
    if row.kind is CheckKind.GRADED:
        raise Refused("this check takes a grade, not a reading")
    return value


def _set(records: tuple[_T, ...], kept: _T | None, made: _T | None) -> tuple[_T, ...]:
    """Put `made` where `kept` was, else at the end; with no `made`, take `kept` out."""
    if kept is None:
        return records if made is None else (*records, made)
    at = records.index(kept)
    return records[:at] + (() if made is None else (made,)) + records[at + 1 :]
