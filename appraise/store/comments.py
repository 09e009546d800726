"""The comments of a case file, kept through a save: each stays with the key, the table or the record it stands at."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from appraise.model.declaration import parts
from appraise.model.lazy_dataclass import dataclass
from appraise.model.unsafe import clean
from appraise.store.record_matching import matched
from appraise.tables.lines import toml_lines

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from appraise.model.case import Case

    Path = tuple[str | int, ...]


def with_comments(text: str, before: str, case: Case, old: Case | None) -> str:
    """Return the text of a case with the comments that an earlier text of it has behind its head.

    A comment at what is gone stands before what followed it, or at the end.

    Args:
        text: As it is to be written, without comments.
        before: As it stands in the file.
        case: What the text is of.
        old: What the earlier text is of; none: it could not be read, and records are told apart by their places.
    """
    if "#" not in before:
        return text
    return _placed(text, _comments(before), _places(case, old))


@dataclass(slots=True)
class _Comments:
    """The comments of a text."""

    anchors: list[Path] = field(default_factory=list)
    """Keys and tables, in their order."""
    above: dict[Path, list[str]] = field(default_factory=dict)
    beside: dict[Path, str] = field(default_factory=dict)
    below: dict[Path, list[str]] = field(default_factory=dict)
    """Right behind a value, an empty line after them."""
    last: list[str] = field(default_factory=list)
    """Behind the last key."""


def _comments(text: str) -> _Comments:
    found = _Comments()
    lines = text.split("\n")
    waiting: list[str] = []
    at_value = within = False
    """The comments that wait began right behind a value; a value goes on in this line."""
    for line in toml_lines(text):
        words = lines[line.number - 1]
        comment = clean(words[line.comment :].strip()) if line.comment >= 0 else ""
        if line.path:
            found.anchors.append(line.path)
            if waiting:
                found.above.setdefault(line.path, []).extend(_trimmed(waiting))
                waiting = []
            if comment:
                found.beside[line.path] = comment
        elif comment and within:
            found.above.setdefault(found.anchors[-1], []).append(comment)
        elif comment:
            waiting.append(comment)
        elif not words.strip() and waiting and at_value:
            found.below[found.anchors[-1]] = waiting
            waiting = []
        elif waiting:
            waiting.append("")
        at_value = bool(found.anchors) and (within or bool(line.path) or (at_value and bool(comment)))
        within = not line.ends
    found.last = _trimmed(waiting)
    return found


def _trimmed(lines: list[str]) -> list[str]:
    """Return comments with one empty line at most between two of them, none at either end."""
    return [line for at, line in enumerate(lines) if line or any(lines[at + 1 : at + 2])]


def _places(case: Case, old: Case | None) -> dict[Path, dict[int, int]]:
    """Return, for each list of records, which place each record had and has."""
    found: dict[Path, dict[int, int]] = {}
    if old is not None:
        for path, one in parts(case.__class__).items():
            if one.many:
                pairs = matched(_at(old, path), _at(case, path))
                found[path] = {was: now for was, now in pairs if was is not None and now is not None}
    return found


def _at(case: object, path: Iterable[str]) -> tuple[object, ...]:
    for step in path:
        case = getattr(case, step)
    return case if isinstance(case, tuple) else ()


def _renumbered(path: Path, places: Mapping[Path, Mapping[int, int]]) -> Path | None:
    """Return where a key of the earlier text stands now; none where its record is gone."""
    for at, step in enumerate(path):
        if isinstance(step, int) and path[:at] in places:
            now = places[path[:at]].get(step)
            return None if now is None else (*path[:at], now, *path[at + 1 :])
    return path


def _placed(text: str, found: _Comments, places: Mapping[Path, Mapping[int, int]]) -> str:
    """Return a text without comments with those found elsewhere at the same keys."""
    lines = text.split("\n")
    starts: dict[Path, int] = {}
    ends: dict[int, int] = {}
    """First line of a value → its last."""
    number = 0
    for line in toml_lines(text):
        if line.path:
            number = starts[line.path] = line.number
        if line.ends and number:
            ends.setdefault(number, line.number)
    above: dict[int, list[str]] = {}
    below: dict[int, list[str]] = {}
    waiting: list[str] = []
    for path in found.anchors:
        now = _renumbered(path, places)
        start = None if now is None else starts.get(now)
        waiting += found.above.get(path, ())
        beside = found.beside.get(path, "")
        if beside and start is not None and ends[start] == start:
            lines[start - 1] += f"  {beside}"
        elif beside:
            waiting.append(beside)
        if start is None:
            waiting += found.below.get(path, ())
            continue
        above.setdefault(start, []).extend(waiting)
        below.setdefault(ends[start], []).extend(found.below.get(path, ()))
        waiting = []
    made: list[str] = []
    for number, words in enumerate(lines, 1):
        made += [*above.get(number, ()), words, *below.get(number, ())]
    rest = [*waiting, *found.last]
    return "\n".join(made) + ("\n" + "\n".join(rest) + "\n" if rest else "")
