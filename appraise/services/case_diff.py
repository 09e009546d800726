"""Differences between states of a case, field by field: for the trail, for merging, and a state made from another."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import TYPE_CHECKING, Any

from appraise.services.fields import get, replace_at
from appraise.store.plain_case import DecodeError, decode, encode, field_type
from appraise.store.record_matching import name_of
from appraise.store.trail import ABSENT, Change

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from appraise.model.case import Case

    Path = tuple[str | int, ...]


def differences(before: Case, after: Case) -> tuple[Change, ...]:
    """Return what turns one state of a case into another.

    Args:
        before: One state.
        after: The other.

    Returns:
        Changes to be made in this order: a field at a time; a record as a whole where it came or went.
    """
    return tuple(_changes((), before, after, ""))


def unlike(path: Path, one: Any, other: Any) -> Iterator[tuple[Path, Any, Any]]:  # noqa: ANN401 - any record
    """Yield every field in which two records differ, with what each holds.

    Args:
        path: Of the record; empty for a case, whose sections are entered where both have them.
        one: A record.
        other: Another of its class.
    """
    for item in fields(one) if one is not other else ():
        first, second = getattr(one, item.name), getattr(other, item.name)
        if first is second or (first == second and type(first) is type(second)):
            continue
        below = (*path, item.name)
        if is_dataclass(first) and type(first) is type(second) and not path:
            yield from unlike(below, first, second)
        else:
            yield below, first, second


def applied(case: Case, changes: Iterable[Change]) -> Case:
    """Return the state that the changes lead to.

    Raises:
        DecodeError: A change does not start from what the case holds, or leads nowhere.
    """
    for change in changes:
        case = _apply(case, change)
    return case


def _changes(path: Path, before: Any, after: Any, of: str) -> Iterator[Change]:  # noqa: ANN401
    for below, old, new in unlike(path, before, after):
        if isinstance(old, tuple) and isinstance(new, tuple) and any(is_dataclass(one) for one in (*old, *new)):
            yield from _records(below, old, new)
        elif encode(old) != encode(new) or type(old) is not type(new):
            yield Change(below, encode(old), encode(new), of)


def _records(path: Path, old: tuple[Any, ...], new: tuple[Any, ...]) -> list[Change]:
    """Compare two lists of records where they differ: between what they share at the head and at the end."""
    head = 0
    while head < min(len(old), len(new)) and (old[head] is new[head] or old[head] == new[head]):
        head += 1
    tail = 0
    while tail < min(len(old), len(new)) - head and old[-1 - tail] == new[-1 - tail]:
        tail += 1
    left, right = old[head : len(old) - tail], new[head : len(new) - tail]
    result: list[Change] = []
    at = head
    here, there = 0, 0
    kept = set(right)
    while here < len(left) or there < len(right):
        ours = left[here] if here < len(left) else None
        theirs = right[there] if there < len(right) else None
        if ours is not None and ours == theirs:
            at, here, there = at + 1, here + 1, there + 1
        elif ours is not None and theirs is not None and name_of(ours) == name_of(theirs):
            result += _changes((*path, at), ours, theirs, name_of(theirs))
            at, here, there = at + 1, here + 1, there + 1
        elif ours is not None and (theirs is None or ours not in kept):
            # Nothing of this record is left, or what stands here now is another.
            if theirs is not None and len(left) == len(right):
                result += _changes((*path, at), ours, theirs, name_of(ours))
                at, here, there = at + 1, here + 1, there + 1
                continue
            result.append(Change((*path, at), encode(ours), ABSENT, name_of(ours)))
            here += 1
        elif theirs is not None:
            result.append(Change((*path, at), ABSENT, encode(theirs), name_of(theirs)))
            at, there = at + 1, there + 1
    return result


def _apply(case: Case, change: Change) -> Case:
    path = change.path
    kind = field_type(path)
    try:
        if isinstance(path[-1], int):
            records = get(case, path[:-1])
            at = path[-1]
            if change.old is ABSENT:
                if not 0 <= at <= len(records):
                    raise DecodeError(f"no place {at} in {path[0]}")
                made = (*records[:at], decode(kind, change.new), *records[at:])
            else:
                _same(change, records[at])
                made = records[:at] + records[at + 1 :]
            return _as_case(replace_at(case, path[:-1], made))
        _same(change, get(case, path))
        return _as_case(replace_at(case, path, decode(kind, change.new)))
    except (IndexError, AttributeError, TypeError, ValueError) as error:
        raise DecodeError(str(error)) from None


def _same(change: Change, found: object) -> None:
    if encode(found) != change.old:
        raise DecodeError(f"{change.path} does not hold what it was changed from")


def _as_case(made: Any) -> Case:  # noqa: ANN401 - `replace_at` returns what it was given
    case: Case = made
    return case
