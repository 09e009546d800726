"""Amounts as people type them: a decimal comma or point, a fraction of an inch, a unit that fits, money."""

from __future__ import annotations

import re
from decimal import Decimal
from math import isfinite

from appraise.model.locale_format import Units
from appraise.model.units import UNITS, spellings, to_base
from appraise.services.displayed_quantities import in_words, span, with_unit
from appraise.services.refused import InputError, quoted

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
    match = _AMOUNT.match(decimal(text, meant or unit).strip())
    if match is None:
        raise InputError(f"found {quoted(text)}, expected {expected}")
    value = float(match[2].replace(",", ".")) * (-1.0 if match[1] in ("-", "−") and match[1] else 1.0)
    written = (match[3] or "").strip() or meant or unit
    if written != unit:
        known = unit_typed(written)
        if known is None or UNITS[known].base != unit:
            ways = ", ".join(way for way in spellings(unit) if way) if unit else ""
            raise InputError(f"found the unit {quoted(written)}, expected {ways or 'a number alone'}")
        value = float(f"{to_base(value, known)[0]:.9g}")
    if whole and not value.is_integer():
        raise InputError(f"found {quoted(text)}, expected {expected}")
    if not isfinite(value) or abs(value) > _LIMIT:
        raise InputError(f"found {quoted(text)}, expected a number of ordinary size")
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
        raise InputError(f"{what}: {refused}") from None
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
        InputError: Outside, or no number; the text names the bounds.
    """
    if not bounds[0] <= value <= bounds[1]:
        shown, expected = with_unit(value, unit, units), span(*bounds, unit, units)
        raise InputError(f"{what}found {shown}, which cannot be; expected {expected}")
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
        raise InputError(f"found {quoted(text)} without a unit, expected {text.strip()} in")
    if int(bottom) == 0:
        raise InputError(f"found {quoted(text)}, expected a number such as 3/8 in")
    return f"{sign}{int(whole or 0) + int(top) / int(bottom):.6f} {unit}".rstrip()


def _inches(text: str, sign: str, feet: str, *parts: str | None) -> str:
    """Return feet and inches as inches."""
    whole, top, bottom, alone_top, alone_bottom = parts
    inches = float((whole or "0").replace(",", "."))
    over, under = top or alone_top, bottom or alone_bottom
    if over and under:
        if int(under) == 0:
            raise InputError(f"found {quoted(text)}, expected a length such as 5 ft 10 1/2 in")
        inches += int(over) / int(under)
    if inches >= _INCHES_A_FOOT:
        raise InputError(f"found {quoted(text)}, expected fewer than {_INCHES_A_FOOT} inches beside the feet")
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
        raise InputError(f"found {quoted(text)}, expected {_AMOUNT_OF_MONEY}")
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
        raise InputError(f"found {quoted(text)}, expected {_AMOUNT_OF_MONEY}")
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
    from appraise.model.currency import DIGITS

    if locale:
        from babel import Locale

        return bool(Locale.parse(locale).number_symbols["latn"]["group"] == mark)
    return named and DIGITS.get(currency, 3) < _THOUSANDTHS
