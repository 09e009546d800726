"""Whether the trail beside a case holds, and whether the case is what it says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from appraise.model.problem import Problem
from appraise.services.changes import differences
from appraise.services.file_state import digest
from appraise.services.history import anchored, open_steps, saved_state
from appraise.store.characters import error_text, sanitize_line
from appraise.store.findings import dotted
from appraise.store.plain_case import DecodeError
from appraise.store.trail import problems_of, trail_path
from appraise.store.trail_file import read_trail

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.trail import Record

NONE = "no trail beside it; a case without one is valid"


@dataclass(frozen=True, slots=True)
class Checked:
    """What a trail was found to be."""

    lines: int
    """0 without a trail."""
    head: str
    """Hash of the last line; empty without a trail."""
    matches: bool
    """True when the file is the one that the trail last named."""
    unsaved: int
    """Steps that were never saved, given up or set aside."""
    problems: tuple[Problem, ...]

    @property
    def words(self) -> str:
        """What there is to say, in one line."""
        if any(one.grave for one in self.problems):
            return f"a trail of {self.lines} lines whose chain is broken"
        if not self.lines:
            return NONE
        words = f"a trail of {self.lines} lines, whole; last hash {self.head}"
        if not self.matches:
            words += "; the file was changed outside since"
        if self.unsaved:
            words += f"; {self.unsaved} unsaved steps, which `appraise open` offers"
        return words

    def plain(self) -> dict[str, Any]:
        """Return it as JSON."""
        return {"lines": self.lines, "head": self.head, "matches_file": self.matches, "unsaved_steps": self.unsaved}


def checked_trail(path: Path, case: Case | None = None) -> Checked:
    """Check the trail beside a case file: its chain, and that its changes lead to what the file holds.

    Args:
        path: The case file.
        case: What the file holds; none: the changes are not followed.
    """
    try:
        trail = read_trail(path)
    except OSError as error:
        file = sanitize_line(str(trail_path(path)))
        problem = Problem(file, None, "", f"a trail that cannot be read ({error_text(error)})", "a readable file")
        return Checked(0, "", matches=False, unsaved=0, problems=(problem,))
    if trail is None:
        return Checked(0, "", matches=True, unsaved=0, problems=())
    matches = anchored(trail.records) == digest(path)
    problems = problems_of(trail_path(path), trail)
    if matches and case is not None and not any(problem.grave for problem in problems):
        problems += _unexplained(path, case, trail.records)
    return Checked(
        lines=len(trail.records),
        head=trail.records[-1].hash if trail.records else "",
        matches=matches,
        unsaved=len(open_steps(trail.records)),
        problems=tuple(problems),
    )


def _unexplained(path: Path, case: Case, records: Sequence[Record]) -> list[Problem]:
    """Say where the file holds what no change of its trail led to, though the trail names this very content."""
    try:
        led_to = saved_state(records)
    except DecodeError:
        return []  # of another layout, or begun elsewhere: it cannot be followed
    other = differences(led_to, case)
    if not other:
        return []
    key, more = dotted(other[0].path), f" and {len(other) - 1} more" if len(other) > 1 else ""
    found = f"changes that do not lead to what {sanitize_line(path.name)} holds ({key}{more})"
    return [Problem(sanitize_line(str(trail_path(path))), None, "", found, "every change of the case, in its order")]
