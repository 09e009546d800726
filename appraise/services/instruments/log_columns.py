"""The regular case of a data logger's file: every row alike, so that whole columns are read at once.

Anything irregular (quotes, empty cells, times of changing width, a word where a number should be) is left to
`log_rows`, which reads row by row and can say which row is wrong. Both give the same numbers.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.services.instruments.log_file import LogHeader

    Floats = NDArray[np.float64]
    Bytes = NDArray[np.uint8]
    Places = NDArray[np.int64]

_ISO = re.compile(rb"\d{4}[-/.]\d\d[-/.]\d\d[T ]\d\d:\d\d(:\d\d)?\Z")
_DAY_FIRST = re.compile(rb"\d\d[-/.]\d\d[-/.]\d{4}[T ,]\d\d:\d\d(:\d\d)?\Z")
_LONGEST = 12
"""Characters of a number that is still read here: its digits fit a double exactly."""

_MOST_CELLS = 40_000_000
"""Cells of a file that is still read here: each takes some forty bytes while it is."""


def read_columns(body: bytes, header: LogHeader, *, month_first: bool) -> tuple[Floats, Floats, Floats] | None:
    """Read every row at once.

    Args:
        body: The rows, without headings.
        header: Which column holds what.
        month_first: The month stands before the day where the year stands last.

    Returns:
        Time [s since 1970-01-01], temperature as written, humidity as written, each of shape (n,); none where the rows
        are not all alike.
    """
    if header.date is not None or b'"' in body:
        return None
    if body.count(header.mark.encode()) + body.count(b"\n") > _MOST_CELLS:
        return None
    body = body.strip(b"\n") + b"\n"
    data = np.frombuffer(body, dtype=np.uint8)
    marks = np.flatnonzero((data == ord(header.mark)) | (data == 10))
    if len(marks) == 0 or len(marks) % header.width:
        return None
    ends = marks.reshape(-1, header.width)
    if not (data[ends[:, -1]] == 10).all() or (data[ends[:, :-1]] == 10).any():
        return None
    starts = np.empty_like(ends)
    starts[:, 1:] = ends[:, :-1] + 1
    starts[0, 0], starts[1:, 0] = 0, ends[:-1, -1] + 1
    times = _times(data, starts[:, header.stamp], ends[:, header.stamp], month_first=month_first)
    if times is None:
        return None
    warmth = _numbers(data, starts[:, header.warmth], ends[:, header.warmth])
    damp = None if warmth is None else _numbers(data, starts[:, header.damp], ends[:, header.damp])
    return None if warmth is None or damp is None else (times, warmth, damp)


def _numbers(data: Bytes, start: Places, end: Places) -> Floats | None:
    """Read decimals with a point or a comma; none where a cell holds anything else."""
    size = end - start
    longest = int(size.max())
    if longest > _LONGEST or int(size.min()) < 1:
        return None
    value = np.zeros(len(start), dtype=np.int64)
    places = np.zeros(len(start), dtype=np.int64)
    marks = np.zeros(len(start), dtype=np.int8)
    minus = data[start] == ord("-")
    digits = np.zeros(len(start), dtype=np.int8)
    for n in range(longest):
        inside = n < size
        sign = data[np.where(inside, start + n, start)]
        digit = inside & (sign >= 48) & (sign <= 57)
        mark = inside & ((sign == ord(".")) | (sign == ord(",")))
        other = inside & ~digit & ~mark
        if other.any() and (n > 0 or not (minus | ~other).all()):
            return None
        value = np.where(digit, value * 10 + (sign.astype(np.int64) - 48), value)
        places += digit & (marks > 0)
        marks += mark
        digits += digit
    if int(marks.max()) > 1 or int(digits.min()) < 1:
        return None
    # Exact: whole numbers below 2^53 over a power of ten are rounded once, as the reading of one number is.
    found = value / 10.0**places
    return np.where(minus, -found, found)


def _times(data: Bytes, start: Places, end: Places, *, month_first: bool) -> Floats | None:
    """Read times of one width and one pattern [s since 1970-01-01]; none where they are not."""
    size = int(end[0] - start[0])
    if not (end - start == size).all():
        return None
    sample = data[int(start[0]) : int(end[0])].tobytes()
    iso = _ISO.match(sample) is not None
    if not iso and _DAY_FIRST.match(sample) is None:
        return None
    cells = {n: data[start + n] for n in range(size)}
    for n, sign in cells.items():
        if not 48 <= sample[n] <= 57:
            if not (sign == sample[n]).all():
                return None
        elif int(sign.min()) < 48 or int(sign.max()) > 57:
            return None

    def whole(first: int, count: int) -> Places:
        result = cells[first].astype(np.int64) - 48
        for n in range(first + 1, first + count):
            result = result * 10 + (cells[n].astype(np.int64) - 48)
        return result

    if iso:
        year, month, day = whole(0, 4), whole(5, 2), whole(8, 2)
    else:
        day, month, year = whole(0, 2), whole(3, 2), whole(6, 4)
        if month_first:
            day, month = month, day
    hour, minute = whole(11, 2), whole(14, 2)
    second = whole(17, 2) if size > 16 else np.zeros_like(hour)
    right = (month >= 1) & (month <= 12) & (day >= 1) & (hour < 24) & (minute < 60) & (second < 60) & (year >= 1970)
    if not right.all():
        return None
    first_of = ((year - 1970) * 12 + (month - 1)).astype("datetime64[M]")
    days = first_of.astype("datetime64[D]") + (day - 1)
    if not (days.astype("datetime64[M]") == first_of).all():
        return None
    return days.astype(np.int64) * 86_400.0 + (hour * 3600 + minute * 60 + second)
