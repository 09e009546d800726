"""A pitch log from a file of comma-separated values."""

from __future__ import annotations

import csv
from datetime import date
from difflib import get_close_matches
from typing import TYPE_CHECKING

from appraise.model import plausible
from appraise.model.case import PitchReading
from appraise.model.problem import Problem, Unreadable
from appraise.services.instruments.amounts import amount
from appraise.services.instruments.beats import note_typed
from appraise.services.quantity import Refused
from appraise.store.characters import one_line

if TYPE_CHECKING:
    from pathlib import Path

COLUMNS = ("date", "note", "cents", "temperature", "humidity", "remark")
"""The columns that may stand in the first row; the first three must."""
NEEDED = 3
LARGEST = 2_000_000
"""Bytes beyond which a file is no pitch log."""
_SHOWN = 40


def read_pitch_csv(path: Path) -> tuple[PitchReading, ...]:
    """Read a pitch log.

    Args:
        path: UTF-8, columns parted by comma, semicolon or tabulator, the first row naming them:
            date, note, cents, and if known temperature, humidity, remark.

    Returns:
        The readings in the order of the file.

    Raises:
        Unreadable: The file is no such table, or rows of it cannot be; carries every problem, a line each.
    """
    file = one_line(str(path))
    with path.open("rb") as stream:
        raw = stream.read(LARGEST + 1)
    if len(raw) > LARGEST:
        raise Unreadable(Problem(file, None, "", "more than two megabytes", "a pitch log"))
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        mend = "save it as UTF-8"
        raise Unreadable(Problem(file, line, "", "bytes that are no UTF-8", "a text in UTF-8", mend)) from None
    return _rows(file, text)


def _rows(file: str, text: str) -> tuple[PitchReading, ...]:
    first = text.split("\n", 1)[0]
    mark = max((";", "\t", ","), key=first.count)
    reader = csv.reader(text.splitlines(), delimiter=mark, strict=True)
    problems: list[Problem] = []
    found: list[PitchReading] = []
    names: list[str] = []
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if not names:
                names = [cell.strip().lower() for cell in cells]
                problems += _heads(file, reader.line_num, names)
                if problems:
                    break
                continue
            reading = _row(file, reader.line_num, names, cells, problems)
            if reading is not None:
                found.append(reading)
    except csv.Error as error:
        wrong = one_line(str(error))
        problems.append(Problem(file, reader.line_num, "", f"no row ({wrong})", "comma-separated values"))
    if not problems and not found:
        expected = f"a row of names ({', '.join(COLUMNS)}) and a row a reading"
        problems.append(Problem(file, None, "", "no reading" if names else "nothing", expected))
    if problems:
        raise Unreadable(*problems[:50])
    return tuple(found)


def _heads(file: str, line: int, names: list[str]) -> list[Problem]:
    problems = []
    for name in names:
        if name not in COLUMNS:
            near = get_close_matches(name, COLUMNS, n=1)
            mend = f"did you mean {near[0]}?" if near else f"known are {', '.join(COLUMNS)}"
            problems.append(Problem(file, line, _short(name), "an unknown column", "a column of a pitch log", mend))
    problems += [
        Problem(file, line, name, "no such column", f"the columns {', '.join(COLUMNS[:NEEDED])} at least")
        for name in COLUMNS[:NEEDED]
        if name not in names
    ]
    if len(set(names)) < len(names):
        problems.append(Problem(file, line, "", "a column twice", "every column once"))
    return problems


def _row(file: str, line: int, names: list[str], cells: list[str], problems: list[Problem]) -> PitchReading | None:
    if len(cells) != len(names):
        found, expected = f"{len(cells)} cells", f"{len(names)}, one a column"
        problems.append(Problem(file, line, "", found, expected))
        return None
    typed = dict(zip(names, (cell.strip() for cell in cells), strict=True))
    values: dict[str, object] = {}
    for name, cell in typed.items():
        try:
            values[name] = _cell(name, cell)
        except Refused as refused:
            what = f'"{_short(cell)}"' if cell else "nothing"
            problems.append(Problem(file, line, name, what, one_line(str(refused))))
    if len(values) < len(typed):
        return None
    return PitchReading(**values)  # type: ignore[arg-type]


def _cell(name: str, cell: str) -> object:
    """Read one cell.

    Raises:
        Refused: It does not fit its column.
    """
    if name == "remark":
        return one_line(cell)[:20_000]
    if name == "date":
        try:
            day = date.fromisoformat(cell)
        except ValueError:
            raise Refused("a day written as 2026-11-20") from None
        if day.year < plausible.EARLIEST_YEAR:
            raise Refused(f"a year from {plausible.EARLIEST_YEAR}")
        return day
    if name == "note":
        return note_typed(cell)
    if name == "cents":
        return amount(cell, "cents", "cents", *plausible.CENTS)
    if not cell:
        return None
    if name == "temperature":
        return amount(cell, "°C", "temperature", *plausible.CELSIUS)
    return amount(cell, "%", "humidity", *plausible.HUMIDITY)


def _short(text: str) -> str:
    line = one_line(text[:_SHOWN])
    return line if len(text) <= _SHOWN else f"{line}…"
