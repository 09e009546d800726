"""The rules of the tables that the instruments read: norms by note, regulation, damper felts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.notes import FIRST, LAST
from appraise.model.quantities import UNITS
from appraise.tables import rows, rows_notes
from appraise.tables.columns import shown
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.tables.sheet import Book

_SHEETS = ("action", "dampers")
_FELTS = ("wedge", "any")


def instrument_rules(book: Book) -> None:
    """Check every rule of these tables that looks at more than one cell.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    checks = {row.key: row for row in book.rows("checks", rows.Check)}
    for norm in book.rows("note_norms", rows_notes.NoteNorm):
        book.known(norm, "check", (norm.check,), checks, "the key of a check")
        check = checks.get(norm.check)
        if check is not None and not (check.per_note and check.kind is CheckKind.MEASURED):
            book.wrong(norm, "check", shown(norm.check), "a check measured note by note")
        if not norm.points or not FIRST <= norm.points[0][0] <= norm.points[-1][0] <= LAST:
            book.wrong(norm, "points", shown(norm.points), f"one point or more, at notes from {FIRST} to {LAST}")
    targets = {row.key: row for row in book.rows("regulation_targets", rows_notes.RegulationTarget)}
    for target in targets.values():
        book.one_of(target, "sheet", target.sheet, _SHEETS)
        book.known(target, "disturbs", target.disturbs, targets, "the key of an adjustment")
        if target.key in target.disturbs:
            book.wrong(target, "disturbs", shown(target.key), "other adjustments")
        _judged_by(book, target, checks)
    for reach in book.rows("damper_reach", rows_notes.DamperReach):
        book.one_of(reach, "felt", reach.felt, _FELTS)
        book.rising(reach, "note_low", "note_high")


def _judged_by(book: Book, target: rows_notes.RegulationTarget, checks: dict[str, rows.Check]) -> None:
    """Check that a tolerance stands in one place only: with a check, or in the row itself."""
    own = bool(target.anchors or target.plausible or target.unit)
    if target.check:
        book.known(target, "check", (target.check,), checks, "the key of a check")
        if own:
            book.wrong(target, "check", shown(target.check), "no unit, anchors and plausible range beside it")
        check = checks.get(target.check)
        if check is not None and not check.anchors:
            book.wrong(target, "check", shown(target.check), "a check with anchors")
        if check is not None and not set(target.kinds) <= set(check.kinds):
            book.wrong(target, "kinds", shown([*target.kinds]), f"kinds that the check {check.key} is for")
        return
    if target.unit not in UNITS or UNITS[target.unit].base != target.unit or not target.unit:
        book.wrong(target, "unit" if target.unit else "", shown(target.unit), "a unit, since no check is named")
    if len(target.anchors) < 2 or not all(1 <= grade <= 5 for _, grade in target.anchors):
        book.wrong(target, "anchors" if target.anchors else "", shown(target.anchors), "two or more [value, grade]")
    elif target.plausible is None or not (
        target.plausible[0] <= target.anchors[0][0] <= target.anchors[-1][0] <= target.plausible[1]
    ):
        book.wrong(target, "", shown(target.plausible), "a plausible range that holds the anchors")
