"""Amounts as people type them: a decimal comma or point, a fraction of an inch, a unit that fits, money."""

from __future__ import annotations

import re
from decimal import Decimal
from math import isfinite

from appraise.model.manner import Units
from appraise.model.units import UNITS, spellings, to_base
from appraise.services.refused import Refused, quoted
from appraise.services.shown import in_words, span, with_unit

_AMOUNT = re.compile(r"([-+−]?)\s*([0-9]{1,15}(?:[.,][0-9]{0,15})?|[.,][0-9]{1,15})\s*(\D.{0,20})?\Z")
_FRACTION = re.compile(r"([-+−]?)(?:(\d{1,4})[\s-]+)?(\d{1,3})/(\d{1,3})\s*(.*)\Z", re.ASCII)
_MONEY = re.compile(r"([-−]?)(\d[\d.,'’ \u00a0\u202f]*)\Z", re.ASCII)
_THOUSANDS = re.compile(r"\d{1,3}([.,]\d{3})+\Z")
_ALIASES = {'"': "in", "″": "in", "inch": "in", "inches": "in", "'": "ft", "′": "ft", "mil": "thou", "mils": "thou"}
_LIMIT = 1e9


def number(text: str, *, whole: bool = False) -> float:
    """Read a plain number, with a decimal comma or point.

    Raises:
        Refused: The text is not one number, or not a whole one where that is wanted.
    """
    return in_unit(text, "", whole=whole)


def in_unit(text: str, unit: str, *, meant: str = "", whole: bool = False) -> float:
    """Read a number with a unit.

    Args:
        text: "70 °F", "21,5", "-4 cents".
        unit: The base unit it is kept in; empty for counts.
        meant: The unit meant where none is written; empty: the base unit.
        whole: A whole number is wanted.

    Returns:
        The value in the base unit.

    Raises:
        Refused: No number, a unit of another kind, or not whole; the text is one line.
    """
    kind = "a whole number" if whole else "a number"
    expected = f"{kind}{in_words(meant or unit)}"
    match = _AMOUNT.match(decimal(text, meant or unit).strip())
    if match is None:
        raise Refused(f"found {quoted(text)}, expected {expected}")
    value = float(match[2].replace(",", ".")) * (-1.0 if match[1] in ("-", "−") and match[1] else 1.0)
    written = (match[3] or "").strip() or meant or unit
    if written != unit:
        known = unit_typed(written)
        if known is None or UNITS[known].base != unit:
            ways = ", ".join(way for way in spellings(unit) if way) if unit else ""
            raise Refused(f"found the unit {quoted(written)}, expected {ways or 'a number alone'}")
        value = float(f"{to_base(value, known)[0]:.9g}")
    if whole and not value.is_integer():
        raise Refused(f"found {quoted(text)}, expected {expected}")
    if not isfinite(value) or abs(value) > _LIMIT:
        raise Refused(f"found {quoted(text)}, expected a number of ordinary size")
    return value


def amount(text: str, unit: str, what: str, low: float, high: float, *, meant: str = "") -> float:
    """Read a quantity that has a name and bounds.

    Args:
        text: "70 °F", "21,5", "-4 cents".
        unit: The unit it is kept in.
        what: What it is, for the person: "temperature".
        low: Least plausible, in `unit`.
        high: Greatest plausible.
        meant: The unit meant where none is typed; empty: `unit`.

    Returns:
        The value in `unit`.

    Raises:
        Refused: No number, a unit of another kind, or implausible.
    """
    try:
        value = in_unit(text, unit, meant=meant)
    except Refused as refused:
        raise Refused(f"{what}: {refused}") from None
    return within(value, (low, high), unit, what=f"{what}: ")


def within(
    value: float, bounds: tuple[float, float], unit: str, units: Units = Units.METRIC, *, what: str = ""
) -> float:
    """Return a value that can be.

    Args:
        value: The value, in `unit`.
        bounds: Least and greatest plausible, in `unit`.
        unit: The unit it is kept in.
        units: What it is shown in where it is refused.
        what: What to say before the value: "temperature: ".

    Raises:
        Refused: Outside, or no number; the text names the bounds.
    """
    if not bounds[0] <= value <= bounds[1]:
        shown, expected = with_unit(value, unit, units), span(*bounds, unit, units)
        raise Refused(f"{what}found {shown}, which cannot be; expected {expected}")
    return value


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
    if not unit and not meant:
        return text  # a plain number is wanted: what a fraction is not
    if not unit and meant != "in":
        raise Refused(f"found {quoted(text)} without a unit, expected {text.strip()} in")
    if int(bottom) == 0:
        raise Refused(f"found {quoted(text)}, expected a number such as 3/8 in")
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
        raise Refused(f"found {quoted(text)}, expected an amount of money")
    digits = re.sub(r"['’ \u00a0\u202f]", "", match[2])
    marks = [mark for mark in digits if mark in ".,"]
    if len(set(marks)) == 1 and _THOUSANDS.match(digits):
        plain = digits.replace(marks[0], "")
        raise Refused(f"found {quoted(text)}, which can be read in two ways: write {plain} or {plain}.00")
    if len(set(marks)) == 2:
        digits = digits.replace("." if digits.rindex(",") > digits.rindex(".") else ",", "")
    digits = digits.replace(",", ".")
    if digits.count(".") > 1 or digits.startswith(".") or digits.endswith("."):
        raise Refused(f"found {quoted(text)}, expected an amount of money")
    return Decimal(("-" if match[1] else "") + digits)
