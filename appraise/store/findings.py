"""Problems as they are found: keys spelt out, lines looked up, the nearest known name proposed."""

from __future__ import annotations

from dataclasses import field
from datetime import date, time
from difflib import get_close_matches
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem
from appraise.model.unsafe import shorten
from appraise.tables.lines import line_index, line_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

Path = tuple[str | int, ...]
"""Key path in a document, list items counted from 0."""

_ENOUGH = 200
_LONGEST_NAME = 60


def describe(value: object) -> str:
    """Say what a value is, in a few words, without walking into it."""
    match value:
        case None:
            return "nothing"
        case bool():
            return "true" if value else "false"
        case str():
            return f'"{shorten(value)}"' if value.strip() else "an empty text"
        case int():
            return str(value) if value.bit_length() <= 64 else "a whole number of too many digits"
        case float():
            return repr(value)
        case date() | time():
            return value.isoformat()
        case list() | tuple():
            return f"a list of {len(value)}"
        case dict():
            return "a table"
        case _:
            return type(value).__name__


def dotted(path: Path) -> str:
    """Spell a key path as people read it: `readings[3].unit`, items counted from 1."""
    spelt = ""
    for part in path[:8]:
        if isinstance(part, int):
            spelt += f"[{part + 1}]"
        else:
            spelt += ("." if spelt else "") + shorten(part)
    return spelt + ("…" if len(path) > 8 else "")


def listed(options: Iterable[str]) -> str:
    """Return names in quotes with commas, cut where they are many."""
    names = [f'"{name}"' for name in options]
    return ", ".join(names) if len(names) <= 12 else ", ".join(names[:10]) + f" … ({len(names)} in all)"


def did_you_mean(name: str, options: Iterable[str]) -> str:
    """Return `did you mean "…"?` for the option most like a name, or nothing."""
    match = get_close_matches(name, list(options), n=1)
    return f'did you mean "{match[0]}"?' if match else ""


@dataclass(slots=True)
class Diagnostics:
    """The problems found in one file so far."""

    file: str
    text: str = ""
    """The file's text, in which keys are looked up."""
    problems: list[Problem] = field(default_factory=list)
    _blamed: set[Path] = field(default_factory=set)
    _index: Mapping[Path, int] | None = None
    """Key path → line; made at the first problem, for most files have none."""

    @property
    def grave(self) -> bool:
        """True when something found keeps the case from being used."""
        return any(problem.grave for problem in self.problems)

    def add(
        self,
        path: Path,
        found: object,
        expected: str,
        mend: str = "",
        *,
        grave: bool = True,
        line: int | None = None,
    ) -> None:
        """Record one problem.

        Args:
            path: Where in the document.
            found: A value, described in a few words; wrap words of our own in `Words`.
            expected: What belongs there.
            mend: What to write instead.
            grave: False for a hint.
            line: The line, where it is known better than by the key.

        A place already blamed, or one that holds it, is not blamed twice.
        """
        if path in self._blamed:
            return
        words = found.text if isinstance(found, Words) else describe(found)
        if line is None:
            # An array of tables has no line of its own, but its first item has.
            if self._index is None:
                self._index = line_index(self.text)
            line = line_of(self._index, path) or self._index.get((*path, 0))
        self.problems.append(Problem(self.file, line, dotted(path), words, expected, mend, grave))

    def blame(self, path: Path, inside: Path) -> None:
        """Keep later findings off a value that has been left out because something is wrong with it.

        Args:
            path: The value.
            inside: The table it stands in; it is kept off as well.
        """
        self._blamed.update(path[:length] for length in range(len(inside), len(path) + 1))

    def nearest(self, name: str, options: Iterable[str]) -> str:
        """Propose an option as `did_you_mean` does, until very much has been found wrong."""
        # A file of nothing but wrong names would otherwise cost a comparison of each with every option.
        return "" if len(self.problems) > _ENOUGH or len(name) > _LONGEST_NAME else did_you_mean(name, options)

    def known(self, path: Path, name: str, options: Iterable[str], what: str) -> bool:
        """Check that a name is one of the options; record a problem where it is not."""
        names = list(options)
        if name in names:
            return True
        near = self.nearest(name, names)
        expected = what if len(names) > 12 else f"{what}: {listed(names)}" if names else what
        self.add(path, name, expected, near)
        return False


@dataclass(frozen=True, slots=True)
class Words:
    """A description of our own of what was found, not a value from the file."""

    text: str
