"""What a person types, as a number with its unit: decimal comma or point, several units, a plausible range."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

from appraise.engine.instruments.tolerance import bands
from appraise.model.manner import Manner, Units
from appraise.model.units import INCHES, UNITS, spellings, to_base
from appraise.store.findings import shorten
from appraise.tables.rows import CheckKind

if TYPE_CHECKING:
    from appraise.tables.rows import Check

_QUANTITY = re.compile(r"([-+−]?)(\d+(?:[.,]\d+)?|[.,]\d+)\s*(.*)\Z")
_MONEY = re.compile(r"([-−]?)(\d[\d.,'’ \u00a0\u202f]*)\Z")
_THOUSANDS = re.compile(r"\d{1,3}([.,]\d{3})+\Z")


_FRACTION = re.compile(r"([-+−]?)(?:(\d{1,4})[\s-]+)?(\d{1,3})/(\d{1,3})\s*(.*)\Z", re.ASCII)
_ALIASES = {'"': "in", "″": "in", "inch": "in", "inches": "in", "'": "ft", "′": "ft", "mil": "thou", "mils": "thou"}


class Refused(ValueError):
    """An entry that cannot be taken; its text is one line for the person who typed it."""


def number(text: str) -> float:
    """Read a plain number, with a decimal comma or point.

    Raises:
        Refused: The text is not one number.
    """
    match = _QUANTITY.match(text.strip())
    if match is None or match[3]:
        raise Refused(f"“{shorten(text.strip())}” is not a number")
    return _value(match[1], match[2])


def decimal(text: str, meant: str = "") -> str:
    """Return a measure written as a common fraction with a decimal one; anything else as it is.

    Args:
        text: "3/8 in", "1 3/4 in" or "1-3/4 in", as rules and gauges in inches are read.
        meant: The unit of a number alone; in inches a fraction needs no unit either.

    Raises:
        Refused: A fraction that says no unit where another than the inch is meant, or one of nothing.
    """
    match = _FRACTION.match(text.strip())
    if match is None:
        return text
    sign, whole, top, bottom, unit = match.groups()
    if not unit and meant != "in":
        raise Refused(f"“{text.strip()}” says no unit; expected {text.strip()} in")
    if int(bottom) == 0:
        raise Refused(f"“{text.strip()}” is not a number; expected one such as 3/8 in")
    return f"{sign}{int(whole or 0) + int(top) / int(bottom):.6f} {unit}".rstrip()


def unit_typed(text: str) -> str | None:
    """Return the key in `UNITS` of a unit as typed, however its letters are written; none: no such unit."""
    plain = text.strip().casefold()
    return {key.casefold(): key for key in UNITS}.get(_ALIASES.get(plain, plain))


def money(text: str) -> Decimal:
    """Read an amount of money, with or without marks between the thousands.

    Args:
        text: "48000", "48 000,50", "48'000.50"; a mark that could be either is refused.

    Raises:
        Refused: Not an amount, or one that could be read in two ways.
    """
    match = _MONEY.match(text.strip())
    if match is None:
        raise Refused(f"“{shorten(text.strip())}” is not an amount of money")
    digits = re.sub(r"['’ \u00a0\u202f]", "", match[2])
    marks = [mark for mark in digits if mark in ".,"]
    if len(set(marks)) == 1 and _THOUSANDS.match(digits):
        plain = digits.replace(marks[0], "")
        raise Refused(f"“{shorten(text.strip())}” can be read in two ways: write {plain} or {plain}.00")
    if len(set(marks)) == 2:
        digits = digits.replace("." if digits.rindex(",") > digits.rindex(".") else ",", "")
    digits = digits.replace(",", ".")
    if digits.count(".") > 1 or digits.startswith(".") or digits.endswith("."):
        raise Refused(f"“{shorten(text.strip())}” is not an amount of money")
    return Decimal(("-" if match[1] else "") + digits)


def quantity(text: str, check: Check, units: Units = Units.METRIC) -> float:
    """Read a measured or counted quantity for one check.

    Args:
        text: A number, with a unit behind it where it is not the one shown beside the check.
        check: The row that says the unit and the plausible range.
        units: What the case is measured in: a number alone is in the check's unit as these have it.

    Returns:
        The value in the check's unit.

    Raises:
        Refused: No number, a unit that does not fit, not whole where a count is asked, or implausible.
    """
    typed = text.strip()
    meant = unit_shown(check.unit, units)
    match = _QUANTITY.match(decimal(typed, meant))
    if match is None:
        raise Refused(f"“{shorten(typed)}” is not a number{in_words(meant)}")
    value, unit = _value(match[1], match[2]), match[3].strip() or meant
    if unit != check.unit:
        known = unit_typed(unit)
        if known is None or UNITS[known].base != check.unit:
            ways = ", ".join(way for way in spellings(check.unit) if way) or "a number alone"
            raise Refused(f"“{shorten(unit)}” does not fit here: write {ways}")
        value = round(to_base(value, known)[0], 6)
    if check.kind is CheckKind.COUNT and not value.is_integer():
        raise Refused(f"“{shorten(typed)}” is not a whole number")
    plausible(value, check, units)
    return value


def plausible(value: float, check: Check, units: Units = Units.METRIC) -> None:
    """Refuse a value, in the check's unit, outside what can be.

    Raises:
        Refused: Outside; the text names the range.
    """
    if check.kind is CheckKind.COUNT and check.plausible is None and value < 0:
        raise Refused("fewer than none cannot be counted")
    if check.plausible is not None and not check.plausible[0] <= value <= check.plausible[1]:
        low, high = check.plausible
        shown = with_unit(value, check.unit, units)
        raise Refused(f"{shown} cannot be: expected {span(low, high, check.unit, units)}")


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
    shown, _, decimals = Manner("", units).reading(value, unit)
    return round(shown, decimals)


def with_unit(value: float, unit: str, units: Units = Units.METRIC) -> str:
    """Return a quantity as people read it: "7.4 N·m", "12 %", "3"."""
    shown = as_shown(value, unit, units)
    figure = f"{shown:.4g}" if abs(shown) < 10_000 else f"{shown:.0f}"
    return f"{figure} {unit_shown(unit, units)}".rstrip().replace("-", "−")


def span(low: float, high: float, unit: str, units: Units = Units.METRIC) -> str:
    """Return two bounds as people read them: "2 to 30 N·m"."""
    return f"{with_unit(as_shown(low, unit, units), '')} to {with_unit(high, unit, units)}"


def tolerance(check: Check, units: Units = Units.METRIC) -> str:
    """Say in words where a quantity is good and where it needs work, from the check's anchors.

    Returns:
        "sound 6.8 to 15 N·m · needs work below 4 N·m", or nothing when the check has no anchors.
    """
    if not check.anchors:
        return ""
    sound = bands(check.anchors, 2.0)
    bad = bands(check.anchors, 3.5, worse=True)
    parts = []
    if sound:
        parts.append("sound " + " or ".join(_interval(a, b, check.unit, units) for a, b in sound))
    if bad:
        parts.append("needs work " + " or ".join(_interval(a, b, check.unit, units) for a, b in bad))
    return " · ".join(parts)


def _value(sign: str, digits: str) -> float:
    value = float(digits.replace(",", "."))
    return -value if sign in ("-", "−") and sign else value


def _interval(low: float | None, high: float | None, unit: str, units: Units) -> str:
    if low is None:
        return "at any value" if high is None else f"up to {with_unit(_rounded(high), unit, units)}"
    if high is None:
        return f"from {with_unit(_rounded(low), unit, units)}"
    return span(_rounded(low), _rounded(high), unit, units)


def _rounded(value: float) -> float:
    """Round an edge between two anchors: it is no sharper than the anchors are."""
    return float(f"{value:.2g}") if abs(value) < 100 else round(value)
