"""A data logger's file as a climate log: headings in any order, times of many patterns, °C, relative humidity."""

from __future__ import annotations

import math
import re
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, quoted
from appraise.model.quantities import span, with_unit
from appraise.services.instruments.csv_reader import cells_of, read_bytes, rows_of, separator, wrong
from appraise.services.instruments.log_columns import read_columns

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from appraise.tables.rows import Tables

    Floats = NDArray[np.float64]

MOST_ROWS = 5_000_000
"""Rows that are still read: ten years of a reading a minute."""
_LINES = 40
"""Lines above the headings that a logger may fill with its own particulars."""
_STAMP = re.compile(r"date\s*[/ &-]?\s*time|time\s*stamp|datetime|\btime\b|\bzeit\b|\bheure\b|\bhora\b")
_DATE = re.compile(r"\b(date|datum|day|fecha)\b(?!\s*[/ &-]?\s*time)")
_WARMTH = re.compile(r"temp|celsius|fahrenheit|°\s*[cf]\b|\([cf]\)")
_DAMP = re.compile(r"humid|feucht|\br\.?h\.?\b|%\s*r\.?h|\brh\b|\bhr\b|humedad|humidit")
_OTHER = re.compile(r"dew|tau|index|absolut|wet.?bulb|alarm|limit|\bmin\b|\bmax\b|g/m")
_FAHRENHEIT = re.compile(r"fahrenheit|°\s*f\b|\bf\b|deg\s*f")
_CELSIUS = re.compile(r"celsius|°\s*c\b|\bc\b|deg\s*c")
_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})\Z")
_YEAR_LAST = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d\d)\Z")
_CLOCK = re.compile(r"(\d{1,2}):(\d\d)(?::(\d\d)(?:[.,]\d+)?)?\s*([AaPp])?\.?(?:[Mm]\.?)?\s*(Z|[+-]\d\d:?\d\d)?\Z")
_NUMBER = re.compile(r"[-+−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)\Z")
_EPOCH = date(1970, 1, 1).toordinal()
_PATTERNS = "a time such as 2026-01-31 14:05 or 31.01.2026 14:05"


@dataclass(frozen=True, slots=True, eq=False)
class ClimateLog:
    """Readings of a data logger, in order of time; compared by identity."""

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


@dataclass(frozen=True, slots=True)
class LogHeader:
    """The first line of the readings, and the column of each quantity, counted from 0."""

    lines: int
    """Lines before the first reading, the headings included."""
    mark: str
    """Mark between the cells."""
    width: int
    """Cells of a row."""
    stamp: int
    date: int | None
    """Column of the date where the time stands alone."""
    warmth: int
    damp: int
    fahrenheit: bool
    names: tuple[str, ...]


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
    header = _find_header(path, content, unit)
    parts = content.split(b"\n", header.lines)
    body = parts[-1] if len(parts) > header.lines else b""
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
    return ClimateLog(seconds, warmth, damp, passed, moved)


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


def _find_header(path: Path, content: bytes, unit: str | None) -> LogHeader:
    """Find the line that names time, temperature and humidity."""
    head = content[:200_000].decode("utf-8", errors="ignore").split("\n")[:_LINES]
    best: tuple[int, int, list[str]] | None = None
    for place, line in enumerate(head):
        if not line.strip() or re.fullmatch(r"sep=.", line.strip()):
            continue
        names = cells_of(line, separator(line))
        found = sum(bool(columns) for columns in _columns(names))
        if len(names) >= 3 and found == 3:
            return _header(path, place, line, names, unit)
        if len(names) >= 2 and (best is None or found > best[0]):
            best = (found, place, names)
    place, names = (best[1], best[2]) if best else (0, [])
    wanted = zip(("time", "temperature", "%RH"), _columns(names), strict=True)
    missing = [word for word, columns in wanted if not columns]
    found_words = ", ".join(quoted(name) for name in names[:6]) if names else "no line of headings"
    expected = "headings that name time, temperature and %RH"
    raise wrong(path, place + 1, "", found_words, expected, f"none names {' or '.join(missing)}" if names else "")


def _columns(names: list[str]) -> tuple[list[int], list[int], list[int]]:
    """Return the columns that can be time (or date), temperature and humidity."""
    low = [name.casefold().replace("_", " ") for name in names]
    times = [n for n, name in enumerate(low) if _STAMP.search(name) or _DATE.search(name)]
    others = [(n, name) for n, name in enumerate(low) if not _OTHER.search(name) and n not in times]
    damp = [n for n, name in others if _DAMP.search(name)]
    return times, [n for n, name in others if _WARMTH.search(name) and n not in damp], damp


def _header(path: Path, place: int, line: str, names: list[str], unit: str | None) -> LogHeader:
    times, warm, damp = _columns(names)
    for what, columns in (("temperature", warm), ("%RH", damp)):
        if len(columns) > 1:
            both = " and ".join(quoted(names[n]) for n in columns[:2])
            raise wrong(path, place + 1, "", f"{both}, which could both be {what}", "one such column", "take one out")
    low = [name.casefold().replace("_", " ") for name in names]
    dates = [n for n in times if _DATE.search(low[n])]
    stamps = [n for n in times if n not in dates]
    if not stamps:
        stamps, dates = dates[:1], []
    whole = [n for n in stamps if re.search(r"date|stamp", low[n])]
    alone = dates[0] if dates and not whole else None
    heading = low[warm[0]]
    unit = unit or ("F" if _FAHRENHEIT.search(heading) else "C" if _CELSIUS.search(heading) else None)
    if unit is None:
        mend = "name the unit in the heading; appraise measure takes --unit C or --unit F too"
        raise wrong(path, place + 1, names[warm[0]], "a temperature without its unit", "°C or °F", mend)
    mark, stamp = separator(line), (whole or stamps)[0]
    return LogHeader(place + 1, mark, len(names), stamp, alone, warm[0], damp[0], unit == "F", tuple(names))


class _Days(dict[str, float]):
    """Date as written → seconds since 1970; each is read once."""

    def __init__(self, *, month_first: bool) -> None:
        super().__init__()
        self._month_first = month_first

    def __missing__(self, text: str) -> float:
        match = _YEAR_FIRST.match(text)
        if match is not None:
            year, month, day = (int(part) for part in match.groups())
        else:
            match = _YEAR_LAST.match(text)
            if match is None:
                raise ValueError("")
            day, month, year = (int(part) for part in match.groups())
            if self._month_first:
                day, month = month, day
            year += 2000 if year < 100 else 0
            if month > 12 >= day:
                mend = "leave out --month-first" if self._month_first else "the month comes first: --month-first"
                raise InputError(text, _PATTERNS, mend)
        if year < 1970:
            raise ValueError("")
        result = self[text] = (date(year, month, day).toordinal() - _EPOCH) * 86_400.0
        return result


class _Clocks(dict[str, float]):
    """Time of day as written → seconds; each is read once."""

    def __missing__(self, text: str) -> float:
        match = _CLOCK.match(text)
        if match is None:
            raise ValueError("")
        hour, minute, second = int(match[1]), int(match[2]), int(match[3] or 0)
        if match[4]:
            if not 1 <= hour <= 12:
                raise ValueError("")
            hour = hour % 12 + (12 if match[4] in "Pp" else 0)
        if hour > 23 or minute > 59 or second > 59:
            raise ValueError("")
        result = hour * 3600.0 + minute * 60 + second
        if match[5] and match[5] != "Z":
            away = int(match[5][1:3]) * 3600 + int(match[5][-2:]) * 60
            result -= away if match[5][0] == "+" else -away
        self[text] = result
        return result


def read_each(
    path: Path, body: str, header: LogHeader, *, month_first: bool
) -> tuple[list[float], list[float], list[float], int]:
    """Read row by row.

    Args:
        path: How the file is named in messages.
        body: The rows, without headings.
        header: Which column holds what.
        month_first: The month stands before the day where the year stands last.

    Returns:
        Time [s since 1970-01-01], temperature and humidity as written; and how many rows were passed over because a
        cell was empty.

    Raises:
        Unreadable: A row that cannot be read, with its line.
    """
    days, clocks = _Days(month_first=month_first), _Clocks()
    times: list[float] = []
    warmth: list[float] = []
    damp: list[float] = []
    passed = 0
    needed = max(header.stamp, header.warmth, header.damp, header.date or 0)
    for line, cells in rows_of(path, body, header.mark, header.lines):
        if not any(cells):
            continue
        if len(cells) <= needed or len(cells) > header.width + 1:
            raise wrong(path, line, "", f"{len(cells)} cells", f"{header.width}, one a heading")
        stamp, warm, wet = (cells[n].strip() for n in (header.stamp, header.warmth, header.damp))
        if not stamp or not warm or not wet:
            passed += 1
            continue
        times.append(_time(path, line, cells, header, days, clocks))
        warmth.append(_number(path, line, warm, header.names[header.warmth]))
        damp.append(_number(path, line, wet, header.names[header.damp]))
    return times, warmth, damp, passed


def _time(path: Path, line: int, cells: list[str], header: LogHeader, days: _Days, clocks: _Clocks) -> float:
    stamp = cells[header.stamp].strip()
    if header.date is not None:
        day, clock = cells[header.date].strip(), stamp
    else:
        day, _, clock = stamp.replace("T", " ", 1).partition(" ")
        day = day.rstrip(",")
    try:
        return days[day] + (clocks[clock.strip()] if clock else 0.0)
    except ValueError as error:
        mend = error.mend if isinstance(error, InputError) else ""
        written = quoted(stamp if header.date is None else f"{day} {clock}")
        raise wrong(path, line, header.names[header.stamp], written, _PATTERNS, mend) from None


def _number(path: Path, line: int, text: str, name: str) -> float:
    bare = text.rstrip("%°CF ").replace("\u00a0", "")
    if (bare.isascii() or "−" in bare) and _NUMBER.match(bare):
        result = float(bare.replace(",", ".").replace("−", "-"))
        if math.isfinite(result):
            return result
    raise wrong(path, line, name, quoted(text), "a number")
