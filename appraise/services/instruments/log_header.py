"""Which column of a data logger's file is which: by its heading, in any order and several languages' abbreviations."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.services.instruments.csv_file import cells_of, separator, wrong
from appraise.services.refused import quoted

if TYPE_CHECKING:
    from pathlib import Path

_LINES = 40
"""Lines above the headings that a logger may fill with its own particulars."""
_STAMP = re.compile(r"date\s*[/ &-]?\s*time|time\s*stamp|datetime|\btime\b|\bzeit\b|\bheure\b|\bhora\b")
_DATE = re.compile(r"\b(date|datum|day|fecha)\b(?!\s*[/ &-]?\s*time)")
_WARMTH = re.compile(r"temp|celsius|fahrenheit|°\s*[cf]\b|\([cf]\)")
_DAMP = re.compile(r"humid|feucht|\br\.?h\.?\b|%\s*r\.?h|\brh\b|\bhr\b|humedad|humidit")
_OTHER = re.compile(r"dew|tau|index|absolut|wet.?bulb|alarm|limit|\bmin\b|\bmax\b|g/m")
_FAHRENHEIT = re.compile(r"fahrenheit|°\s*f\b|\bf\b|deg\s*f")
_CELSIUS = re.compile(r"celsius|°\s*c\b|\bc\b|deg\s*c")


@dataclass(frozen=True, slots=True)
class LogHeader:
    """Where the readings begin, and which column holds what."""

    lines: int
    """Lines before the first reading, the headings included."""
    mark: str
    """What parts the cells."""
    width: int
    """Cells of a row."""
    stamp: int
    """Column of time, counted from 0."""
    date: int | None
    """Column of the date where the time stands alone."""
    warmth: int
    damp: int
    fahrenheit: bool
    names: tuple[str, ...]


def find_header(path: Path, content: bytes, unit: str | None) -> LogHeader:
    """Find the headings of a data logger's file.

    Args:
        path: How the file is named in messages.
        content: UTF-8 text.
        unit: "C" or "F" where the person said so; none: as the heading has it.

    Raises:
        Unreadable: No line names time, temperature and humidity; two columns could be one; or no unit is named.
    """
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
    times, warm, damp = _columns(names)
    missing = [word for word, columns in (("time", times), ("temperature", warm), ("%RH", damp)) if not columns]
    found_words = ", ".join(quoted(name) for name in names[:6]) if names else "no line of headings"
    expected = "headings that name time, temperature and %RH"
    raise wrong(path, place + 1, "", found_words, expected, f"none names {' or '.join(missing)}" if names else "")


def _columns(names: list[str]) -> tuple[list[int], list[int], list[int]]:
    """Return the columns that can be time (or date), temperature and humidity."""
    low = [name.casefold().replace("_", " ") for name in names]
    times = [n for n, name in enumerate(low) if _STAMP.search(name) or _DATE.search(name)]
    damp = [n for n, name in enumerate(low) if _DAMP.search(name) and not _OTHER.search(name) and n not in times]
    warm = [
        n for n, name in enumerate(low) if _WARMTH.search(name) and not _OTHER.search(name) and n not in (*times, *damp)
    ]
    return times, warm, damp


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
    stamp = (whole or stamps)[0]
    date = dates[0] if dates and not whole else None
    heading = low[warm[0]]
    named = "F" if _FAHRENHEIT.search(heading) else "C" if _CELSIUS.search(heading) else None
    if (unit or named) is None:
        mend = "name the unit in the heading; appraise measure takes --unit C or --unit F too"
        raise wrong(path, place + 1, names[warm[0]], "a temperature without its unit", "°C or °F", mend)
    return LogHeader(
        place + 1, separator(line), len(names), stamp, date, warm[0], damp[0], (unit or named) == "F", tuple(names)
    )
