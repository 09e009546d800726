"""The rules of the tables of checks and jobs."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from appraise.model.case import Kind
from appraise.model.quantities import UNITS
from appraise.tables import rows, rows_worth
from appraise.tables.columns import shown
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.tables.sheet import Book


_WORST = 5.0


def check_rules(book: Book) -> None:
    """Check every rule of the table of checks.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    components = {row.key: row for row in book.rows("components", rows.Component)}
    checks = {row.key: row for row in book.rows("checks", rows.Check)}
    for row in checks.values():
        component = components.get(row.component)
        if component is not None:
            if component.station != row.station:
                found = f"{shown(component.key)}, which belongs to {component.station}"
                book.wrong(row, "component", found, f"a component of {row.station}, the station of this file")
            if not set(row.kinds) <= set(component.kinds):
                book.wrong(row, "kinds", shown([*row.kinds]), f"kinds that have a {component.key}")
        if row.each and row.kind is not CheckKind.COUNT:
            book.wrong(row, "each", "true", "only a check that counts")
        _scale(book, row)
        _words(book, row)
        _follows(book, row, checks)
        _together(book, row, checks)
        if row.weight <= 0 and row.kind is not CheckKind.RECORD:
            book.wrong(row, "weight", f"{row.weight:g}", "a weight above 0")
    grading = [row for row in checks.values() if row.kind is not CheckKind.RECORD]
    for component in components.values():
        for kind in component.kinds:
            if not any(row.component == component.key and kind in row.kinds for row in grading):
                book.wrong(component, "key", f"no check that grades it in {kind.named}", "one at least")


def _follows(book: Book, row: rows.Check, checks: Mapping[str, rows.Check]) -> None:
    """Check the two checks from which readings follow."""
    if row.half_difference and row.half_sum:
        book.wrong(row, "half_sum", "a half sum beside a half difference", "one of the two")
    for column in ("half_difference", "half_sum"):
        names = getattr(row, column)
        if not names:
            continue
        if len(names) != 2:
            book.wrong(row, column, f"{len(names)} checks", "two")
        for other in (checks[name] for name in names if name in checks):
            if not (other.per_note and row.per_note and other.unit == row.unit):
                book.wrong(row, column, shown(other.key), f"checks made note by note in {row.unit}")


def _together(book: Book, row: rows.Check, checks: Mapping[str, rows.Check]) -> None:
    """Check the checks that one is judged together with."""
    for other in (checks[name] for name in row.judged_with if name in checks):
        if other.key == row.key or other.component != row.component or other.kind is CheckKind.RECORD:
            found, expected = shown(other.key), f"another check that grades {row.component}"
            book.wrong(row, "judged_with", found, expected)
    if row.ahead and not row.judged_with:
        book.wrong(row, "ahead", f"{row.ahead:g}", "none, since the check is judged by itself")


def _scale(book: Book, row: rows.Check) -> None:
    """Check units, anchors and answers against the kind of check."""
    numeric = row.kind in {CheckKind.MEASURED, CheckKind.COUNT}
    if row.kind is CheckKind.MEASURED:
        if not row.unit:
            book.wrong(row, "", "no unit", "one, since the check is measured")
        elif row.unit not in UNITS or UNITS[row.unit].base != row.unit:
            bases = sorted({unit.base for unit in UNITS.values() if unit.base})
            book.wrong(row, "unit", shown(row.unit), "one of " + ", ".join(bases))
    elif row.unit:
        book.wrong(row, "unit", shown(row.unit), "none, since the check is not measured")
    if numeric:
        _anchors(book, row)
        if row.plausible is None:
            book.wrong(row, "", "no plausible range", "one, since the check gives a number")
        elif row.anchors and not row.plausible[0] <= row.anchors[0][0] <= row.anchors[-1][0] <= row.plausible[1]:
            book.wrong(row, "plausible", shown(row.plausible), "a range that holds the anchors")
    elif row.anchors or row.plausible:
        column = "anchors" if row.anchors else "plausible"
        book.wrong(row, column, f"{column} of a check that is {row.kind}", "them only where the check gives a number")
    if row.kind is CheckKind.YES_NO and row.grade_yes == row.grade_no:
        book.wrong(row, "", f"{row.grade_yes:g} for yes and for no", "two different grades")
    if row.per_note and not numeric and row.kind is not CheckKind.GRADED:
        book.wrong(row, "per_note", "true", "false, since the check is neither measured, counted nor graded")


def _anchors(book: Book, row: rows.Check) -> None:
    grades = [grade for _, grade in row.anchors]
    if len(grades) < 2:
        book.wrong(row, "anchors" if grades else "", f"{len(grades)} anchors", "two or more points [value, grade]")
        return
    if not 1 <= min(grades) <= max(grades) <= _WORST:
        book.wrong(row, "anchors", shown(row.anchors), "grades from 1 to 5")
    risen = False
    for first, second in pairwise(grades):
        if second > first:
            risen = True
        elif second < first and risen:
            book.wrong(row, "anchors", shown(row.anchors), "grades that rise, fall, or fall and then rise")
            return


def _words(book: Book, row: rows.Check) -> None:
    if row.kind is CheckKind.GRADED and len(row.words) < 2:
        book.wrong(row, "words" if row.words else "", f"{len(row.words)} wordings", "two or more, since it is graded")


_PER = ("", "note")


def job_rules(book: Book) -> None:
    """Check every rule of the table of jobs.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    components = {row.key: row for row in book.rows("components", rows.Component)}
    checks = {row.key: row for row in book.rows("checks", rows.Check)}
    remedies = {row.key: row for row in book.rows("remedies", rows_worth.Remedy)}
    for row in remedies.values():
        if row.hours_low <= 0 < row.hours_high:
            book.wrong(row, "hours_low", f"{row.hours_low:g}", "hours above 0, or 0 in all three")
        _improved(book, row, components)
        _steps(book, row, remedies)
        _causes(book, row, checks)
        _pieces(book, row, checks)
        _sizes(book, row)


def _improved(book: Book, row: rows_worth.Remedy, components: Mapping[str, rows.Component]) -> None:
    for name, grade in row.improves.items():
        if not 1 <= grade <= 5:
            book.wrong(row, "improves", f"{shown(name)} left at {grade:g}", "a grade from 1 to 5")
        component = components.get(name)
        if component is not None and not set(row.kinds) <= set(component.kinds):
            book.wrong(row, "improves", shown(name), f"a part of every {' and '.join(row.kinds)}")
    if row.resets and not row.improves:
        book.wrong(row, "resets", "true", "false, since it improves nothing")


def _steps(book: Book, row: rows_worth.Remedy, remedies: Mapping[str, rows_worth.Remedy]) -> None:
    for name in row.requires:
        step = remedies.get(name)
        if step is not None and not set(row.kinds) <= set(step.kinds):
            book.wrong(row, "requires", shown(name), f"a step for every {' and '.join(row.kinds)}")
        if step is not None and step.per:
            book.wrong(row, "requires", shown(name), "a step that is done whatever is counted")
    if _returns(row.key, remedies):
        book.wrong(row, "requires", shown(list(row.requires)), "steps that do not lead back to this remedy")


def _returns(start: str, remedies: Mapping[str, rows_worth.Remedy]) -> bool:
    """Tell whether a remedy requires itself, however far around."""
    waiting, seen = list(remedies[start].requires), set[str]()
    while waiting:
        name = waiting.pop()
        if name == start:
            return True
        if name in remedies and name not in seen:
            seen.add(name)
            waiting.extend(remedies[name].requires)
    return False


def _causes(book: Book, row: rows_worth.Remedy, checks: Mapping[str, rows.Check]) -> None:
    """Check the findings that a job answers; a job that improves nothing may answer those of any component."""
    for name in row.causes:
        check = checks.get(name)
        if check is None:
            continue
        if check.kind is CheckKind.RECORD:
            book.wrong(row, "causes", shown(name), "a check that carries a grade")
        if check.no_cure:
            book.wrong(row, "causes", shown(name), "a check that does not say why no job is made for it")
        if not set(row.kinds) & set(check.kinds):
            book.wrong(row, "causes", shown(name), f"a check made on a {' or '.join(row.kinds)}")
        if row.improves and check.component not in row.improves:
            found = f"{shown(name)}, which belongs to {check.component}"
            book.wrong(row, "causes", found, "a check of a component that it improves")


def _pieces(book: Book, row: rows_worth.Remedy, checks: Mapping[str, rows.Check]) -> None:
    """Check what a job by the piece needs."""
    if row.per not in _PER:
        book.wrong(row, "per", shown(row.per), '"note", or nothing for the whole job')
    if row.setup_hours and not row.per:
        book.wrong(row, "setup_hours", f"{row.setup_hours:g}", "none, since the hours are for the whole job")
    if not row.per:
        return
    if not row.causes:
        book.wrong(row, "per", shown(row.per), "checks in causes that say how many pieces there are")
    for name in row.causes:
        check = checks.get(name)
        if (
            check is not None
            and check.kind is not CheckKind.COUNT
            and not (check.per_note and check.kind is CheckKind.MEASURED)
        ):
            book.wrong(row, "causes", shown(name), "a check that counts pieces or is measured note by note")


def _sizes(book: Book, row: rows_worth.Remedy) -> None:
    """Check the factors by size; that the sizes rise is checked where the points are read."""
    for kind in Kind:
        column = f"size_{kind}"
        points: tuple[tuple[float, float], ...] = getattr(row, column)
        if points and kind not in row.kinds:
            book.wrong(row, column, shown(points), f"none, since it is no job for {kind.named}")
        if any(not 1 <= size <= 1000 or not 0.001 <= factor <= 100 for size, factor in points):
            book.wrong(row, column, shown(points), "sizes and factors above 0: from 1 to 1000, and from 0.001 to 100")
