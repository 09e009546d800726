"""Work that waits beside a case file: done in an earlier session, neither saved nor given up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.services.file_state import digest
from appraise.services.history import BOUNDARIES, anchor, anchored, open_steps
from appraise.store.lock import Lock, me
from appraise.store.trail_file import read_tail, read_trail

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.trail import Record


def waiting_steps(path: Path, case: Case) -> int:
    """Count the steps that opening a case would offer to take up.

    Of a trail that ends in a save a few lines are read, of one with open steps those and what they start from; all of
    it only where the file is not as the trail left it.

    Args:
        path: The case file.
        case: What it holds.

    Returns:
        How many; 0 also where somebody has the case open, and where the trail cannot be read.
    """
    try:
        records: Sequence[Record] = read_tail(path, _enough)
        steps = open_steps(records)
        if not steps:
            return 0
        from appraise.services.opening import left_unsaved

        if Lock(path, me()).held_by() is not None:
            return 0
        found = digest(path)
        if anchored(records) != found:
            trail = read_trail(path)
            records = () if trail is None else trail.records
        return 0 if left_unsaved(case, records, found) is None else len(steps)
    except (OSError, ValueError):
        return 0


def _enough(records: Sequence[Record]) -> bool:
    """Say whether these last records tell what is open and from what it starts."""
    bounded = any(record.act in BOUNDARIES for record in records)
    return bounded and (not open_steps(records) or anchor(records) is not None)
