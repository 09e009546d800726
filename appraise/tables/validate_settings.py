"""The rules of the table of settings: every number within its own plausible range, and in order with its neighbours."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from appraise.model.plausible import MOST_TAKEN_PCT
from appraise.tables.columns import shown
from appraise.tables.files import nearest
from appraise.tables.rows import Setting

if TYPE_CHECKING:
    from appraise.tables.sheet import Book, Sheet

_RISING = (
    ("low_percentile", "high_percentile"),
    ("share_grade_2_pct", "share_grade_3_pct", "share_grade_4_pct", "share_grade_5_pct"),
    ("unknown_age_low", "unknown_age_high"),
    ("tenor_from_note", "treble_from_note"),
    ("coefficient_range_low", "coefficient_range_high"),
    ("agreed_pitch_low_hz", "standard_pitch_hz", "agreed_pitch_high_hz"),
)
"""Settings of which each must be less than the next."""

_NOT_FALLING = (
    ("salvage_grand_low", "salvage_grand_typical", "salvage_grand_high"),
    ("salvage_upright_low", "salvage_upright_typical", "salvage_upright_high"),
    ("incentive_low", "incentive_typical", "incentive_high"),
    ("pitch_steady_cents_a_year", "pitch_unclear_cents_a_year"),
)
"""Settings of which each must be at most the next."""


def keep_bounds(ours: Sheet, laid_over: Sheet) -> None:
    """Give the user's rows the plausible range of ours: a table of one's own may move a number, not its bounds.

    Args:
        ours: The program's own settings.
        laid_over: The same with the user's rows; those without a range of their own get ours.
    """
    for key in laid_over.yours:
        row, known = laid_over.rows[key], ours.rows.get(key)
        if isinstance(row, Setting) and isinstance(known, Setting):
            least = known.least if row.least is None else row.least
            most = known.most if row.most is None else row.most
            laid_over.rows[key] = replace(row, least=least, most=most, whole=known.whole)


def setting_rules(book: Book, ours: Sheet) -> None:
    """Check every rule of the table of settings.

    Args:
        book: All tables; what is wrong is noted in it.
        ours: The program's own settings, nothing laid over them.
    """
    settings = {row.key: row for row in book.rows("settings", Setting)}
    sound = {key for key, row in settings.items() if _within(book, row, ours)}
    _leave_something(book, settings, sound)
    for keys in _RISING:
        _in_order(book, settings, sound, keys, equal=False)
    for keys in _NOT_FALLING:
        _in_order(book, settings, sound, keys, equal=True)


def _within(book: Book, row: Setting, ours: Sheet) -> bool:
    """Tell whether a number lies within its range and the range within ours; note what is wrong."""
    known = ours.rows.get(row.key)
    if row.yours and not isinstance(known, Setting):
        mend = nearest(row.key, ours.rows)
        book.wrong(row, "key", shown(row.key), "the key of a setting that the program reads", mend)
        return False
    if row.least is None or row.most is None:
        column = "least" if row.least is None else "most"
        book.wrong(row, "", f"no {column}", "every row of settings to have one")
        return False
    if row.least >= row.most:
        book.wrong(row, "least", f"{row.least:g}", f"less than most, {row.most:g}")
        return False
    if row.yours and isinstance(known, Setting) and known.least is not None and known.most is not None:
        for column, bound in (("least", row.least), ("most", row.most)):
            if not known.least <= bound <= known.most:
                book.wrong(row, column, f"{bound:.15g}", f"a bound from {known.least:.15g} to {known.most:.15g}")
                return False
    if not row.least <= row.value <= row.most or (row.whole and row.value != int(row.value)):
        what = "a whole number" if row.whole else "a number"
        book.wrong(row, "value", f"{row.value:.15g}", f"{what} from {row.least:.15g} to {row.most:.15g}")
        return False
    return True


def _leave_something(book: Book, settings: dict[str, Setting], sound: set[str]) -> None:
    """Note shares of a resale price that leave nothing of it."""
    shares = {"margin_pct": 1.0, "holding_share": 100.0, "guarantee_share": 100.0}  # to percent
    taken = [settings[key] for key in shares if key in sound]
    total = sum(row.value * shares[row.key] for row in taken)
    if total > MOST_TAKEN_PCT:
        blamed = next((row for row in taken if row.yours), taken[0])
        expected = f"at most {MOST_TAKEN_PCT:g} % of a resale price for margin, holding and guarantee together"
        book.wrong(blamed, "value", f"{blamed.value:g}, which makes {total:g} %", expected)


def _in_order(book: Book, settings: dict[str, Setting], sound: set[str], keys: tuple[str, ...], *, equal: bool) -> None:
    """Note settings that do not rise; the user's row is named, where one is theirs."""
    for low, high in pairwise(settings[key] for key in keys if key in sound):
        if low.value < high.value or (equal and low.value == high.value):
            continue
        if high.yours and not low.yours:
            relation = "at least" if equal else "more than"
            book.wrong(high, "value", f"{high.value:g}", f"{relation} {low.key}, {low.value:g}")
        else:
            relation = "at most" if equal else "less than"
            book.wrong(low, "value", f"{low.value:g}", f"{relation} {high.key}, {high.value:g}")
