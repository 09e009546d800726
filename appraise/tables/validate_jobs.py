"""The rules of the table of jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Kind
from appraise.tables import rows, rows_worth
from appraise.tables.columns import shown
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.tables.sheet import Book

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
        book.rising(row, "hours_low", "hours_typical", "hours_high")
        book.rising(row, "parts_low", "parts_high")
        if row.hours_low <= 0 < row.hours_high:
            book.wrong(row, "hours_low", f"{row.hours_low:g}", "hours above 0, or 0 in all three")
        _improved(book, row, components)
        _steps(book, row, remedies)
        _causes(book, row, checks)
        _pieces(book, row, checks)
        _sizes(book, row)


def _improved(book: Book, row: rows_worth.Remedy, components: Mapping[str, rows.Component]) -> None:
    book.known(row, "improves", row.improves, components, "the key of a component")
    for name, grade in row.improves.items():
        if not 1 <= grade <= 5:
            book.wrong(row, "improves", f"{shown(name)} left at {grade:g}", "a grade from 1 to 5")
        component = components.get(name)
        if component is not None and not set(row.kinds) <= set(component.kinds):
            book.wrong(row, "improves", shown(name), f"a part of every {' and '.join(row.kinds)}")
    if row.resets and not row.improves:
        book.wrong(row, "resets", "true", "false, since it improves nothing")


def _steps(book: Book, row: rows_worth.Remedy, remedies: Mapping[str, rows_worth.Remedy]) -> None:
    book.known(row, "requires", row.requires, remedies, "the key of a remedy")
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
    book.known(row, "causes", row.causes, checks, "the key of a check")
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
