"""Whether the trail beside a case holds, and whether the case is what it says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from appraise.model.problem import Problem
from appraise.services.file_state import digest
from appraise.services.history import anchored, open_steps
from appraise.store.characters import one_line
from appraise.store.trail import problems_of, trail_path
from appraise.store.trail_file import read_trail

if TYPE_CHECKING:
    from pathlib import Path


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


def checked_trail(path: Path) -> Checked:
    """Check the trail beside a case file.

    Args:
        path: The case file.
    """
    try:
        trail = read_trail(path)
    except OSError as error:
        reason = one_line(error.strerror or str(error))
        file = one_line(str(trail_path(path)))
        problem = Problem(file, None, "", f"a trail that cannot be read ({reason})", "a readable file")
        return Checked(0, "", matches=False, unsaved=0, problems=(problem,))
    if trail is None:
        return Checked(0, "", matches=True, unsaved=0, problems=())
    return Checked(
        lines=len(trail.records),
        head=trail.records[-1].hash if trail.records else "",
        matches=anchored(trail.records) == digest(path),
        unsaved=len(open_steps(trail.records)),
        problems=tuple(problems_of(trail_path(path), trail)),
    )
