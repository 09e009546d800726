"""Provenance of a report, as every kind of report states it: amended report, trail line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.report.words import literal

if TYPE_CHECKING:
    from datetime import date

    from appraise.model.locale_format import Formatter


@dataclass(frozen=True, slots=True)
class Standing:
    """Provenance of a report: the report it amends and its line in the trail."""

    day: date | None = None
    """Of the report that this one amends; none for the first, and for a repetition."""
    sha256: str = ""
    """Of that report."""
    line: int = 0
    """Last line of work in the trail; 0 without one."""
    hash: str = ""
    """Of that line."""


FIRST = Standing()
"""Of a first report, beside whose case there is no trail."""


def amended(standing: Standing, manner: Formatter) -> tuple[tuple[str, str], ...]:
    """Return which report this one amends, where the case was changed since; label and words, or nothing."""
    if standing.day is None:
        return ()
    say = manner.say
    words = say("the report of {day}, SHA-256 {digest}", day=manner.day(standing.day), digest=literal(standing.sha256))
    return ((say("Amends"), words),)


def trailed(standing: Standing, manner: Formatter, *, absent: bool = False) -> tuple[tuple[str, str], ...]:
    """Return how far the trail of the case went, with the hash of its last line; label and words.

    Args:
        standing: In that trail.
        manner: In which it is said.
        absent: Also say that there was none; else that is nothing.
    """
    say = manner.say
    if not standing.line and not absent:
        return ()
    words = say("line {line}, hash {digest}", line=standing.line, digest=literal(standing.hash))
    if not standing.line:
        words = say("there was none beside the case when this was written")
    return ((say("Trail of the case up to this report"), words),)
