"""TOML as case files are mostly written, a key and its value a line: read in a fraction of what a full parser takes.

A text that is not so simple, or no TOML, is left to `tomli`, which also says what is wrong with it. Here too values are
read by `tomli`, one by one, but for texts in quotes that nothing is escaped in: there is one reading of each.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import tomli

from appraise.tables.content import too_deep_at

if TYPE_CHECKING:
    from collections.abc import Iterator

_KEY = re.compile(r"[A-Za-z0-9_-]+")
_HEADER = re.compile(r"\[(\[)?([A-Za-z0-9_-]+)(?:\.([A-Za-z0-9_-]+))?\](?(1)\])[ \t]*(?:#.*)?")
_SHORT = 80
"""Length of lines that are remembered: grades, days and words of the tables come again and again."""
_MOST = 8192
_KNOWN: dict[str, tuple[str, Any]] = {}
"""Line → key and value."""


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
    arrays: dict[str, list[dict[str, Any]]] = {}
    header = ""
    lines = iter(text.split("\n"))
    for line in lines:
        if not line:
            continue
        if line == header:
            arrays[header].append(here := {})
            continue
        pair = _KNOWN.get(line)
        if pair is None:
            if line[0] == "#":
                continue
            if line[0] == "[":
                here = _opened(line, document, tables, arrays)
                header = line if line in arrays else ""
                continue
            words = _gathered(line, lines)
            pair = _pair(words)
            if words is line and len(line) <= _SHORT:
                _keep(line, pair)
        key, value = pair
        if key in here:
            raise _NotPlainError
        here[key] = value.copy() if value.__class__ is list else value
    return document


def _opened(
    line: str, document: dict[str, Any], tables: set[str], arrays: dict[str, list[dict[str, Any]]]
) -> dict[str, Any]:
    """Return the table that a header opens: one with a name of its own, or the next of an array.

    Args:
        line: The header.
        document: Where it is put.
        tables: Names of the tables so far.
        arrays: The arrays of tables so far, by their headers.
    """
    found = _HEADER.fullmatch(line)
    if found is None:
        raise _NotPlainError
    many, name, below = found[1], found[2], found[3]
    here: dict[str, Any] = {}
    if line in arrays:
        arrays[line].append(here)
        return here
    holder, key = document, name
    if below:
        if not many or (name not in tables and name in document):
            raise _NotPlainError
        tables.add(name)
        holder, key = document.setdefault(name, {}), below
    elif not many:
        tables.add(name)
    if key in holder:
        raise _NotPlainError
    holder[key] = here
    if many:
        holder[key] = arrays[line] = [here]
    return here


def _keep(line: str, pair: tuple[str, Any]) -> None:
    """Remember what a line says; of a list only that which a copy of it shares with nobody."""
    value = pair[1]
    if isinstance(value, dict) or (isinstance(value, list) and any(isinstance(each, list | dict) for each in value)):
        return
    if len(_KNOWN) >= _MOST:
        _KNOWN.clear()
    _KNOWN[line] = pair


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
