"""Charts of readings: the pitch log over time, and touch across the compass."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Drawing


def pitch_log(item: Appraisal) -> Drawing | None:
    """Draw every reading of the pitch log by day, with the drift and what is as new.

    Returns:
        None without a log.
    """
    return None


def touch(item: Appraisal) -> Drawing | None:
    """Draw downweight, upweight and friction across the compass, with what the tables want there.

    Returns:
        None where none was read note by note.
    """
    return None
