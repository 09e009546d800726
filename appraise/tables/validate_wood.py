"""The rules of the tables about wood, climate and strings."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from appraise.tables import rows_wood as rows

if TYPE_CHECKING:
    from appraise.tables.sheet import Book

SORPTION_TERMS = ("w", "k", "k1", "k2")
"""Terms of the equation that the engine reckons with."""
STRENGTH_METHODS = ("grid_low", "grid_high", "fit")


def wood_rules(book: Book) -> None:
    """Check every rule of these tables.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    for wood in book.rows("woods", rows.Wood):
        book.rising(wood, "radial", "tangential")
    for term in book.rows("sorption", rows.SorptionTerm):
        book.one_of(term, "key", term.key, SORPTION_TERMS)
    for limit in book.rows("climate_limits", rows.ClimateLimit):
        if limit.rh_low >= limit.rh_high:
            book.wrong(limit, "rh_low", f"{limit.rh_low:g}", f"less than rh_high, {limit.rh_high:g}")
    for time in book.rows("settling_times", rows.SettlingTime):
        book.rising(time, "days_low", "days_high")
    for ceiling in book.rows("tension_ceilings", rows.TensionCeiling):
        book.rising(ceiling, "usual_pct", "ceiling_pct")
    for pull in book.rows("overpulls", rows.Overpull):
        book.rising(pull, "usual_cents", "most_cents")
    for reading in book.rows("reading_ranges", rows.ReadingRange):
        book.rising(reading, "low", "usual_low", "usual_high", "high")
    _wire(book)
    _raises(book)


def _wire(book: Book) -> None:
    for point in book.rows("wire_grid", rows.WireGridPoint):
        book.rising(point, "low_ksi", "high_ksi")
    by_size = sorted(book.rows("wire_grid", rows.WireGridPoint), key=lambda point: point.diameter_in)
    for first, second in pairwise(by_size):
        if first.diameter_in == second.diameter_in:
            book.wrong(second, "diameter_in", f"{second.diameter_in:g} twice", "one row for each diameter")
    for strength in book.rows("wire_strengths", rows.WireStrength):
        book.one_of(strength, "method", strength.method, STRENGTH_METHODS)
        given = (strength.a_mpa, strength.exponent, strength.from_mm, strength.to_mm)
        if strength.method == "fit" and None in given:
            book.wrong(strength, "method", "a fit that is not complete", "a_mpa, exponent, from_mm and to_mm")
        elif strength.from_mm is not None and strength.to_mm is not None and strength.from_mm >= strength.to_mm:
            book.wrong(strength, "from_mm", f"{strength.from_mm:g}", f"less than to_mm, {strength.to_mm:g}")


def _raises(book: Book) -> None:
    plan = sorted(book.rows("pitch_raises", rows.PitchRaise), key=lambda row: row.above_cents)
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
