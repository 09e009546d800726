"""The keys of a trail's line and their types: a record of another shape was written by something else."""

from __future__ import annotations

import json
import re
from datetime import datetime
from typing import TYPE_CHECKING, Any

from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

Wrong = tuple[str, str, str]
"""Key, what was found there, what was expected."""

_DIGEST = re.compile(r"[0-9a-f]{64}")
_CHANGE = frozenset({"field", "of", "from", "to"})


class TwiceNamed(ValueError):
    """One key twice in an object: two readers could read it in two ways."""


def read_object(raw: bytes) -> object:
    """Return the JSON of one line.

    Raises:
        ValueError: It is none, or holds what no record does: a key twice, NaN or infinity.
        RecursionError: It is nested too deep.
    """
    return json.loads(raw, object_pairs_hook=_once, parse_constant=_no_constant)


def misformed(plain: Mapping[str, Any]) -> Iterator[Wrong]:
    """Yield every key of a record that is missing, or that holds what no record of ours has there."""
    act = plain.get("act")
    needed = _NEEDED.get(act) if isinstance(act, str) else None
    if needed is None:
        yield "act", _shown(act), f"one of {', '.join(_NEEDED)}"
    for key in (*_ALWAYS, *(needed or ())):
        if key not in plain:
            yield key, "nothing", _HOLDS[key][1]
    for key, value in plain.items():
        holds, expected = _HOLDS.get(key, _ANYTHING)
        if not holds(value):
            yield key, _shown(value), expected


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    result = dict(pairs)
    if len(result) < len(pairs):
        raise TwiceNamed
    return result


def _no_constant(name: str) -> float:
    raise ValueError(name)


def _shown(value: object) -> str:
    return "nothing" if value is None else sanitize_line(json.dumps(value, ensure_ascii=False))[:40]


def _text(value: object) -> bool:
    return isinstance(value, str)


def _name(value: object) -> bool:
    return isinstance(value, str) and bool(value)


def _whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def _digest(value: object) -> bool:
    return isinstance(value, str) and bool(_DIGEST.fullmatch(value))


def _digest_or_none(value: object) -> bool:
    return value == "" or _digest(value)


def _time(value: object) -> bool:
    try:
        return isinstance(value, str) and datetime.fromisoformat(value).tzinfo is not None
    except ValueError:
        return False


def _changes(value: object) -> bool:
    return isinstance(value, list) and all(_change(one) for one in value)


def _change(value: object) -> bool:
    if not isinstance(value, dict) or not value.keys() <= _CHANGE or not {"from", "to"} & value.keys():
        return False
    path = value.get("field")
    steps = isinstance(path, list) and bool(path) and all(_name(step) or _whole(step) for step in path)
    return steps and isinstance(value.get("of", ""), str)


_ANYTHING = (lambda _: True, "")
_TEXT, _NAME, _WHOLE = (_text, "a text"), (_name, "a name"), (_whole, "a whole number")
_SHA256 = (_digest, "a SHA-256 of 64 hexadecimal digits")
_CHANGES = (_changes, "a list of changes, each with its field and what it was changed from or to")

_HOLDS: dict[str, tuple[Callable[[object], bool], str]] = {
    "act": _TEXT,
    "at": (_time, "a time in UTC such as 2026-11-20T14:05:00.000Z"),
    "by": _TEXT,
    "user": _TEXT,
    "session": _NAME,
    "k": _WHOLE,
    "what": _TEXT,
    "reason": _TEXT,
    "changes": _CHANGES,
    "prev": _SHA256,
    "hash": _SHA256,
    "file": (_digest_or_none, _SHA256[1]),
    "layout": _WHOLE,
    "schema": _WHOLE,
    "case": (lambda value: isinstance(value, dict), "the fields of a case"),
    "theirs": _CHANGES,
    "mine": _CHANGES,
    "joins": (lambda value: value is True, "true"),
    "from": _TEXT,
    "bytes": _WHOLE,
    "lines": _WHOLE,
    "report": _SHA256,
    "tables": _NAME,
    "before": _SHA256,
    "before_name": _NAME,
    "name": _NAME,
    "text": _TEXT,
}
"""Of every key the test of its value, and what is expected; a later release may add others."""

_ALWAYS = ("at", "by", "user", "session", "k")

_NEEDED: dict[str, tuple[str, ...]] = {
    "begin": ("file", "layout", "schema", "case"),
    "outside": ("file",),
    "edit": (),
    "undo": (),
    "redo": (),
    "save": ("file",),
    "drop": (),
    "aside": (),
    "merge": ("file", "theirs", "mine"),
    "report": ("file", "tables", "report"),
    "torn": ("bytes",),
    "restored": ("lines",),
    "replaced": (),
}
"""Every act that a record can tell of, and the keys that it then has beside those of all records."""
