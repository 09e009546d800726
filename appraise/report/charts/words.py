"""The words of charts: literal, one line, no control of what shows it, and broken into lines that fit."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import TYPE_CHECKING, Any, cast

from appraise.model.unsafe import REPLACEMENT
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.model.chart import Chart


_NO_CHARACTERS = re.compile("[\ufffe\uffff]")


def word(text: str) -> str:
    """Return text that may have come from anywhere as one line of characters."""
    return _NO_CHARACTERS.sub(REPLACEMENT, literal(text))


def cleaned(chart: Chart) -> Chart:
    """Return the same chart with every text made literal; figures and places are left as they are."""
    return cast("Chart", _clean(chart))


def _clean(value: Any) -> Any:  # noqa: ANN401 - whatever a chart holds
    if isinstance(value, Enum):
        return value
    if isinstance(value, str):
        return word(value)
    if isinstance(value, tuple):
        return tuple(_clean(part) for part in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{field.name: _clean(getattr(value, field.name)) for field in fields(value)})
    return value


Measure = Callable[[str], float]
"""Width of a text."""


def fold(text: str, room: float, most: int, width: Measure) -> list[str]:
    """Return text in lines that fit, the last one cut with … where it takes more than there may be.

    Args:
        text: One line.
        room: Of a line, in the unit of `width`.
        most: Lines there may be; ≥ 1.
        width: Measures a text.

    Returns:
        At least one line.
    """
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most - 1:
        taken = 1
        while taken < len(words) and width(" ".join(words[: taken + 1])) <= room:
            taken += 1
        line = " ".join(words[:taken])
        if width(line) > room:  # one word, longer than a line: broken anywhere
            head = _head(line, room, width)
            lines.append(head)
            words[0] = words[0][len(head) :]
            continue
        lines.append(line)
        words = words[taken:]
    return [*lines, cut(" ".join(words), room, width)] if words or not lines else lines


def cut(text: str, room: float, width: Measure) -> str:
    """Return as much of a text as fits, with … where some is left out."""
    return text if width(text) <= room else f"{_head(text, room - width('…'), width).rstrip()}…"


def _head(text: str, room: float, width: Measure) -> str:
    """Return the longest start of a text that fits, one letter at least."""
    low, high = 1, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if width(text[:middle]) <= room else (low, middle - 1)
    return text[:low]
