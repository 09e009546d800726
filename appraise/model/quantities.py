"""Quantities: the units there are, how a person types an amount, and how one is converted and shown.

Metric inside; a few other units are accepted and shown. An amount may be typed with a decimal comma or point, blanks or
marks between thousands, a common fraction, in feet and inches, or in words; money with the sign of its currency.
"""

from __future__ import annotations

import re
from decimal import Decimal
from enum import StrEnum
from math import isfinite

from appraise.model.currency import DIGITS
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, quoted
from appraise.model.written_numbers import in_figures


class Units(StrEnum):
    """Units that lengths and the like are given in."""

    METRIC = "metric"
    INCH = "inch"
    """Inches, inch-pounds, pounds, cubic feet, °F; grams stay, for touch is weighed in grams everywhere."""


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


def converted(value: float, unit: str, units: Units) -> tuple[float, str, int]:
    """Return a quantity in a reader's unit.

    Args:
        value: In `unit`; a temperature is a point of its scale, never the difference of two.
        unit: A base unit of the tables, or cm.
        units: The reader's.

    Returns:
        The value, its unit, and the decimals worth showing.
    """
    if units is not Units.INCH or unit not in INCHES:
        return value, unit, 2
    other, decimals = INCHES[unit]
    base, _ = to_base(value, unit)
    zero, one = to_base(0.0, other)[0], to_base(1.0, other)[0]
    return (base - zero) / (one - zero), other, decimals


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
    shown, _, decimals = converted(value, unit, units)
    return round(shown, decimals)


def with_unit(value: float, unit: str, units: Units = Units.METRIC) -> str:
    """Return a quantity as people read it: "7.4 N·m", "12 %", "3"."""
    shown = as_shown(value, unit, units)
    figure = f"{shown:.4g}" if abs(shown) < 10_000 else f"{shown:.0f}"
    return f"{figure} {unit_shown(unit, units)}".rstrip().replace("-", "−")


def span(low: float, high: float, unit: str, units: Units = Units.METRIC) -> str:
    """Return two bounds as people read them: "2 to 30 N·m"."""
    return f"{with_unit(as_shown(low, unit, units), '')} to {with_unit(high, unit, units)}"


_AMOUNT = re.compile(r"([-+−]?)\s*([0-9]{1,15}(?:[.,][0-9]{0,15})?|[.,][0-9]{1,15})\s*(\D.{0,20})?\Z")
_FRACTION = re.compile(r"([-+−]?)(?:(\d{1,4})[\s-]+)?(\d{1,3})/(\d{1,3})\s*(.*)\Z", re.ASCII)
_MONEY = re.compile(r"([-−]?)(\d[\d.,'’ \u00a0\u202f]*)\Z", re.ASCII)
_THOUSANDS = re.compile(r"\d{1,3}([.,]\d{3})+\Z")
_FEET = re.compile(
    r"([-+−]?)(\d{1,4})\s*(?:ft|feet|foot|['′])[\s-]*"
    r"(?:(\d{1,3}(?:[.,]\d{1,4})?)(?:[\s-]+(\d{1,3})/(\d{1,3}))?|(\d{1,3})/(\d{1,3}))\s*(?:in|inch|inches|[\"″]|'')?\Z",
    re.ASCII | re.IGNORECASE,
)
_ALIASES = {'"': "in", "″": "in", "inch": "in", "inches": "in", "'": "ft", "′": "ft", "mil": "thou", "mils": "thou"}
_LIMIT = 1e9
_INCHES_A_FOOT = 12
_THOUSANDTHS = 3
_AMOUNT_OF_MONEY = "an amount of money, its currency left out: 14000 or 14000.50"
_GRADE = re.compile(r"([1-5])(?:(?P<whole>[.,]0)|(?P<half>[.,]5?|½|5))?\Z", re.ASCII)


def number(text: str, *, whole: bool = False) -> float:
    """Read a plain number, with a decimal comma or point.

    Raises:
        InputError: The text is not one number, or not a whole one where that is wanted.
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
        InputError: No number, a unit of another kind, or not whole; the text is one line.
    """
    kind = "a whole number" if whole else "a number"
    expected = f"{kind}{in_words(meant or unit)}"
    match = _AMOUNT.match(decimal(in_figures(text), meant or unit).strip())
    if match is None:
        raise InputError(quoted(text), expected)
    value = float(match[2].replace(",", ".")) * (-1.0 if match[1] in ("-", "−") and match[1] else 1.0)
    written = (match[3] or "").strip() or meant or unit
    if written != unit:
        known = unit_typed(written)
        if known is None or UNITS[known].base != unit:
            ways = ", ".join(way for way in spellings(unit) if way) if unit else ""
            raise InputError(f"the unit {quoted(written)}", ways or "a number alone")
        value = float(f"{to_base(value, known)[0]:.9g}")
    if whole and not value.is_integer():
        raise InputError(quoted(text), expected)
    if not isfinite(value) or abs(value) > _LIMIT:
        raise InputError(quoted(text), "a number of ordinary size")
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
        InputError: No number, a unit of another kind, or implausible.
    """
    try:
        value = in_unit(text, unit, meant=meant)
    except InputError as refused:
        raise refused.about(what) from None
    return within(value, (low, high), unit, subject=what)


def within(
    value: float, bounds: tuple[float, float], unit: str, units: Units = Units.METRIC, *, subject: str = ""
) -> float:
    """Return a value that can be.

    Args:
        value: The value, in `unit`.
        bounds: Least and greatest plausible, in `unit`.
        unit: The unit it is kept in.
        units: What it is shown in where it is refused.
        subject: What it is: "temperature".

    Raises:
        InputError: Outside, or no number; the text names the bounds.
    """
    if not bounds[0] <= value <= bounds[1]:
        raise InputError(
            f"{with_unit(value, unit, units)}, which cannot be", span(*bounds, unit, units), subject=subject
        )
    return value


def decimal(text: str, meant: str = "") -> str:
    """Return a measure written as a common fraction, or in feet and inches, with a decimal one; else as it is.

    Args:
        text: "3/8 in", "1 3/4 in" or "1-3/4 in", as rules and gauges in inches are read; "5 ft 10".
        meant: The unit of a number alone; in inches a fraction needs no unit either.

    Raises:
        InputError: A fraction that says no unit where another than the inch is meant, or one of nothing.
    """
    feet = _FEET.match(text.strip())
    if feet is not None:
        return _inches(text, *feet.groups())
    match = _FRACTION.match(text.strip())
    if match is None:
        return text
    sign, whole, top, bottom, unit = match.groups()
    if not unit and not meant:
        return text  # a plain number is wanted: what a fraction is not
    if not unit and meant != "in":
        raise InputError(f"{quoted(text)} without a unit", f"{text.strip()} in")
    if int(bottom) == 0:
        raise InputError(quoted(text), "a number such as 3/8 in")
    return f"{sign}{int(whole or 0) + int(top) / int(bottom):.6f} {unit}".rstrip()


def _inches(text: str, sign: str, feet: str, *parts: str | None) -> str:
    """Return feet and inches as inches."""
    whole, top, bottom, alone_top, alone_bottom = parts
    inches = float((whole or "0").replace(",", "."))
    over, under = top or alone_top, bottom or alone_bottom
    if over and under:
        if int(under) == 0:
            raise InputError(quoted(text), "a length such as 5 ft 10 1/2 in")
        inches += int(over) / int(under)
    if inches >= _INCHES_A_FOOT:
        raise InputError(quoted(text), f"fewer than {_INCHES_A_FOOT} inches beside the feet")
    return f"{sign}{_INCHES_A_FOOT * int(feet) + inches:.6f} in"


def unit_typed(text: str) -> str | None:
    """Return the key in `UNITS` of a unit as typed, however its letters are written; none: no such unit."""
    plain = text.strip().casefold()
    return {key.casefold(): key for key in UNITS}.get(_ALIASES.get(plain, plain))


def money(text: str, currency: str = "", locale: str = "") -> Decimal:
    """Read an amount of money, with or without its currency and marks between the thousands.

    Args:
        text: "48000", "48 000,50", "48'000.50", "£6,500"; a mark that could be either is refused.
        currency: Whose sign or code may stand with the amount; empty: none may.
        locale: By which a mark that could be either is read; empty: by the currency, where that stands with it.

    Raises:
        InputError: Not an amount, of another currency, or one that could be read in two ways.
    """
    bare, named = _without_currency(text.strip(), currency, locale) if currency else (text.strip(), False)
    match = _MONEY.match(bare)
    if match is None:
        raise InputError(quoted(text), _AMOUNT_OF_MONEY)
    digits = re.sub(r"['’ \u00a0\u202f]", "", match[2])
    marks = [mark for mark in digits if mark in ".,"]
    if len(set(marks)) == 1 and _THOUSANDS.match(digits) and _groups(marks[0], currency, locale, named=named):
        digits = digits.replace(marks[0], "")
    elif len(set(marks)) == 1 and _THOUSANDS.match(digits):
        plain = digits.replace(marks[0], "")
        raise InputError(f"found {quoted(text)}, which can be read in two ways: write {plain} or {plain}.00")
    if len(set(marks)) == 2:
        digits = digits.replace("." if digits.rindex(",") > digits.rindex(".") else ",", "")
    digits = digits.replace(",", ".")
    if digits.count(".") > 1 or digits.startswith(".") or digits.endswith("."):
        raise InputError(quoted(text), _AMOUNT_OF_MONEY)
    return Decimal(("-" if match[1] else "") + digits)


def _without_currency(text: str, currency: str, locale: str) -> tuple[str, bool]:
    """Return an amount without the sign or code of its currency, and whether one stood there."""
    from babel.numbers import get_currency_symbol

    sign = get_currency_symbol(currency, "en")
    ways = {currency, sign, get_currency_symbol(currency, locale or "en")}
    ways |= {sign[-1]} if not sign[-1].isalnum() else set()
    for way in sorted(ways, key=len, reverse=True):
        for bare in (text[len(way) :], text[: -len(way)]):
            start = bare == text[len(way) :]
            if (text.casefold().startswith if start else text.casefold().endswith)(way.casefold()):
                return bare.strip(), True
    return text, False


def _groups(mark: str, currency: str, locale: str, *, named: bool) -> bool:
    """Tell whether a mark before three digits stands between thousands.

    By the locale where there is one; else by a currency that stands with the amount and has no thousandths.
    """
    if locale:
        from babel import Locale

        return bool(Locale.parse(locale).number_symbols["latn"]["group"] == mark)
    return named and DIGITS.get(currency, 3) < _THOUSANDTHS


def grade_typed(text: str) -> float | None:
    """Return the grade that a text names; none where it names none.

    "2" is 2; "2.", "2.5", "2,5", "2½" and "25" are 2.5.
    """
    match = _GRADE.match(text.strip())
    if match is None:
        return None
    grade = float(match[1]) + (0.5 if match["half"] else 0.0)
    return grade if grade <= 5.0 else None
