"""Line of each key of a TOML text: `tomli` gives the values but not their lines."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_Path = tuple[str | int, ...]

_PART = r"""(?:[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')"""
_DOTTED = rf"{_PART}(?:[ \t]*\.[ \t]*{_PART})*"
_HEADER = re.compile(rf"[ \t]*(\[\[?)[ \t]*({_DOTTED})[ \t]*\]")
_ASSIGNMENT = re.compile(rf"[ \t]*({_DOTTED})[ \t]*=")
_PARTS = re.compile(_PART)
_TOKEN = re.compile(r"""\"{3}|'{3}|"(?:[^"\\\n]|\\.)*+"?|'[^'\n]*+'?|\#.*|[\[\]{}]""")
_CLOSING = {
    '"""': re.compile(r'(?:[^"\\]|\\.|"(?!""))*?"{3,5}'),
    "'''": re.compile(r"(?:[^']|'(?!''))*?'{3,5}"),
}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a TOML text."""

    number: int
    """Counted from 1."""
    path: _Path
    """The key or table that begins here; empty where none does."""
    table: _Path
    """The table that it stands in."""
    comment: int
    """Column at which a comment begins; -1: there is none."""
    ends: bool
    """No value goes on in the next line."""


def toml_lines(text: str) -> Iterator[Line]:
    """Go through the lines of a TOML text, valid or nearly so; what is not understood is passed over.

    Args:
        text: Its lines end with a line feed.

    Yields:
        Every line. Items of arrays of tables are counted from 0: `("row", 2, "key")`; keys inside inline tables and
        arrays begin no line.
    """
    counts: dict[_Path, int] = {}
    table: _Path = ()
    quote = ""
    depth = 0
    for number, line in enumerate(text.split("\n"), start=1):
        path: _Path = ()
        start = 0
        if not quote and depth == 0:
            header = _HEADER.match(line)
            assignment = None if header is not None else _ASSIGNMENT.match(line)
            if header is not None:
                path = table = _enter(header[2], counts, array=header[1] == "[[")
                found = line.find("#", header.end())
                yield Line(number, path, table, found, ends=True)
                continue
            if assignment is None:
                comment = len(line) - len(line.lstrip()) if line.lstrip().startswith("#") else -1
                yield Line(number, (), table, comment, ends=True)
                continue
            path = table + _split(assignment[1])
            start = assignment.end()
        quote, depth, comment = _scan(line, start, quote, depth)
        yield Line(number, path, table, comment, not quote and depth == 0)


def line_index(text: str) -> dict[tuple[str | int, ...], int]:
    """Map every key path of a TOML text to the line it stands on.

    Args:
        text: The text, valid TOML or nearly so; what is not understood is passed over.

    Returns:
        Key path → line counted from 1. Items of arrays of tables are counted from 0: `("row", 2, "key")`.
        A table's own path maps to its header. Keys inside inline tables and arrays are not listed:
        ask `line_of` for the nearest line above them.
    """
    index: dict[_Path, int] = {}
    for line in toml_lines(text):
        if line.path:
            first = min(len(line.table) + 1, len(line.path))  # a header stands for its own path alone
            for length in range(first, len(line.path) + 1):
                index.setdefault(line.path[:length], line.number)
    return index


def line_of(index: Mapping[tuple[str | int, ...], int], path: tuple[str | int, ...]) -> int | None:
    """Return the line of a key path, or of the nearest key above it that has one.

    Args:
        index: What `line_index` returned.
        path: Key path, list items counted from 0.

    Returns:
        The line counted from 1; none where not even the first key is known.
    """
    for length in range(len(path), 0, -1):
        line = index.get(path[:length])
        if line is not None:
            return line
    return None


def _enter(dotted: str, counts: dict[_Path, int], *, array: bool) -> _Path:
    """Return the path a header opens; `counts` remembers how many items each array of tables has."""
    path: _Path = ()
    parts = _split(dotted)
    for place, part in enumerate(parts):
        path = (*path, part)
        last = place == len(parts) - 1
        if last and array:
            counts[path] = counts.get(path, 0) + 1
        if path in counts:
            path = (*path, counts[path] - 1)
    return path


def _split(dotted: str) -> tuple[str, ...]:
    return tuple(part[1:-1] if part[0] in "\"'" else part for part in _PARTS.findall(dotted))


def _scan(line: str, start: int, quote: str, depth: int) -> tuple[str, int, int]:
    """Follow strings and brackets to the end of a line: (open triple quote or "", bracket depth, comment)."""
    position = start
    while True:
        if quote:
            closing = _CLOSING[quote].match(line, position)
            if closing is None:
                return quote, depth, -1
            position, quote = closing.end(), ""
        token = _TOKEN.search(line, position)
        if token is None:
            return quote, depth, -1
        position = token.end()
        found = token[0]
        if found.startswith("#"):
            return quote, depth, token.start()
        if found in _CLOSING:
            quote = found
        elif found in "[{":
            depth += 1
        elif found in "]}":
            depth = max(0, depth - 1)
