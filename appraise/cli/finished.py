"""A finished report and the trail of its case: what it amends before it is written, what it froze afterwards."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import complain
from appraise.store.characters import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from appraise.report.appraisal import Appraisal


def standing_of(path: Path, item: Appraisal) -> Appraisal:
    """Return a valued case that knows which report it amends and how far its trail goes.

    Args:
        path: The case file.
        item: What was valued.
    """
    from appraise.services.reported import standing

    found = standing(path, item.sha256)
    return replace(item, amends=found.amends, trail=found.trail)


def record(path: Path, item: Appraisal, targets: Iterable[Path]) -> None:
    """Put finished reports into the trail of their case; where that is impossible it is said, and they stand.

    Args:
        path: The case file.
        item: What they were made from.
        targets: The files that were written.
    """
    from appraise.services.reported import record_report

    for target in targets:
        if not target.is_file():
            continue  # a pipe or a device: what went there cannot be hashed any more
        wrong = record_report(path, item.sha256, target, item.tables)
        if wrong:
            complain(f"appraise report: {one_line(str(target))} is written, but not in the trail of the case: {wrong}")
