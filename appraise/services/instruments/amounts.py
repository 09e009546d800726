"""Quantities as typed for an instrument: a number, a unit of the right kind, a plausible range."""

from __future__ import annotations

import re

from appraise.model.units import spellings, to_base
from appraise.services.quantity import Refused, number, span, with_unit

_PARTS = re.compile(r"([-+−]?[\d.,]+)\s*(\D*)\Z")


def amount(text: str, unit: str, what: str, low: float, high: float) -> float:
    """Read a quantity.

    Args:
        text: "70 °F", "21,5", "-4 cents".
        unit: The unit it is kept in, and the one meant where none is typed.
        what: What it is, for the person: "temperature".
        low: Least plausible, in `unit`.
        high: Greatest plausible.

    Returns:
        The value in `unit`.

    Raises:
        Refused: No number, a unit of another kind, or implausible.
    """
    typed = text.strip()
    match = _PARTS.match(typed) if len(typed) <= 60 else None
    if match is None:
        raise Refused(f"{what}: found “{typed[:60]}”, expected a number{' in ' + unit if unit else ''}")
    value, written = number(match[1]), match[2].strip()
    if written:
        ways = {way.casefold(): way for way in spellings(unit) if way}
        if written.casefold() not in ways:
            raise Refused(f"{what}: found the unit “{written}”, expected {', '.join(ways.values())}")
        value = float(f"{to_base(value, ways[written.casefold()])[0]:.9g}")
    if not low <= value <= high:
        raise Refused(f"{what}: {with_unit(value, unit)} cannot be: expected {span(low, high, unit)}")
    return value
