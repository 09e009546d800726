"""Charts whose every word is literal: one line, no control of what shows it, nothing that XML has no place for."""

from __future__ import annotations

import re
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
