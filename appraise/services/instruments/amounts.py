"""Quantities as typed or imported: a number with a decimal comma or point, a unit of the right kind, what can be."""

from __future__ import annotations

import re
from math import isfinite

from appraise.model.units import UNITS, spellings, to_base
from appraise.services.quantity import Refused, decimal, in_words, span, unit_typed, with_unit
from appraise.store.characters import one_line

_AMOUNT = re.compile(r"([-+−]?)\s*([0-9]{1,15}(?:[.,][0-9]{0,15})?|[.,][0-9]{1,15})\s*(\D.{0,20})?\Z")
_LIMIT = 1e9
_SHOWN = 40


def quoted(text: str) -> str:
    """Return text as a message may quote it: one harmless line, not too long."""
    plain = one_line(text).strip()
    return f"“{plain}”" if len(plain) <= _SHOWN else f"“{plain[:_SHOWN]}…”"


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
    if not low <= value <= high:
        raise Refused(f"{what}: {with_unit(value, unit)} cannot be: expected {span(low, high, unit)}")
    return value
