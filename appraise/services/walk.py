"""The eight stations as a person walks them: which checks there are, what has been answered, how far along."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from appraise.engine.derived import following
from appraise.engine.suspected import suspected_share
from appraise.model.case import STATIONS
from appraise.model.claim import Finding
from appraise.model.lazy_dataclass import dataclass
from appraise.model.quantities import unit_shown, with_unit
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.model.case import Case, Grade, Kind, Reading
    from appraise.model.quantities import Units
    from appraise.model.result import CheckResult, ComponentResult, Valuation
    from appraise.tables.rows import Check, Component, Tables


@dataclass(frozen=True, slots=True)
class Progress:
    """How far one station has been walked."""

    done: int
    total: int

    @property
    def finished(self) -> bool:
        """Nothing is left to look at."""
        return self.done >= self.total


@lru_cache(maxsize=64)
def components_of(tables: Tables, kind: Kind, station: str) -> tuple[Component, ...]:
    """Return a station's components that this kind of instrument has, in table order."""
    return tuple(row for row in tables.components.values() if row.station == station and kind in row.kinds)


@lru_cache(maxsize=64)
def checks_of(tables: Tables, kind: Kind, station: str) -> tuple[Check, ...]:
    """Return a station's checks for this kind of instrument, grouped by component in table order."""
    return tuple(
        check
        for component in components_of(tables, kind, station)
        for check in tables.checks.values()
        if check.component == component.key and check.station == station and kind in check.kinds
    )


def grade_given(case: Case, check: str) -> Grade | None:
    """Return the grade the assessor gave for one check."""
    return next((grade for grade in case.grades if grade.check == check), None)


def overruling(case: Case, component: str) -> Grade | None:
    """Return the grade by which the assessor overrules what the checks say of a component."""
    return next((grade for grade in case.grades if grade.component == component), None)


def readings_of(case: Case, check: str) -> list[Reading]:
    """Return the readings of one check, by note."""
    result = [reading for reading in case.readings if reading.check == check]
    return sorted(result, key=lambda reading: (reading.note or 0, reading.place))


def answered(case: Case) -> set[str]:
    """Return the keys of the checks that have a grade or a reading."""
    return {grade.check for grade in case.grades if grade.check} | {reading.check for reading in case.readings}


def progress(case: Case, tables: Tables) -> dict[str, Progress]:
    """Return how far each of the eight stations has been walked.

    What follows from other readings is done; what cannot be made here is not counted unless it was made.
    """
    done = answered(case) | set(following(case, tables))
    left_out = {left.check for left in case.left_out} - done
    result = {}
    for station in STATIONS:
        keys = [check.key for check in checks_of(tables, case.identity.kind, station) if check.key not in left_out]
        result[station] = Progress(sum(key in done for key in keys), len(keys))
    return result


def first_open(case: Case, tables: Tables, station: str) -> str | None:
    """Return the first check of a station that is still to be made, or else its first; none where it has none."""
    keys = [check.key for check in checks_of(tables, case.identity.kind, station)]
    dealt_with = answered(case) | set(following(case, tables)) | {left.check for left in case.left_out}
    return next((key for key in keys if key not in dealt_with), keys[0] if keys else None)


def first_unfinished(case: Case, tables: Tables) -> str:
    """Return the first station not finished, or the first of all."""
    walked = progress(case, tables)
    return next((station for station in STATIONS if not walked[station].finished), STATIONS[0])


@dataclass(frozen=True, slots=True)
class FormRow:
    """One line of a station's form."""

    key: str
    """Unique in the form: the check's key, or `component.` and the component's for a heading."""
    component: str
    check: Check | None
    """Absent for a heading."""
    label: str
    answer: str = ""
    """The finding, in a few words."""
    grade: float | None = None
    given: bool = False
    """The assessor gave the grade; else it follows from a reading."""
    expected: bool = False
    """For a heading: nobody has looked, the grade is what its age lets expect."""
    was: str = ""
    """The finding before a move, in a few words; empty where nobody inspected, or no state is remembered."""
    was_grade: float | None = None
    worse: bool = False
    """Its grade has risen since by the step that counts."""
    unit: str = ""
    """In which a number is awaited, as the case is measured; empty for a count and for what is no number."""
    left_out: bool = False
    """It cannot be made here."""


def form_rows(case: Case, tables: Tables, station: str, valued: tuple[Case, Valuation] | None) -> list[FormRow]:
    """Return a station's form: a heading for each component, its checks below.

    Args:
        case: The case as it stands.
        tables: The reference tables.
        station: Key of the station.
        valued: The last valuation and the case it is of. What was written since then has no figures yet; the others
            keep theirs, so that the form does not flicker while the next valuation is worked out.
    """
    results = {} if valued is None else _results(valued[1], station)
    since = set() if valued is None else _written_since(valued[0], case)
    rows: list[FormRow] = []
    kind = case.identity.kind
    checks = checks_of(tables, kind, station)
    for component in components_of(tables, kind, station):
        result = results.get(component.key)
        rows.append(_heading(case, component, result))
        found = {} if result is None else {check.check: check for check in result.checks}
        rows += [
            _check_row(case, tables, check, None if check.key in since else found.get(check.key))
            for check in checks
            if check.component == component.key
        ]
    return rows


def _written_since(before: Case, now: Case) -> set[str]:
    """Return the keys of the checks whose grade or readings are not what they were."""
    grades = () if now.grades is before.grades else {*now.grades} ^ {*before.grades}
    readings = () if now.readings is before.readings else {*now.readings} ^ {*before.readings}
    return {one.check for one in (*grades, *readings)}


def answer_of(reading: Reading) -> Finding:
    """Return what a yes-or-no check was answered with."""
    if reading.suspected:
        return Finding.SUSPECTED
    return Finding.YES if reading.value is True else Finding.NO


def suspected_at(probability_pct: float | None, tables: Tables) -> str:
    """Return how likely a suspected fault is: "suspected, 30 %"; with nothing stated, by the table."""
    return f"suspected, {100 * suspected_share(probability_pct, tables):g} %"


def suspected_told(probability_pct: float | None, tables: Tables) -> str:
    """Return the same with who says so, where that is the table: "suspected, 50 % by the table"."""
    return suspected_at(probability_pct, tables) + (" by the table" if probability_pct is None else "")


def answer_text(case: Case, tables: Tables, check: Check, result: CheckResult | None, units: Units) -> str:
    """Return what was found for one check, in a few words and these units; empty when nobody looked."""
    if check.kind is CheckKind.GRADED:
        given = grade_given(case, check.key)
        return "" if given is None else grade_word(tables, given.grade)
    readings = readings_of(case, check.key)
    if not readings:
        if result is None or result.value is None or not (check.half_difference or check.half_sum):
            return ""
        return f"{with_unit(float(f'{result.value:.3g}'), check.unit, units)} calculated"
    if check.kind is CheckKind.YES_NO:
        last = readings[-1]
        return suspected_at(last.probability_pct, tables) if last.suspected else answer_of(last)
    if check.kind is CheckKind.RECORD:
        return str(readings[-1].value)
    if len(readings) == 1 and isinstance(readings[0].value, float | int):
        return with_unit(readings[0].value, check.unit, units)
    if result is not None and result.value is not None:
        return f"{with_unit(result.value, check.unit, units)} ({len(readings)})"
    return f"{len(readings)} readings"


def grade_word(tables: Tables, grade: float) -> str:
    """Return the table's name for a condition grade."""
    row = next((row for row in tables.condition_classes.values() if row.grade == grade), None)
    return "" if row is None else row.label


def _results(valuation: Valuation, station: str) -> dict[str, ComponentResult]:
    return {component.component: component for component in valuation.station(station).components}


def _heading(case: Case, component: Component, result: ComponentResult | None) -> FormRow:
    key, label = f"component.{component.key}", component.named(case.identity.kind)
    overrule = overruling(case, component.key)
    if overrule is not None:
        word = "preliminary" if overrule.preliminary else "overruled"
        return FormRow(key, component.key, None, label, word, overrule.grade, given=True)
    if result is None:
        return FormRow(key, component.key, None, label)
    if result.derived_grade is None:
        expected = result.grade.mid
        return FormRow(key, component.key, None, label, "expected", expected, expected=True)
    return FormRow(key, component.key, None, label, "", result.derived_grade)


def _check_row(case: Case, tables: Tables, check: Check, result: CheckResult | None) -> FormRow:
    units = case.assignment.units
    answer, unit = answer_text(case, tables, check, result, units), unit_shown(check.unit, units)
    given = grade_given(case, check.key)
    if given is not None:
        return FormRow(check.key, check.component, check, check.label, answer, given.grade, given=True, unit=unit)
    # What is only suspected has no one grade.
    grade = None if result is None or not answer or result.chance else result.grade
    left_out = any(left.check == check.key for left in case.left_out)
    return FormRow(check.key, check.component, check, check.label, answer, grade, unit=unit, left_out=left_out)
