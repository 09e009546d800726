"""What is wrong with a file, as data: where, what was found, what was expected, how to mend it."""

from __future__ import annotations

from appraise.model.lazy_dataclass import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One problem of one file."""

    file: str
    """Path as the person gave it."""
    line: int | None
    """Line in the file, counted from 1; none where no line can honestly be named."""
    key: str
    """Dotted key, list items counted from 1: `readings[3].unit`."""
    found: str
    expected: str
    mend: str = ""
    """What to write instead, where that can be told."""
    grave: bool = True
    """False for a hint that does not stop the work."""

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        key = f" {self.key}:" if self.key else ""
        mend = f"; {self.mend}" if self.mend else ""
        return f"{place}:{key} found {self.found}, expected {self.expected}{mend}"


class Unreadable(Exception):
    """A file that cannot be used at all; carries the problems that say why."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems
