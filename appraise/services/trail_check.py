"""The audit of a trail beside a case: its chain, and the case against its last state."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem
from appraise.model.unsafe import error_text, sanitize_line
from appraise.services.case_diff import differences
from appraise.services.custody import documents_beside, earlier_known
from appraise.services.file_state import digest
from appraise.services.history import anchor, anchored, open_steps, replayed, saved_state, worked_on
from appraise.store.document import to_document
from appraise.store.findings import dotted
from appraise.store.plain_case import DecodeError
from appraise.store.trail import LAYOUT, problems_of, trail_path
from appraise.store.trail_file import read_trail

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.trail import Record

NONE = "no trail beside it; a case without one is valid"


@dataclass(frozen=True, slots=True)
class Checked:
    """Finding on a trail."""

    lines: int
    """0 without a trail."""
    head: str
    """Hash of the last line; empty without a trail."""
    matches: bool
    """True when the file is the one that the trail last named, or what its open steps lead to."""
    unsaved: int
    """Steps that were never saved, given up or set aside."""
    problems: tuple[Problem, ...]
    broken: bool = False
    """True where the chain does not hold."""

    @property
    def words(self) -> str:
        """The finding in one line."""
        if self.broken:
            return f"a trail of {self.lines} lines whose chain is broken"
        if not self.lines:
            return NONE
        words = f"a trail of {self.lines} lines, whole; last hash {self.head}"
        if self.unsaved:
            words += f"; {self.unsaved} unsaved steps, which `appraise open` offers"
        return words


def checked_trail(path: Path, case: Case | None = None, printed: str = "") -> Checked:
    """Check the trail beside a case file: its chain, and that its changes lead to what the file holds.

    Args:
        path: The case file.
        case: What the file holds; none: the changes are not followed.
        printed: Hash of a line, or its first digits, as a document printed it; empty where nobody asks.
    """
    try:
        trail = read_trail(path)
    except OSError as error:
        file = sanitize_line(str(trail_path(path)))
        problem = Problem(file, None, "", f"a trail that cannot be read ({error_text(error)})", "a readable file")
        return Checked(0, "", matches=False, unsaved=0, problems=(problem,))
    shown = sanitize_line(str(path))
    if trail is None:
        missing = [] if case is None else earlier_known(shown, case, ()) or _gone(path, case)
        missing += _printed(path, (), printed)
        return Checked(0, "", matches=not missing, unsaved=0, problems=tuple(missing))
    matches = anchored(trail.records) == digest(path)
    problems = problems_of(trail_path(path), trail)
    if not trail.records and not trail.breaks:
        problems.append(_emptied(path))
    elif case is not None and not any(problem.grave for problem in problems):
        if matches:
            problems += _unexplained(path, case, trail.records)
        elif _as_left(case, trail.records):
            matches = True
        else:
            problems.append(_changed_outside(path, trail.records))
    if case is not None and trail.records:
        problems += earlier_known(shown, case, trail.records)
    problems += _printed(path, trail.records, printed)
    problems += documents_beside(path, trail.records)
    return Checked(
        lines=len(trail.records),
        head=trail.records[-1].hash if trail.records else "",
        matches=matches,
        unsaved=len(open_steps(trail.records)),
        problems=tuple(problems),
        broken=bool(trail.breaks),
    )


def _printed(path: Path, records: Sequence[Record], printed: str) -> list[Problem]:
    if not printed or any(one.hash.startswith(printed) for one in records):
        return []
    found = f"no line with the hash {printed[:12]}…"
    mend = "its last lines were cut off, it was deleted or computed anew, or the document is of another case"
    return [Problem(sanitize_line(str(trail_path(path))), None, "", found, "the line that a document printed", mend)]


def _gone(path: Path, case: Case) -> list[Problem]:
    if not worked_on(path, case):
        return []
    found = "no trail beside it, though a save has kept an earlier version of the case"
    mend = "it was deleted, or could not be written; put it back from a copy"
    return [Problem(sanitize_line(str(path)), None, "", found, f"{sanitize_line(trail_path(path).name)}", mend)]


def _emptied(path: Path) -> Problem:
    mend = "it was emptied, or a crash came before its first line; compare with a copy"
    return Problem(sanitize_line(str(trail_path(path))), None, "", "an empty trail", "the lines of its case", mend)


def _as_left(case: Case, records: Sequence[Record]) -> bool:
    """Tell whether the file holds what the open steps lead to: a save reached it and a crash came before its line."""
    steps = open_steps(records)
    if not steps:
        return False
    try:
        return to_document(replayed(saved_state(records), steps).case) == to_document(case)
    except DecodeError:
        return False


def _changed_outside(path: Path, records: Sequence[Record]) -> Problem:
    last, found = anchor(records), f"another content (SHA-256 {digest(path)[:12]}…)"
    shown, mend = (
        sanitize_line(str(path)),
        "it was changed outside the program; the next work on it logs the difference",
    )
    if last is None:
        return Problem(shown, None, "", found, "one that its trail names", mend)
    expected = f"{str(last.more.get('file'))[:12]}…, as line {last.line} of its trail has it"
    return Problem(shown, None, "", found, sanitize_line(expected), mend)


def _unexplained(path: Path, case: Case, records: Sequence[Record]) -> list[Problem]:
    """Say where the file holds what no change of its trail led to, though the trail names this very content."""
    shown, every = sanitize_line(str(trail_path(path))), "every change of the case, in its order"
    try:
        led_to = saved_state(records)
    except DecodeError as error:
        if any(one.act == "begin" and one.more.get("layout") != LAYOUT for one in records):
            return []  # of another layout: it cannot be followed
        found = f"changes that cannot be followed ({sanitize_line(str(error))[:120]})"
        return [Problem(shown, None, "", found, every)]
    other = differences(led_to, case)
    if not other:
        return []
    key, more = dotted(other[0].path), f" and {len(other) - 1} more" if len(other) > 1 else ""
    found = f"changes that do not lead to what {sanitize_line(path.name)} holds ({key}{more})"
    return [Problem(shown, None, "", found, every)]
