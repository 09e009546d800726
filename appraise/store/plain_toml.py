"""TOML as case files are mostly written, a key and its value a line: read in a fraction of what a full parser takes.

A text that is not so simple, or no TOML, is left to `tomli`, which also says what is wrong with it. Here too values are
read by `tomli`, one by one, but for texts in quotes that nothing is escaped in: there is one reading of each.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import tomli

from appraise.tables.content import too_deep_at

if TYPE_CHECKING:
    from collections.abc import Iterator

_KEY = re.compile(r"[A-Za-z0-9_-]+")
_HEADER = re.compile(r"\[(\[)?([A-Za-z0-9_-]+)(?:\.([A-Za-z0-9_-]+))?\](?(1)\])[ \t]*(?:#.*)?")
_SHORT = 80
"""Length of lines that are remembered: grades, days and words of the tables come again and again."""


class _NotPlainError(ValueError):
    """A text for the full parser."""


def plain(text: str) -> dict[str, Any] | None:
    """Return what `tomli` makes of a text of simple lines.

    Args:
        text: No control character in it but tab and newline.

    Returns:
        The document; none where the text is for the full parser.
    """
    try:
        return _document(text)
    except ValueError:  # as `tomli` and Python raise it as well
        return None


def _document(text: str) -> dict[str, Any]:
    document: dict[str, Any] = {}
    here = document
    tables: set[str] = set()
    arrays: set[tuple[str, str]] = set()
    lines = iter(text.split("\n"))
    for line in lines:
        if not line or line[0] == "#":
            continue
        if line[0] == "[":
            many, name, below = _header(line[: _SHORT + 1])
            if not many:
                if below or name in document:
                    raise _NotPlainError
                tables.add(name)
                here = document[name] = {}
                continue
            holder, key = document, name
            if below:
                if name not in tables and name in document:
                    raise _NotPlainError
                tables.add(name)
                holder, key = document.setdefault(name, {}), below
            if (name, below) not in arrays:
                if key in holder:
                    raise _NotPlainError
                arrays.add((name, below))
                holder[key] = []
            here = {}
            holder[key].append(here)
            continue
        short = len(line) <= _SHORT and line[-1] != "[" and line[-3:] != '"""'
        key, value = _short(line) if short else _pair(_gathered(line, lines))
        if key in here:
            raise _NotPlainError
        here[key] = [*value] if value.__class__ is tuple else value
    return document


@lru_cache(maxsize=256)
def _header(line: str) -> tuple[bool, str, str]:
    """Return of a header whether it is of an array, its first name and its second, or nothing."""
    found = _HEADER.fullmatch(line)
    if found is None or len(line) > _SHORT:
        raise _NotPlainError
    return found[1] is not None, found[2], found[3] or ""


@lru_cache(maxsize=4096)
def _short(line: str) -> tuple[str, Any]:
    """Return key and value of a line, a list as a tuple: what is remembered, nobody may change."""
    key, value = _pair(line)
    if isinstance(value, list) and not any(isinstance(item, list | dict) for item in value):
        return key, tuple(value)
    if isinstance(value, list | dict):
        raise _NotPlainError
    return key, value


def _pair(text: str) -> tuple[str, Any]:
    """Return the one key of a text and its value."""
    words, _, raw = text.partition("=")
    key = words.strip(" \t")
    if _KEY.fullmatch(key) is None:
        raise _NotPlainError
    if raw[:2] == ' "' and raw[-1] == '"' and raw.count('"') == 2 and "\\" not in raw and "\n" not in raw:
        return key, raw[2:-1]
    if too_deep_at(text) is not None or len(found := tomli.loads(text)) != 1:
        raise _NotPlainError
    return key, found[key]


def _gathered(line: str, lines: Iterator[str]) -> str:
    """Return a line with those that its list or its text goes on in."""
    if line[-1] != "[" and line.count('"""') != 1:
        return line
    found = [line]
    for more in lines:
        found.append(more)
        if more[:1] == "]" if line[-1] == "[" else '"""' in more:
            break
    return "\n".join(found)
