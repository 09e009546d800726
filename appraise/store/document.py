"""A case as the text of its file: sparse, in one order always, comments kept where they stand."""

from __future__ import annotations

from dataclasses import field, fields, is_dataclass
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, Any

import tomli_w

from appraise.model.case import SCHEMA, Case
from appraise.model.declaration import parts
from appraise.model.lazy_dataclass import dataclass
from appraise.model.span import Span
from appraise.model.unsafe import clean
from appraise.store.plain_case import default_of
from appraise.store.record_matching import matched
from appraise.tables.lines import toml_lines

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import date

    Path = tuple[str | int, ...]


_ALWAYS = frozenset({"basis", "currency"})
"""Written although they are the default: what the figures mean must not depend on who reads them."""

_FIRST = frozenset({"check", "component"})
"""The subject of an entry stands before its values."""

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
