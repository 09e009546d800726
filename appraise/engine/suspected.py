"""A fault that is suspected: how likely it is there, and what its check counts for if it is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.engine.grade import Judged
    from appraise.tables.rows import Tables


def suspected_share(probability_pct: float | None, tables: Tables) -> float:
    """Return how likely a suspected fault is there [–]: as stated [%], else the table's."""
    return (tables.setting("suspected_pct") if probability_pct is None else probability_pct) / 100.0


def settled(judged: Judged) -> Judged:
    """Return the result of a suspected fault as if it were there."""
    found = judged.result
    if found.grade_there is None:
        return judged
    return replace(judged, result=replace(found, grade=found.grade_there, chance=0.0, grade_there=None))
