"""What a check measures: its quantity as typed, what can be, and where its anchors call it sound."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from appraise.engine.instruments.tolerance import bands
from appraise.model.locale_format import Units
from appraise.services.displayed_quantities import span, unit_shown, with_unit
from appraise.services.refused import InputError
from appraise.services.typed_quantities import in_unit, within
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.instruments.tolerance import Band
    from appraise.tables.rows import Check


def quantity(text: str, check: Check, units: Units = Units.METRIC) -> float:
    """Read a measured or counted quantity for one check.

    Args:
        text: A number, with a unit behind it where it is not the one shown beside the check.
        check: The row that says the unit and the plausible range.
        units: What the case is measured in: a number alone is in the check's unit as these have it.

    Returns:
        The value in the check's unit.

    Raises:
        InputError: No number, a unit that does not fit, not whole where a count is asked, or implausible.
    """
    value = in_unit(text, check.unit, meant=unit_shown(check.unit, units), whole=check.kind is CheckKind.COUNT)
    plausible(value, check, units)
    return value


def plausible(value: float, check: Check, units: Units = Units.METRIC) -> None:
    """Refuse a value, in the check's unit, outside what can be.

    Raises:
        InputError: Outside; the text names the range.
    """
    if check.kind is CheckKind.COUNT and check.plausible is None and value < 0:
        raise InputError("fewer than none cannot be counted")
    if check.plausible is not None:
        within(value, check.plausible, check.unit, units)


def tolerance(check: Check, units: Units = Units.METRIC) -> str:
    """Say in words where a quantity is good and where it needs work, from the check's anchors.

    Returns:
        "sound 6.8 to 15 N·m · needs work below 4 N·m", or nothing when the check has no anchors.
    """
    if not check.anchors:
        return ""
    sound = bands(check.anchors, 2.0)
    bad = bands(check.anchors, 3.5, worse=True)
    if check.kind is CheckKind.COUNT:  # what can be counted has no fractions
        sound, bad = _counted(sound), _counted(bad)
    parts = []
    if sound:
        parts.append(f"sound {in_bands(sound, check.unit, units)}")
    if bad:
        parts.append(f"needs work {in_bands(bad, check.unit, units)}")
    return " · ".join(parts)


def _counted(found: Sequence[Band]) -> list[Band]:
    """Return the whole numbers within each interval."""
    return [
        (None if low is None else math.ceil(low - 1e-9), None if high is None else math.floor(high + 1e-9))
        for low, high in found
    ]


def in_bands(found: Sequence[Band], unit: str, units: Units = Units.METRIC) -> str:
    """Return intervals in words: "up to 4 N·m or from 22 N·m"."""
    return " or ".join(_interval(low, high, unit, units) for low, high in found)


def _interval(low: float | None, high: float | None, unit: str, units: Units) -> str:
    if low is None:
        return "at any value" if high is None else f"up to {with_unit(_rounded(high), unit, units)}"
    if high is None:
        return f"from {with_unit(_rounded(low), unit, units)}"
    return span(_rounded(low), _rounded(high), unit, units)


def _rounded(value: float) -> float:
    """Round an edge between two anchors: it is no sharper than the anchors are."""
    return float(f"{value:.2g}") if abs(value) < 100 else round(value)
