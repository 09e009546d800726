"""The inspection on arrival: how each check and remark stood before the move, and what is written down of it now."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from appraise.engine.grade import judged_checks
from appraise.engine.loss.changes import observed
from appraise.model.claim import Origin
from appraise.model.lazy_dataclass import dataclass
from appraise.model.loss import RemarkClass
from appraise.model.problem import InputError
from appraise.model.quantities import Units
from appraise.report.words import day
from appraise.services.opening import alone
from appraise.services.quick_look import checked
from appraise.services.walk import answer_text, answered, grade_given, overruling, readings_of
from appraise.store.baseline import earlier_case, freeze
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date
    from pathlib import Path

    from appraise.engine.grade import Judged
    from appraise.model.case import Case, EarlierState, Remark
    from appraise.services.case_session import CaseSession
    from appraise.services.walk import FormRow
    from appraise.tables.rows import Check, Tables

AS_BEFORE = "Inspected again: as before."
"""Written beside a finding that was confirmed, so that nobody takes it for one carried over unseen."""


@dataclass(frozen=True, slots=True)
class Was:
    """How one check stood before the move."""

    answer: str
    """The finding, in a few words."""
    grade: float | None
    """Absent where it carries none."""


SETTING = "record of the condition before the move"
"""Name of the step for undo and the trail."""


def set_before(
    path: Path, tables: Tables, purpose: str, *, in_place_of: date | None = None
) -> tuple[EarlierState, str]:
    """Keep a case as it stands as its own earlier state, and write that down in its file and in its trail.

    Args:
        path: The case file.
        tables: What the case was made with.
        purpose: What the state is set for.
        in_place_of: Day of the state that is remembered, where this one is to take its place.

    Returns:
        The state kept, and why it is not in the trail; empty where it is.

    Raises:
        InputError: The case remembers an earlier state already, somebody has it open, or its trail holds unsaved steps.
        Unreadable: The case cannot be read, or the copy or the case cannot be written.
    """
    with alone(path, tables) as sheet:
        earlier = sheet.case.earlier_state
        if earlier is not None and in_place_of != earlier.day:
            found = f"an earlier state of {earlier.day.isoformat()} in it"
            raise InputError(found, "none", "--in-place-of with its day sets another")
        kept = freeze(path, sheet.case, purpose.strip(), sheet.trail_head())
        sheet.change(remembering(sheet.case, kept), SETTING)
        sheet.save()
    return kept, sheet.trouble


def remembering(case: Case, kept: EarlierState) -> Case:
    """Return a case that remembers an earlier state; ticks of another one go."""
    remarks = tuple(replace(remark, earlier=None, worse=False) for remark in case.remarks)
    return replace(case, remarks=remarks, earlier_state=kept)


class Arrival:
    """A case with the state that it remembers from before the move."""

    def __init__(self, before: Case, tables: Tables, units: Units = Units.METRIC) -> None:
        self.before = before
        self.tables = tables
        self.units = units
        """Units of the present case: both states are shown so."""

    @property
    def day(self) -> date:
        """The day of the inspection before the move."""
        return self.before.assignment.inspected

    def begun(self, case: Case) -> bool:
        """Tell whether anything has been written down since the state was set."""
        now, before = (
            (each.grades, each.readings, each.remarks, each.assignment.inspected) for each in (case, self.before)
        )
        return now != before

    @cached_property
    def _judged(self) -> Mapping[str, Judged]:
        return judged_checks(self.before, self.tables)

    @cached_property
    def _observed(self) -> Mapping[str, float | None]:
        return observed(self.before, self.tables)

    def was(self, check: Check) -> Was | None:
        """Return how a check stood; none where it was not made."""
        judged = self._judged.get(check.key)
        answer = answer_text(self.before, self.tables, check, None if judged is None else judged.result, self.units)
        if not answer:
            return None
        given = grade_given(self.before, check.key)
        if given is not None:
            return Was(answer, given.grade)
        return Was(answer, None if judged is None or check.kind is CheckKind.RECORD else judged.result.own_grade)

    def component_was(self, component: str) -> float | None:
        """Return the grade of a component by its checks or the assessor; none where nobody looked."""
        return self._observed.get(component)

    def beside(self, rows: Sequence[FormRow]) -> list[FormRow]:
        """Return the rows of a form, each with how it stood before the move."""
        return [self._beside(row) for row in rows]

    def _beside(self, row: FormRow) -> FormRow:
        if row.check is None:
            grade = self.component_was(row.component)
            return replace(row, was_grade=grade, worse=not row.expected and self.worse(row.grade, grade))
        was = self.was(row.check)
        if was is None:
            return row
        worse = bool(row.answer) and self.worse(row.grade, was.grade)
        return replace(row, was=was.answer, was_grade=was.grade, worse=worse)

    def told(self, check: Check, case: Case) -> tuple[str, ...]:
        """Return what is to be said of a check beside its answer now, a line each."""
        was = self.was(check)
        if was is None:
            return (f"Before, {day(self.day)}: not inspected",)
        grade = "" if was.grade is None else f"grade {was.grade:.1f}"
        words = ", ".join(word for word in (grade, was.answer) if word)
        notes = dict.fromkeys(grade.reason for grade in self.before.grades if grade.check == check.key)
        notes |= dict.fromkeys(reading.remark for reading in readings_of(self.before, check.key))
        said = " ".join(note for note in notes if note)
        line = f"Before, {day(self.day)}: {words}" + (f". {said}" if said else "")
        done = check.key in answered(case)
        return (line,) if done else (line, "Space: inspected again, as before; on to the next")

    def worse(self, now: float | None, before: float | None) -> bool:
        """Tell whether a grade has risen by the step that counts."""
        if now is None or before is None:
            return False
        return now - before >= self.tables.setting("loss_grade_step") - 1e-9

    def confirm(self, sheet: CaseSession, check: str) -> None:
        """Write a check down as it was: looked at again today, and unchanged.

        Raises:
            InputError: It was not made before.
        """
        row = sheet.check(check)
        grades = tuple(
            replace(grade, reason=_confirmed(grade.reason)) for grade in self.before.grades if grade.check == check
        )
        readings = tuple(
            replace(reading, remark=_confirmed(reading.remark)) for reading in readings_of(self.before, check)
        )
        if not grades and not readings:
            raise InputError(f"{row.label}: not inspected before the move; left open")
        case = sheet.case
        case = checked(case, row)
        sheet.change(
            replace(
                case,
                grades=(*(grade for grade in case.grades if grade.check != check), *grades),
                readings=(*(reading for reading in case.readings if reading.check != check), *readings),
            ),
            f"as before: {row.label.lower()}",
        )

    def overruled(self, component: str) -> bool:
        """Tell whether the assessor had put a grade of their own on a component."""
        given = overruling(self.before, component)
        return given is not None and not given.preliminary

    def confirm_overruling(self, sheet: CaseSession, component: str) -> None:
        """Put the assessor's own grade of a component down as it was.

        Raises:
            InputError: The component was not overruled before.
        """
        given = overruling(self.before, component)
        if given is None or given.preliminary:
            raise InputError("stand on a check: a part is as before when its checks are")
        sheet.overrule(component, given.grade, _confirmed(given.reason))

    def became(self, case: Case, number: int) -> RemarkClass | None:
        """Return what an earlier remark was ticked as; none where it has not been looked at again.

        Args:
            case: The case as it stands now.
            number: Of the remark in the earlier state, from 1.
        """
        now = [remark for remark in case.remarks if remark.earlier == number]
        if now:
            return RemarkClass.WORSE if any(remark.worse for remark in now) else RemarkClass.KEPT
        if case.earlier_state is not None and number in case.earlier_state.mended:
            return RemarkClass.MENDED
        return None

    def tick(self, sheet: CaseSession, number: int, became: RemarkClass | None) -> None:
        """Say what became of an earlier remark.

        Kept or worse, it stands among the remarks of today, the photo left out: that one shows how it was. Mended, it
        does not. None takes the tick back. The mark is older than the move and what has become of it need not be: a
        worse one is of unknown origin until somebody says more.

        Args:
            sheet: The worksheet.
            number: Of the remark in the earlier state, from 1.
            became: kept, worse or mended; none: not looked at yet.
        """
        case, was = sheet.case, self.before.remarks[number - 1]
        earlier = case.earlier_state
        if earlier is None:
            return
        mended = {*earlier.mended} - {number} | ({number} if became is RemarkClass.MENDED else set())
        now = [remark for remark in case.remarks if remark.earlier == number]
        remarks = [remark for remark in case.remarks if remark.earlier != number]
        if became in (RemarkClass.KEPT, RemarkClass.WORSE):
            worse = became is RemarkClass.WORSE
            kept = now or [_again(was, number)]
            remarks += [replace(remark, worse=worse, origin=_origin(remark.origin, worse=worse)) for remark in kept]
        sheet.change(
            replace(case, remarks=tuple(remarks), earlier_state=replace(earlier, mended=tuple(sorted(mended)))),
            f"earlier defect {became.value}" if became is not None else "fate of an earlier defect",
        )


def signs_at(case: Case, tables: Tables, place: str) -> tuple[str, ...]:
    """Return how fresh damage tells itself from old at one place, a line each.

    Args:
        case: What kind of instrument it is.
        tables: The signs.
        place: A station or a component.
    """
    return tuple(
        line
        for row in tables.damage_signs.values()
        if case.identity.kind in row.kinds and place in {*row.places, *(_station(tables, key) for key in row.places)}
        for line in (f"{row.label}. {row.typical}", f"Fresh: {row.fresh}", f"Old: {row.old}")
    )


def _station(tables: Tables, component: str) -> str:
    return tables.components[component].station


def arrival_of(sheet: CaseSession) -> Arrival | None:
    """Return the earlier state that a worksheet's case remembers, held to its hash; none where it remembers none.

    Raises:
        Unreadable: The frozen copy is gone, has been changed, or cannot be used.
    """
    earlier = sheet.case.earlier_state
    if earlier is None:
        return None
    # Ticks change what is remembered of the state, never the state.
    state, stamp = replace(earlier, mended=(), purpose="", trail=""), _stamp(sheet.path, earlier.file)
    return _read(sheet.path, state, sheet.tables, stamp, sheet.case.assignment.units)


@lru_cache(maxsize=4)
def _read(path: Path, earlier: EarlierState, tables: Tables, _stamp: tuple[int, int] | None, units: Units) -> Arrival:
    return Arrival(earlier_case(path, earlier, tables)[0], tables, units)


def _stamp(path: Path, name: str) -> tuple[int, int] | None:
    try:
        found = path.with_name(name).stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def begin(sheet: CaseSession, today: date, by: str, purpose: str = "") -> None:
    """Begin the inspection on arrival: the findings make room, for they stand in the earlier state.

    Args:
        sheet: A worksheet that remembers an earlier state.
        today: The day of the arrival inspection.
        by: Who inspects now; who inspected before stands in the earlier state. Empty where nobody says.
        purpose: Of this inspection.

    Raises:
        InputError: The day lies before that of the earlier state, or none is remembered.
    """
    case = sheet.case
    if case.earlier_state is None:
        raise InputError("keep the condition before the move first")
    if today < case.earlier_state.day:
        raise InputError(f"inspected before {case.earlier_state.day.isoformat()}, the day of the earlier inspection")
    asked = replace(
        case.assignment,
        inspected=today,
        reported=None,
        place="",
        limits="",
        assessor=by.strip(),
        purpose=purpose.strip(),
    )
    sheet.change(
        replace(case, assignment=asked, grades=(), readings=(), remarks=(), photos=(), drying_clues=(), left_out=()),
        "beginning of the arrival inspection",
    )


def _confirmed(text: str) -> str:
    plain = text.removesuffix(AS_BEFORE).strip()
    return f"{plain} {AS_BEFORE}".strip()


def _again(was: Remark, number: int) -> Remark:
    return replace(was, photos=(), earlier=number, worse=False)


def _origin(said: Origin, *, worse: bool) -> Origin:
    if worse:
        return Origin.UNKNOWN if said is Origin.BEFORE else said
    return Origin.BEFORE if said is Origin.UNKNOWN else said
