"""Keeps the tables as they were read: in the user's cache, named by the text and the code they were made from."""

from __future__ import annotations

import hashlib
import marshal
import sys
from collections import deque
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
        return cache_folder() / "tables" / f"{digest_of_folder(folder, 'tables', 'model')}.snapshot"
    except (OSError, RuntimeError):
        return None


def read(place: Path) -> rows.Tables | None:
    """Return the tables that lie in a snapshot; none where it is missing or damaged."""
    try:
        return decoded(content_of(place, _LARGEST))
    except (OSError, ValueError, TypeError, KeyError, AttributeError, EOFError):
        return None


def keep(tables: rows.Tables, place: Path) -> None:
    """Write a snapshot; where that fails the text is read again next time."""
    keep_in_cache(place, encoded(tables))


def encoded(tables: rows.Tables) -> bytes:
    """Return all tables as bytes of Python's own, behind a digest of them.

    Of each table there is its class and its columns, each with its cells from row to row. A cell of a kind that these
    bytes have not is a number: its place in a list of all such, each of which is there once.
    """
    odd: dict[str, tuple[int, object]] = {}
    found: dict[str, object] = {}
    for table in fields(tables):
        if table.name == "version":
            continue
        content = getattr(tables, table.name).values()
        row_class = type(next(iter(content)))
        columns: list[tuple[str, bool, tuple[object, ...]]] = []
        for column in fields(row_class):
            cells = [getattr(row, column.name) for row in content]
            plain = [_plain(cell) for cell in cells]
            is_odd = any(map(_is_marked, plain))
            if is_odd:  # by their words, for a number and a truth can be equal
                plain = [odd.setdefault(repr(cell), (len(odd), cell))[0] for cell in plain]
            columns.append((column.name, is_odd, tuple(plain)))
        found[table.name] = (row_class.__name__, len(content), columns)
    # Their second layout: later ones tell what is referred to elsewhere as well, and are never twice the same.
    content = marshal.dumps((tables.version, [cell for _, cell in odd.values()], found), 2)
    return _digest(content) + content


def decoded(content: bytes) -> rows.Tables:
    """Return the tables that `encoded` wrote.

    Raises:
        ValueError, TypeError, KeyError, AttributeError, EOFError: It is no such text.
    """
    digest, content = content[:32], content[32:]
    if digest != _digest(content):
        raise ValueError
    version, odd, tables = marshal.loads(content)  # noqa: S302 - our own: its digest says so
    odd = [_typed(cell) for cell in odd]
    found: dict[str, Any] = {}
    for table, (name, many, columns) in tables.items():
        row_class = _CLASSES[name]
        made = [object.__new__(row_class) for _ in range(many)]
        for column, is_odd, cells in columns:
            # What is not to be changed is set past its own guard, as `__init__` does, a column at once.
            put = getattr(row_class, column).__set__
            deque(map(put, made, map(odd.__getitem__, cells) if is_odd else cells), maxlen=0)
        found[table] = {row.key: row for row in made}
    return rows.Tables(**found, version=version)


def _digest(content: bytes) -> bytes:
    """Return a digest of a snapshot and of the Python that wrote it: bytes of another one are not understood."""
    return hashlib.sha256(f"{sys.implementation.cache_tag}".encode() + content).digest()


_MARK = "\0"
"""Begins a tuple that stands for what these bytes have not."""


def _plain(value: object) -> object:
    """Return a cell as these bytes can have it."""
    if isinstance(value, StrEnum):
        return (_MARK, type(value).__name__, value.value)
    if isinstance(value, date):
        return (_MARK, "date", value.isoformat())
    if isinstance(value, tuple):
        return tuple(map(_plain, value))
    if isinstance(value, Mapping):
        return (_MARK, "dict", tuple((_plain(key), _plain(inner)) for key, inner in value.items()))
    if value is None or isinstance(value, bool | int | float | str):
        return value
    raise TypeError(f"a cell of a kind that no snapshot has: {value!r}")


def _is_marked(value: object) -> bool:
    return isinstance(value, tuple) and (value[:1] == (_MARK,) or any(map(_is_marked, value)))


def _typed(value: Any) -> Any:  # noqa: ANN401 - any cell of any table
    if not isinstance(value, tuple):
        return value
    if value[:1] != (_MARK,):
        return tuple(map(_typed, value))
    _, name, inside = value
    if name == "dict":
        return {_typed(key): _typed(inner) for key, inner in inside}
    return date.fromisoformat(inside) if name == "date" else _WORDS[name][inside]
