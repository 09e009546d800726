"""The rules of the tables that measurements rest on: norms by note, felts, clues to drying, wood, strings."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from appraise.model.notes import FIRST, LAST
from appraise.model.quantities import UNITS
from appraise.tables import rows, rows_measurements
from appraise.tables.columns import shown
from appraise.tables.rows import CheckKind
from appraise.tables.rows_measurements import DRIED_OUT

if TYPE_CHECKING:
    from appraise.tables.sheet import Book


def instrument_rules(book: Book) -> None:
    """Check every rule of these tables that looks at more than one cell.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    checks = {row.key: row for row in book.rows("checks", rows.Check)}
    for norm in book.rows("note_norms", rows_measurements.NoteNorm):
        check = checks.get(norm.check)
        if check is not None and not (check.per_note and check.kind is CheckKind.MEASURED):
            book.wrong(norm, "check", shown(norm.check), "a check measured note by note")
        if not norm.points or not FIRST <= norm.points[0][0] <= norm.points[-1][0] <= LAST:
            book.wrong(norm, "points", shown(norm.points), f"one point or more, at notes from {FIRST} to {LAST}")
    targets = {row.key: row for row in book.rows("regulation_targets", rows_measurements.RegulationTarget)}
    for target in targets.values():
        if target.key in target.disturbs:
            book.wrong(target, "disturbs", shown(target.key), "other adjustments")
        _judged_by(book, target, checks)


def _judged_by(book: Book, target: rows_measurements.RegulationTarget, checks: dict[str, rows.Check]) -> None:
    """Check that a tolerance stands in one place only: with a check, or in the row itself."""
    own = bool(target.anchors or target.plausible or target.unit)
    if target.check:
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


STORIES = (DRIED_OUT, "cycling", "untuned", "poor_work", "age")
"""The stories that the method tells apart."""


def drying_rules(book: Book) -> None:
    """Check every rule of the stories and of the clues.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    stories = book.rows("drying_stories", rows_measurements.DryingStory)
    for story in stories:
        book.one_of(story, "key", story.key, STORIES)
    rivals = [name for name in STORIES if name != DRIED_OUT]
    for clue in book.rows("drying_clues", rows_measurements.DryingClue):
        book.known(clue, "ratios", clue.ratios, rivals, "one of " + ", ".join(rivals))
        for rival in rivals:
            ratio = clue.ratios.get(rival)
            if ratio is None:
                book.wrong(clue, "ratios", f"no ratio against {rival}", "one against every rival story")
            elif not clue.seen_if_dried / 0.999 <= ratio <= clue.seen_if_dried / 0.001:
                low, high = clue.seen_if_dried / 0.999, clue.seen_if_dried / 0.001
                expected = f"a ratio from {low:.4g} to {high:.4g}: no story makes a clue certain or impossible"
                book.wrong(clue, "ratios", f"{rival} {ratio:g}", expected)
        _follows(book, clue)


def _follows(book: Book, clue: rows_measurements.DryingClue) -> None:
    """Check what makes a clue seen without the assessor's word."""
    checks = book.sheets["checks"].rows
    if bool(clue.checks) != (clue.from_grade is not None):
        found = "checks without from_grade" if clue.checks else "from_grade without checks"
        book.wrong(clue, "checks" if clue.checks else "from_grade", found, "both, or neither")
    if clue.above is not None or clue.below is not None:
        for key in clue.checks:
            row = checks.get(key)
            if isinstance(row, rows.Check) and row.kind not in (CheckKind.MEASURED, CheckKind.COUNT):
                book.wrong(clue, "checks", shown(key), "a measured or counted check, since a reading is compared")
    for key in clue.checks:
        row = checks.get(key)
        if isinstance(row, rows.Check) and row.kind is CheckKind.RECORD:
            book.wrong(clue, "checks", shown(key), "a check that carries a grade")


SORPTION_TERMS = ("w", "k", "k1", "k2")
"""Terms of the equation that the engine reckons with."""


def wood_rules(book: Book) -> None:
    """Check every rule of these tables.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    for term in book.rows("sorption", rows_measurements.SorptionTerm):
        book.one_of(term, "key", term.key, SORPTION_TERMS)
    _wire(book)
    _raises(book)


def _wire(book: Book) -> None:
    by_size = sorted(book.rows("wire_grid", rows_measurements.WireGridPoint), key=lambda point: point.diameter_in)
    for first, second in pairwise(by_size):
        if first.diameter_in == second.diameter_in:
            book.wrong(second, "diameter_in", f"{second.diameter_in:g} twice", "one row for each diameter")
    for strength in book.rows("wire_strengths", rows_measurements.WireStrength):
        given = (strength.a_mpa, strength.exponent, strength.from_mm, strength.to_mm)
        if strength.method == "fit" and None in given:
            book.wrong(strength, "method", "a fit that is not complete", "a_mpa, exponent, from_mm and to_mm")
        else:
            book.below(strength, "from_mm", "to_mm")


def _raises(book: Book) -> None:
    plan = sorted(book.rows("pitch_raises", rows_measurements.PitchRaise), key=lambda row: row.above_cents)
    for first, second in pairwise(plan):
        if first.up_to_cents != second.above_cents:
            expected = f"{first.up_to_cents:g}, where the row before ends"
            book.wrong(second, "above_cents", f"{second.above_cents:g}", expected)
    if plan and plan[0].above_cents != 0:
        book.wrong(plan[0], "above_cents", f"{plan[0].above_cents:g}", "0 in the first row")
