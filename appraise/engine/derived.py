"""Readings that follow from others at the same note: half the difference, half the sum."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.model.case import Case, Kind
    from appraise.tables.rows import Check, Tables


@lru_cache(maxsize=16)
def followers(tables: Tables, kind: Kind) -> tuple[Check, ...]:
    """Return the checks of this kind of instrument whose readings can follow from two others."""
    return tuple(
        check for check in tables.checks.values() if kind in check.kinds and (check.half_difference or check.half_sum)
    )


def following(case: Case, tables: Tables) -> dict[str, dict[int, float]]:
    """Return the readings that follow from others, by check and note.

    Args:
        case: The case; a check that has readings or a grade of its own is left alone.
        tables: Checks, with the two that each follows from.

    Returns:
        (first − second) / 2 or (first + second) / 2 at every note where both were read, in the unit of the check.
        For touch: friction (D − U) / 2 and balance weight (D + U) / 2 of down- and upweight.
    """
    rows = followers(tables, case.identity.kind)
    if not rows:
        return {}
    wanted = {key for row in rows for key in (*row.half_difference, *row.half_sum)}
    read: dict[str, dict[int, float]] = {key: {} for key in wanted}
    own = {grade.check for grade in case.grades}
    for reading in case.readings:
        own.add(reading.check)
        if reading.check in wanted and reading.note is not None and isinstance(reading.value, float):
            read[reading.check][reading.note] = reading.value
    found = {}
    for row in rows:
        if row.key in own:
            continue
        sign = -1.0 if row.half_difference else 1.0
        first, second = (read[key] for key in row.half_difference or row.half_sum)
        values = {note: 0.5 * (first[note] + sign * second[note]) for note in sorted(first) if note in second}
        if values:
            found[row.key] = values
    return found
