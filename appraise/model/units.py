"""Units of the readings: metric inside, a few others accepted on input."""

from __future__ import annotations

from appraise.model.lazy_dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit and its way to the base unit: base = value · factor + offset."""

    key: str
    """How a person writes it."""
    base: str
    """The unit kept in a case file and in the tables."""
    factor: float = 1.0
    offset: float = 0.0


UNITS: dict[str, Unit] = {
    unit.key: unit
    for unit in (
        Unit("mm", "mm"),
        Unit("cm", "mm", 10.0),
        Unit("in", "mm", 25.4),  # exact: international yard and pound agreement, 1959
        Unit("thou", "mm", 0.0254),
        Unit("m", "mm", 1000.0),
        Unit("ft", "mm", 304.8),  # exact: international yard and pound agreement, 1959
        Unit("N·m", "N·m"),
        Unit("Nm", "N·m"),
        Unit("in·lb", "N·m", 0.1129848290276167),  # 0.0254 m × 0.45359237 kg × 9.80665 m/s²
        Unit("in-lb", "N·m", 0.1129848290276167),
        Unit("inlb", "N·m", 0.1129848290276167),
        Unit("°C", "°C"),
        Unit("C", "°C"),
        Unit("°F", "°C", 5.0 / 9.0, -160.0 / 9.0),
        Unit("F", "°C", 5.0 / 9.0, -160.0 / 9.0),
        Unit("g", "g"),
        Unit("oz", "g", 28.349523125),
        Unit("kg", "kg"),
        Unit("lb", "kg", 0.45359237),
        Unit("m³", "m³"),
        Unit("m3", "m³"),
        Unit("ft³", "m³", 0.028316846592),  # exact, from the foot
        Unit("cu ft", "m³", 0.028316846592),
        Unit("deg", "deg"),
        Unit("°", "deg"),
        Unit("s", "s"),
        Unit("cents", "cents"),
        Unit("Hz", "Hz"),
        Unit("%", "%"),
        Unit("% RH", "%"),
        Unit("%RH", "%"),
        Unit("swings", "swings"),
        Unit("", ""),
    )
}
"""Every unit that may be written, by the way it is written."""


def to_base(value: float, unit: str) -> tuple[float, str]:
    """Convert a quantity to the unit that files and tables keep.

    Args:
        value: The number as written, in `unit`.
        unit: A key of `UNITS`.

    Returns:
        The value in the base unit, and that unit.

    Raises:
        KeyError: No such unit.
    """
    row = UNITS[unit]
    return value * row.factor + row.offset, row.base


def spellings(base: str) -> list[str]:
    """Return the ways to write a quantity whose base unit is `base`, the base unit first."""
    return [base, *(key for key, unit in UNITS.items() if unit.base == base and key != base)]


INCHES: dict[str, tuple[str, int]] = {
    "mm": ("in", 3),
    "cm": ("in", 1),
    "N·m": ("in·lb", 1),
    "kg": ("lb", 1),
    "m³": ("ft³", 1),
    "°C": ("°F", 1),
}
"""For readers who think in inches: the unit shown for a metric one, and the decimals worth showing."""
