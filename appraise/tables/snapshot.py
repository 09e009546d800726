"""Keeps the tables as they were read: JSON in the user's cache, named by the text and the code they were made from."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from appraise.model.case import Kind
from appraise.tables import rows, rows_ageing, rows_carriage, rows_measurements, rows_worth
from appraise.tables.content import content_of
from appraise.tables.folder import cache_folder, digest_of_folder, keep_in_cache

if TYPE_CHECKING:
    from pathlib import Path

_LARGEST = 8 * 1024 * 1024
"""Size of a snapshot that is still read [bytes]; ours takes half a megabyte."""
_MODULES = (rows, rows_ageing, rows_carriage, rows_measurements, rows_worth)
_CLASSES: dict[str, Any] = {
    name: kind for module in _MODULES for name, kind in vars(module).items() if isinstance(kind, type)
}
_WORDS: dict[str, dict[str, StrEnum]] = {
    name: {word.value: word for word in kind}
    for name, kind in (*_CLASSES.items(), ("Kind", Kind))
    if issubclass(kind, StrEnum)
}


def place_of(folder: Path) -> Path | None:
    """Return where the snapshot of a folder of tables lies, whether it is there or not; none: nowhere.

    Its name is a digest of every file's name and content and of the code that reads them, so that a snapshot of other
    text is never taken.
    """
    try:
        return cache_folder() / "tables" / f"{digest_of_folder(folder)}.json"
    except (OSError, RuntimeError):
        return None


def read(place: Path) -> rows.Tables | None:
    """Return the tables that lie in a snapshot; none where it is missing or damaged."""
    try:
        return decoded(content_of(place, _LARGEST))
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def keep(tables: rows.Tables, place: Path) -> None:
    """Write a snapshot; where that fails the text is read again next time."""
    keep_in_cache(place, encoded(tables))


def encoded(tables: rows.Tables) -> bytes:
    """Return all tables as JSON: of each its class, its columns, which of them JSON has no type for, and its rows."""
    document: dict[str, object] = {"version": tables.version, "tables": (found := {})}
    for table in fields(tables):
        content = getattr(tables, table.name)
        if table.name == "version":
            continue
        row_class = type(next(iter(content.values())))
        names = [column.name for column in fields(row_class)]
        cells = [[_plain(getattr(each, name)) for name in names] for each in content.values()]
        other = [place for place in range(len(names)) if any(isinstance(cell[place], list | dict) for cell in cells)]
        found[table.name] = [row_class.__name__, names, other, cells]
    return json.dumps(document, ensure_ascii=False, separators=(",", ":")).encode()


def decoded(content: bytes) -> rows.Tables:
    """Return the tables that `encoded` wrote.

    Raises:
        ValueError, TypeError, KeyError, AttributeError: It is no such text.
    """
    document = json.loads(content)
    found: dict[str, Any] = {}
    for table, (name, names, other, cells) in document["tables"].items():
        row_class = _CLASSES[name]
        found[table] = {}
        for cell in cells:
            for place in other:
                cell[place] = _typed(cell[place])
            row = row_class(**dict(zip(names, cell, strict=True)))
            found[table][row.key] = row
    return rows.Tables(**found, version=document["version"])


def _plain(value: object) -> object:
    if isinstance(value, StrEnum):
        return {type(value).__name__: value.value}
    if isinstance(value, date):
        return {"date": value.isoformat()}
    if isinstance(value, tuple):
        return [_plain(inner) for inner in value]
    if isinstance(value, Mapping):
        return {"dict": [[_plain(key), _plain(inner)] for key, inner in value.items()]}
    if value is None or isinstance(value, bool | int | float | str):
        return value
    raise TypeError(f"a cell of a kind that no snapshot has: {value!r}")


def _typed(value: Any) -> Any:  # noqa: ANN401 - any cell of any table
    kind = type(value)
    if kind is list:
        return tuple(map(_typed, value))
    if kind is dict:
        ((name, inside),) = value.items()
        if name == "dict":
            return {_typed(key): _typed(inner) for key, inner in inside}
        return date.fromisoformat(inside) if name == "date" else _WORDS[name][inside]
    return value
