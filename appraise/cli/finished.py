"""A finished report and the trail of its case: what it amends before it is written, what it froze afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.diagnostics import complain
from appraise.store.characters import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from appraise.report.appraisal import Appraisal
    from appraise.report.loss.compared import Compared


def standing_of(path: Path, item: Appraisal | Compared) -> Appraisal | Compared:
    """Return a valued case that knows which report it amends and how far its trail goes; a loss as it is.

    Args:
        path: The case file.
        item: What was valued.
    """
    from appraise.report.appraisal import Appraisal
    from appraise.services.reported import with_standing

    return with_standing(path, item) if isinstance(item, Appraisal) else item


def record(path: Path, item: Appraisal | Compared, targets: Iterable[Path], command: str = "report") -> None:
    """Put finished reports into the trail of their case; where that is impossible it is said, and they stand.

    A loss goes into the trail of the state after, with the hash of the state before.

    Args:
        path: The case file; of a loss, that of the state after.
        item: What they were made from.
        targets: The files that were written.
        command: In whose name it is said.
    """
    from appraise.services.reported import record_document

    for target in targets:
        if not target.is_file():
            continue  # a pipe or a device: what went there cannot be hashed any more
        wrong = record_document(path, item, target)
        if wrong:
            shown = f"appraise {command}: {one_line(str(target))}"
            complain(f"{shown} is written, but not in the trail of the case: {wrong}")
