"""A case as the text of its file: sparse, in one order always, a change of one value a change of one line."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, Any

import tomli_w

from appraise.model.case import SCHEMA, Case
from appraise.model.declaration import parts
from appraise.model.span import Span
from appraise.model.unsafe import clean
from appraise.store.plain_case import default_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

_ALWAYS = frozenset({"basis", "currency"})
"""Written although they are the default: what the figures mean must not depend on who reads them."""

_FIRST = frozenset({"check", "component"})
"""What an entry is of stands before what is said of it."""

_WIDTH = 100


def to_document(case: Case) -> dict[str, Any]:
    """Return the case as plain tables, lists and values, defaults left out.

    Args:
        case: The case.

    Returns:
        What `tomli` would read from its file.
    """
    document: dict[str, Any] = {"schema": SCHEMA}
    if case.invented:
        document["invented"] = clean(case.invented)
    for name in (path[0] for path in parts(Case) if len(path) == 1):
        content = written(getattr(case, name))
        if content:
            document[name] = content
    return document


def case_text(case: Case) -> str:
    """Return the text of the case's file, without a leading comment."""
    return document_text(to_document(case))


def document_text(document: dict[str, Any]) -> str:
    """Return plain tables, lists and values as TOML, arrays of tables last within each table."""
    return "\n".join(_table((), document)).strip("\n") + "\n"


def written(value: Any) -> Any:  # noqa: ANN401 - any field of the model
    """Return a value of the model as a file has it: text, number, truth, date, list or table."""
    if isinstance(value, bool):
        return value
    if isinstance(value, StrEnum):
        return value.value
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, Span):
        return _span(value)
    if isinstance(value, float):
        return int(value) if value.is_integer() and abs(value) < 1e15 else value
    if isinstance(value, tuple):
        return [written(item) for item in value]
    if is_dataclass(value):
        return {
            item.name: written(getattr(value, item.name))
            for item in sorted(fields(value), key=lambda item: item.name not in _FIRST)
            if item.name in _ALWAYS or getattr(value, item.name) != default_of(item)
        }
    return value


def _span(span: Span) -> date | int | str:
    text = str(span)
    if span.exact:
        return span.earliest
    return int(text) if text.isdigit() else text


def _table(path: tuple[str, ...], table: dict[str, Any]) -> Iterator[str]:
    below: list[tuple[str, Any]] = []
    for key, value in table.items():
        if isinstance(value, dict) or (isinstance(value, list) and value and isinstance(value[0], dict)):
            below.append((key, value))
        else:
            yield _assignment(key, value)
    for key, value in below:
        inner = (*path, key)
        name = ".".join(inner)
        if isinstance(value, dict):
            lines = list(_table(inner, value))
            # A table of nothing but tables needs no header of its own: its first line is a header.
            if not (lines and lines[0].startswith("\n[")):
                yield f"\n[{name}]"
            yield from lines
            continue
        for item in value:
            yield f"\n[[{name}]]"
            yield from _table(inner, item)


def _assignment(key: str, value: Any) -> str:  # noqa: ANN401 - any value of TOML
    if not isinstance(value, list):
        return tomli_w.dumps({key: value}, multiline_strings=True).rstrip("\n")
    items = [tomli_w.dumps({"x": item})[len("x = ") :].rstrip("\n") for item in value]
    line = f"{key} = [{', '.join(items)}]"
    if len(line) <= _WIDTH:
        return line
    return "\n".join((f"{key} = [", *(f"    {item}," for item in items), "]"))
