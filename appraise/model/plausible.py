"""Ranges outside which a figure of a case is a slip of the pen."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

CENTS = (-600.0, 300.0)
"""A string half an octave flat is slack, one a minor third sharp has broken [cents]."""
CELSIUS = (-20.0, 50.0)
"""Air beside an instrument that somebody reads a log at [°C]."""
HUMIDITY = (1.0, 100.0)
"""Relative humidity that an instrument can show [%]."""
EARLIEST_YEAR = 1600
"""No instrument with hammers is older; an earlier year is a slip of the pen."""
LATEST_YEAR = 2200
"""Nothing in a case lies so far ahead; a later year is a slip of the pen."""
YEARS = f"a year from {EARLIEST_YEAR} to {LATEST_YEAR}"
"""Words for the value expected."""
MONEY_DIGITS = 11
"""Digits before the decimals: in no currency does an instrument, or work on it, come to more."""
LEAST_PRICE = 1
"""Price of an instrument, at least [money]: what is given away says nothing of prices."""
MOST_MARGIN_PCT = 90.0
"""A dealer's margin, at most [%]: something of the resale price is left."""
MOST_TAKEN_PCT = 98.0
"""Margin, holding and guarantee together, at most, for the same reason [% of the resale price]."""
WIDEST = 10
"""An end of the price new lies at most so many times above or below its middle [–]."""


def is_likely(*days: date) -> bool:
    """Tell whether days can belong to the life of an instrument."""
    return all(EARLIEST_YEAR <= day.year <= LATEST_YEAR for day in days)
