"""A data logger's CSV file as a climate log: times in order, degrees Celsius, percent relative humidity."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from appraise.services.displayed_quantities import span, with_unit
from appraise.services.instruments.csv_file import read_bytes, wrong
from appraise.services.instruments.log_columns import read_columns
from appraise.services.instruments.log_header import find_header
from appraise.services.instruments.log_rows import read_each

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from appraise.services.instruments.log_header import LogHeader
    from appraise.tables.rows import Tables

    Floats = NDArray[np.float64]

MOST_ROWS = 5_000_000
"""Rows that are still read: ten years of a reading a minute."""


@dataclass(frozen=True, slots=True, eq=False)
class ClimateLog:
    """Readings of a data logger, in order of time; compared by identity."""

    file: str
    seconds: Floats
    """Time since 1970-01-01 on the logger's own clock, or UTC where it wrote its offset [s], shape (n,)."""
    temperature: Floats
    """[°C], shape (n,)."""
    humidity: Floats
    """[% RH], shape (n,)."""
    passed: int = 0
    """Rows passed over because a cell was empty."""
    moved: int = 0
    """Readings that stood before an earlier one; they were put in order."""
    fahrenheit: bool = False
    """The file was in °F."""


def read_log(path: Path, tables: Tables, *, unit: str | None = None, month_first: bool = False) -> ClimateLog:
    """Read a data logger's file.

    Args:
        path: CSV with headings: time (or date and time), temperature, relative humidity, in any order among others;
            parted by commas, semicolons or tabs; decimal point or comma; lines of particulars above the headings are
            passed over.
        tables: What readings can be.
        unit: "C" or "F"; none: as the heading has it.
        month_first: 01/31/2026 rather than 31/01/2026.

    Returns:
        The log, at least two readings.

    Raises:
        Unreadable: The file cannot be used; one problem, with its line.
    """
    content = read_bytes(path, "a data logger’s CSV file")
    header = find_header(path, content, unit)
    body = _after(content, header.lines)
    rows = body.count(b"\n")
    if rows > MOST_ROWS:
        raise wrong(path, None, "", f"{rows:,} rows", f"{MOST_ROWS:,} at most", "split it")
    columns, passed = read_columns(body, header, month_first=month_first), 0
    if columns is None:
        *lists, passed = read_each(path, body.decode("utf-8"), header, month_first=month_first)
        columns = np.array(lists[0]), np.array(lists[1]), np.array(lists[2])
    seconds, warmth, damp = columns
    if len(seconds) < 2:
        raise wrong(path, None, "", f"{len(seconds)} readings", "two or more")
    if header.fahrenheit:
        warmth = (warmth - 32.0) / 1.8
    _possible(path, body, header, warmth, "air_temperature", header.warmth, tables, passed)
    _possible(path, body, header, damp, "air_humidity", header.damp, tables, passed)
    if float(damp.max()) <= 1.0 and float(damp.max()) > 0.0:
        raise wrong(path, None, header.names[header.damp], "nothing above 1", "percent", "multiply shares by 100")
    moved = int(np.count_nonzero(np.diff(seconds) < 0))
    if moved:
        order = np.argsort(seconds, kind="stable")
        seconds, warmth, damp = seconds[order], warmth[order], damp[order]
    return ClimateLog(str(path), seconds, warmth, damp, passed, moved, header.fahrenheit)


def _after(content: bytes, lines: int) -> bytes:
    place = 0
    for _ in range(lines):
        found = content.find(b"\n", place)
        if found < 0:
            return b""
        place = found + 1
    return content[place:]


def _possible(
    path: Path, body: bytes, header: LogHeader, values: Floats, key: str, column: int, tables: Tables, passed: int
) -> None:
    """Refuse a reading that cannot be, naming its line where rows and readings go together."""
    row = tables.reading_ranges[key]
    bad = np.flatnonzero((values < row.low) | (values > row.high))
    if not len(bad):
        return
    line = None
    if not passed:
        filled = [n for n, text in enumerate(body.split(b"\n")) if text.strip(b' \t;,"')]
        line = header.lines + 1 + filled[int(bad[0])] if int(bad[0]) < len(filled) else None
    found = f"{with_unit(float(values[bad[0]]), row.unit)} ({len(bad)} such)"
    expected = span(row.low, row.high, row.unit)
    raise wrong(path, line, header.names[column], found, expected, "check the sensor and the unit of the column")
