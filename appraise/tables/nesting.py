"""How deep a TOML text nests, told without parsing: the parser recurses, a hostile file would exhaust it."""

from __future__ import annotations

import re

DEEPEST = 16
"""Nesting of brackets, or parts of a dotted key, that a file may have; an honest one has four. The index of lines has
an entry for every part of every key, so that depth times size bounds the memory."""

_MARK = re.compile(
    r'"""(?:[^"\\]|\\.|"(?!""))*+"{3,5}'
    r"|'''(?:[^']|'(?!''))*+'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*+"'
    r"|'[^'\n]*+'"
    r"|\#[^\n]*+"
    r"|[\[\]{}.=,\n]",
    re.DOTALL,
)


def too_deep_at(text: str) -> int | None:
    """Find where a text nests deeper than `DEEPEST`.

    Args:
        text: Any text; past the first syntax error the answer means nothing, nor is it needed.

    Returns:
        The line, counted from 1; none where nothing is too deep.
    """
    depth = dots = 0
    for match in _MARK.finditer(text):
        mark = match[0]
        if mark == ".":
            dots += 1
        elif mark in "[{":
            depth += 1
            dots = 0
        elif mark in "]}":
            depth = max(0, depth - 1)
        elif mark in "=,\n":
            dots = 0
        if depth > DEEPEST or dots > DEEPEST:
            return text.count("\n", 0, match.start()) + 1
    return None
