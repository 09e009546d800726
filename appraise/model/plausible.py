"""Ranges outside which a figure of a pitch log is a slip of the pen."""

CENTS = (-600.0, 300.0)
"""A string half an octave flat is slack, one a minor third sharp has broken [cents]."""
CELSIUS = (-20.0, 50.0)
"""Air beside an instrument that somebody reads a log at [°C]."""
HUMIDITY = (1.0, 100.0)
"""Relative humidity that an instrument can show [%]."""
EARLIEST_YEAR = 1600
"""No instrument with hammers is older; an earlier year is a slip of the pen."""
