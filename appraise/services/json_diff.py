"""Where two JSON objects differ, each place named as a person would: `stations[action].components[hammers].grade`."""

from __future__ import annotations

from math import isclose
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import re
    from collections.abc import Iterator

NAMES = ("figure", "station", "component", "remedy", "check", "approach", "input", "law", "key")
"""Keys that name an item of a list, the first that it has."""

ABSENT = object()
"""Stands where one of the two has nothing."""

Difference = tuple[str, Any, Any]
"""Where, what the first has, what the second has."""


def differences(first: Any, second: Any, skip: re.Pattern[str], at: str = "") -> Iterator[Difference]:  # noqa: ANN401
    """Yield every place where two values of JSON differ, in the order of the second.

    Args:
        first: A value of JSON.
        second: Another.
        skip: Places that are not looked at, nor what is in them.
        at: Where the two stand.

    Yields:
        The place and both values; numbers that differ by less than 1 part in 10⁹ do not.
    """
    if isinstance(first, dict) and isinstance(second, dict):
        for key in (*second, *(key for key in first if key not in second)):
            inside = f"{at}.{key}".lstrip(".")
            if not skip.fullmatch(inside):
                yield from differences(first.get(key, ABSENT), second.get(key, ABSENT), skip, inside)
    elif isinstance(first, list) and isinstance(second, list):
        if len(first) != len(second):
            yield f"{at}: items", len(first), len(second)
        for place, (one, other) in enumerate(zip(first, second, strict=False), 1):
            yield from differences(one, other, skip, f"{at}[{_name(other, place)}]")
    elif not _same(first, second):
        yield at, first, second


def _name(item: Any, place: int) -> str:  # noqa: ANN401
    if isinstance(item, dict):
        for key in NAMES:
            if isinstance(item.get(key), str):
                return str(item[key])
    return str(place)


def _same(first: Any, second: Any) -> bool:  # noqa: ANN401
    numbers = (int, float)
    if isinstance(first, bool) or isinstance(second, bool):
        return first is second
    if isinstance(first, numbers) and isinstance(second, numbers):
        try:
            return isclose(first, second, rel_tol=1e-9, abs_tol=1e-9)
        except OverflowError:
            return False
    return type(first) is type(second) and bool(first == second)
