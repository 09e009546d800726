"""Problems of files and of entries as data: the place, what was found, what was expected, how to mend it."""

from __future__ import annotations

from appraise.model.lazy_dataclass import dataclass
from appraise.model.unsafe import shorten


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
    """Advice: the value to write instead, where that can be told."""
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


class InputError(ValueError):
    """An entry that cannot be taken: what was found, what is expected and how to mend it, each by itself.

    With nothing expected, `found` is the whole sentence for the person who made the entry.
    """

    def __init__(self, found: object, expected: str = "", mend: str = "", *, subject: str = "") -> None:
        super().__init__(found, expected, mend, subject)
        self.found = str(found)
        self.expected = expected
        self.mend = mend
        self.subject = subject
        """The entry that it concerns: "temperature", "--day"; empty where one entry was asked for."""

    def __str__(self) -> str:
        subject = f"{self.subject}: " if self.subject else ""
        said = f"found {self.found}, expected {self.expected}" if self.expected else self.found
        return f"{subject}{said}{f'; {self.mend}' if self.mend else ''}"

    def about(self, subject: str) -> InputError:
        """Return the same error with the entry named that it concerns."""
        inner = f"{subject}: {self.subject}" if self.subject else subject
        return InputError(self.found, self.expected, self.mend, subject=inner)


def quoted(text: str) -> str:
    """Return text as a message may quote it: one harmless line in quotation marks, not too long."""
    return f"“{shorten(text.strip())}”"
