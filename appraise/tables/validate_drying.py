"""The rules of the tables behind "has it dried out?"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.tables import rows, rows_drying
from appraise.tables.columns import shown
from appraise.tables.rows import CheckKind
from appraise.tables.rows_drying import DRIED_OUT

if TYPE_CHECKING:
    from appraise.tables.sheet import Book

STORIES = (DRIED_OUT, "cycling", "untuned", "poor_work", "age")
"""The stories that the method tells apart."""
VERDICTS = ("steady", "seasonal", "drifting_flat", "drifting_sharp", "not_enough")
"""What a pitch log can come to."""


def drying_rules(book: Book) -> None:
    """Check every rule of the stories and of the clues.

    Args:
        book: All tables; what is wrong is noted in it.
    """
    stories = book.rows("drying_stories", rows_drying.DryingStory)
    for story in stories:
        book.one_of(story, "key", story.key, STORIES)
    rivals = [name for name in STORIES if name != DRIED_OUT]
    for clue in book.rows("drying_clues", rows_drying.DryingClue):
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


def _follows(book: Book, clue: rows_drying.DryingClue) -> None:
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
