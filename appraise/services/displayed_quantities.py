"""Quantities as people read them: the unit a case is measured in, to as many figures as are worth showing."""

from __future__ import annotations

from appraise.model.locale_format import Formatter, Units
from appraise.model.units import INCHES


def unit_shown(unit: str, units: Units = Units.METRIC) -> str:
    """Return the unit in which a quantity is shown, and meant where a number has none: "in" for "mm" in inches."""
    return INCHES[unit][0] if units is Units.INCH and unit in INCHES else unit


def in_words(unit: str) -> str:
    """Return what to say behind "a number" of the unit it is meant in: " in mm", " in inches", nothing for a count."""
    return f" in {'inches' if unit == 'in' else unit}" if unit else ""


def as_shown(value: float, unit: str, units: Units = Units.METRIC) -> float:
    """Return a value, in `unit`, in the unit that `unit_shown` gives, to as many decimals as are worth showing."""
    if unit_shown(unit, units) == unit:
        return value
    shown, _, decimals = Formatter("", units).reading(value, unit)
    return round(shown, decimals)


def with_unit(value: float, unit: str, units: Units = Units.METRIC) -> str:
    """Return a quantity as people read it: "7.4 N·m", "12 %", "3"."""
    shown = as_shown(value, unit, units)
    figure = f"{shown:.4g}" if abs(shown) < 10_000 else f"{shown:.0f}"
    return f"{figure} {unit_shown(unit, units)}".rstrip().replace("-", "−")


def span(low: float, high: float, unit: str, units: Units = Units.METRIC) -> str:
    """Return two bounds as people read them: "2 to 30 N·m"."""
    return f"{with_unit(as_shown(low, unit, units), '')} to {with_unit(high, unit, units)}"
