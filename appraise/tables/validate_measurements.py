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


_SHEETS = ("action", "dampers")
_FELTS = ("wedge", "any")


def instrument_rules(book: Book) -> None:
    """Check every rule of these tables that looks at more than one cell.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    checks = {row.key: row for row in book.rows("checks", rows.Check)}
    for norm in book.rows("note_norms", rows_measurements.NoteNorm):
        book.known(norm, "check", (norm.check,), checks, "the key of a check")
        check = checks.get(norm.check)
        if check is not None and not (check.per_note and check.kind is CheckKind.MEASURED):
            book.wrong(norm, "check", shown(norm.check), "a check measured note by note")
        if not norm.points or not FIRST <= norm.points[0][0] <= norm.points[-1][0] <= LAST:
            book.wrong(norm, "points", shown(norm.points), f"one point or more, at notes from {FIRST} to {LAST}")
    targets = {row.key: row for row in book.rows("regulation_targets", rows_measurements.RegulationTarget)}
    for target in targets.values():
        book.one_of(target, "sheet", target.sheet, _SHEETS)
        book.known(target, "disturbs", target.disturbs, targets, "the key of an adjustment")
        if target.key in target.disturbs:
            book.wrong(target, "disturbs", shown(target.key), "other adjustments")
        _judged_by(book, target, checks)
    for reach in book.rows("damper_reach", rows_measurements.DamperReach):
        book.one_of(reach, "felt", reach.felt, _FELTS)
        book.rising(reach, "note_low", "note_high")


def _judged_by(book: Book, target: rows_measurements.RegulationTarget, checks: dict[str, rows.Check]) -> None:
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


STORIES = (DRIED_OUT, "cycling", "untuned", "poor_work", "age")
"""The stories that the method tells apart."""
VERDICTS = ("steady", "seasonal", "drifting_flat", "drifting_sharp", "not_enough")
"""Verdicts of a pitch log."""


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
    book.known(clue, "checks", clue.checks, checks, "the key of a check")
    book.known(clue, "climates", clue.climates, book.sheets["climates"].rows, "the key of a climate")
    if clue.verdict:
        book.one_of(clue, "verdict", clue.verdict, VERDICTS)
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
STRENGTH_METHODS = ("grid_low", "grid_high", "fit")


def wood_rules(book: Book) -> None:
    """Check every rule of these tables.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    for wood in book.rows("woods", rows_measurements.Wood):
        book.rising(wood, "radial", "tangential")
    for term in book.rows("sorption", rows_measurements.SorptionTerm):
        book.one_of(term, "key", term.key, SORPTION_TERMS)
    for limit in book.rows("climate_limits", rows_measurements.ClimateLimit):
        if limit.rh_low >= limit.rh_high:
            book.wrong(limit, "rh_low", f"{limit.rh_low:g}", f"less than rh_high, {limit.rh_high:g}")
    for time in book.rows("settling_times", rows_measurements.SettlingTime):
        book.rising(time, "days_low", "days_high")
    for ceiling in book.rows("tension_ceilings", rows_measurements.TensionCeiling):
        book.rising(ceiling, "usual_pct", "ceiling_pct")
    for pull in book.rows("overpulls", rows_measurements.Overpull):
        book.rising(pull, "usual_cents", "most_cents")
    for reading in book.rows("reading_ranges", rows_measurements.ReadingRange):
        book.rising(reading, "low", "usual_low", "usual_high", "high")
    _wire(book)
    _raises(book)


def _wire(book: Book) -> None:
    for point in book.rows("wire_grid", rows_measurements.WireGridPoint):
        book.rising(point, "low_ksi", "high_ksi")
    by_size = sorted(book.rows("wire_grid", rows_measurements.WireGridPoint), key=lambda point: point.diameter_in)
    for first, second in pairwise(by_size):
        if first.diameter_in == second.diameter_in:
            book.wrong(second, "diameter_in", f"{second.diameter_in:g} twice", "one row for each diameter")
    for strength in book.rows("wire_strengths", rows_measurements.WireStrength):
        book.one_of(strength, "method", strength.method, STRENGTH_METHODS)
        given = (strength.a_mpa, strength.exponent, strength.from_mm, strength.to_mm)
        if strength.method == "fit" and None in given:
            book.wrong(strength, "method", "a fit that is not complete", "a_mpa, exponent, from_mm and to_mm")
        elif strength.from_mm is not None and strength.to_mm is not None and strength.from_mm >= strength.to_mm:
            book.wrong(strength, "from_mm", f"{strength.from_mm:g}", f"less than to_mm, {strength.to_mm:g}")


def _raises(book: Book) -> None:
    plan = sorted(book.rows("pitch_raises", rows_measurements.PitchRaise), key=lambda row: row.above_cents)
    for row in plan:
        book.rising(row, "passes_low", "passes_high")
        if row.above_cents >= row.up_to_cents:
            book.wrong(row, "above_cents", f"{row.above_cents:g}", f"less than up_to_cents, {row.up_to_cents:g}")
    for first, second in pairwise(plan):
        if first.up_to_cents != second.above_cents:
            expected = f"{first.up_to_cents:g}, where the row before ends"
            book.wrong(second, "above_cents", f"{second.above_cents:g}", expected)
    if plan and plan[0].above_cents != 0:
        book.wrong(plan[0], "above_cents", f"{plan[0].above_cents:g}", "0 in the first row")
