"""A data logger's file row by row: times of many patterns, empty cells passed over, the wrong row named."""

from __future__ import annotations

import csv
import io
import math
import re
from datetime import date
from typing import TYPE_CHECKING

from appraise.model.unsafe import shown
from appraise.services.instruments.csv_file import wrong
from appraise.services.refused import quoted

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.services.instruments.log_header import LogHeader

_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})\Z")
_YEAR_LAST = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d\d)\Z")
_CLOCK = re.compile(
    r"(\d{1,2}):(\d\d)(?::(\d\d)(?:[.,]\d+)?)?\s*([AaPp])?\.?(?:[Mm]\.?)?\s*(Z|[+-]\d\d:?\d\d)?\Z",
)
_NUMBER = re.compile(r"[-+−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)\Z")
_EPOCH = date(1970, 1, 1).toordinal()
_PATTERNS = "a time such as 2026-01-31 14:05 or 31.01.2026 14:05"


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
                other = "--day-first" if self._month_first else "--month-first"
                raise ValueError(f"the other order of day and month: {other}")
        if year < 1970:
            raise ValueError("")
        found = self[text] = (date(year, month, day).toordinal() - _EPOCH) * 86_400.0
        return found


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
        found = hour * 3600.0 + minute * 60 + second
        if match[5] and match[5] != "Z":
            away = int(match[5][1:3]) * 3600 + int(match[5][-2:]) * 60
            found -= away if match[5][0] == "+" else -away
        self[text] = found
        return found


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
    reader = csv.reader(io.StringIO(body), delimiter=header.mark, strict=True)
    needed = max(header.stamp, header.warmth, header.damp, header.date or 0)
    try:
        for cells in reader:
            if not any(cells):
                continue
            line = header.lines + reader.line_num
            if len(cells) <= needed or len(cells) > header.width + 1:
                raise wrong(path, line, "", f"{len(cells)} cells", f"{header.width}, one a heading")
            stamp, warm, wet = (cells[n].strip() for n in (header.stamp, header.warmth, header.damp))
            if not stamp or not warm or not wet:
                passed += 1
                continue
            times.append(_time(path, line, cells, header, days, clocks))
            warmth.append(_number(path, line, warm, header.names[header.warmth]))
            damp.append(_number(path, line, wet, header.names[header.damp]))
    except csv.Error as error:
        raise wrong(path, header.lines + reader.line_num, "", shown(str(error), 80), "separated values") from None
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
        mend = str(error) if "order" in str(error) else ""
        shown = quoted(stamp if header.date is None else f"{day} {clock}")
        raise wrong(path, line, header.names[header.stamp], shown, _PATTERNS, mend) from None


def _number(path: Path, line: int, text: str, name: str) -> float:
    bare = text.rstrip("%°CF ").replace("\u00a0", "")
    if not bare.isascii() and "−" not in bare:
        raise wrong(path, line, name, quoted(text), "a number")
    if _NUMBER.match(bare):
        found = float(bare.replace(",", ".").replace("−", "-"))
        if math.isfinite(found):
            return found
    raise wrong(path, line, name, quoted(text), "a number")
