"""A file of separated values, whatever parts its columns: headings in any order, and where each cell stands."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import shown
from appraise.services.refused import parted, quoted
from appraise.store.characters import error_text
from appraise.tables.content import TooLarge, content_of
from appraise.tables.files import nearest

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

MAX_BYTES = 2_000_000
MAX_ROWS = 5_000
MAX_COLUMNS = 200
_SHOWN = 40
_HEADING = re.compile(r"(.*?)\s*[\[(]([^\])]*)[\])]\s*\Z")
_NOTE = re.compile(r"[A-Ga-g][#♯b♭]?[0-8]\b")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a file: the cells by the key of their column, and where it stands."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Imported:
    """A file of separated values, its headings known."""

    path: str
    lines: tuple[Line, ...]
    units: Mapping[str, str]
    """Unit written in the heading, by the key of the column."""

    def problem(self, line: Line, column: str, refused: Exception | str) -> Problem:
        """Return a refusal as a problem of one cell."""
        return Problem(self.path, line.number, column, *parted(refused))


def separated(path: Path, columns: Mapping[str, Sequence[str]], bare: Sequence[str] = ()) -> Imported:
    """Read a file of separated values with comma, semicolon or tab between the columns.

    Args:
        path: The file, UTF-8, headings in its first line in any order; a heading may name its unit in brackets.
        columns: The columns that may stand there: key, and other headings that mean it.
        bare: Keys of the columns of a file without headings, two at least; a single column is the second of them.

    Returns:
        The lines that hold anything.

    Raises:
        Unreadable: No such file, not UTF-8, empty, too large, or headings that are not known; carries every problem.
    """
    text = _text(path)
    first = next(line for line in _lines(text) if line.strip())
    mark = next((mark for mark in (";", "\t", ",") if mark in first), None)
    rows = _rows(path, text, mark)
    headings = [cell.strip() for cell in rows[0][1]]
    if len(headings) > MAX_COLUMNS:
        found = f"{len(headings):,} columns"
        raise Unreadable(Problem(str(path), rows[0][0], "", found, f"{len(columns)} at most", _which(columns)))
    known = {name.casefold(): key for key, names in columns.items() for name in (key, *names)}
    if bare and not any(name.casefold() in known for name in headings) and _no_heading(headings):
        if len(headings) > len(bare):
            found = f"{len(headings)} columns without headings"
            raise Unreadable(Problem(str(path), rows[0][0], "", found, f"{len(bare)} at most", _which(columns)))
        alone = len(headings) == 1
        keys, units, body = list(bare[1:2] if alone else bare[: len(headings)]), dict[str, str](), rows
    else:
        keys, units = _headings(path, rows[0][0], headings, known, columns)
        body = rows[1:]
    problems = [
        Problem(str(path), number, "", f"{len(cells)} cells", f"{len(keys)}, one a column", _comma(mark))
        for number, cells in body
        if len(cells) != len(keys)
    ]
    if not body:
        problems.append(Problem(str(path), rows[0][0], "", "headings alone", "readings below them"))
    if problems:
        raise Unreadable(*problems)
    lines = tuple(Line(number, dict(zip(keys, (c.strip() for c in cells), strict=True))) for number, cells in body)
    return Imported(str(path), lines, units)


def _no_heading(headings: Sequence[str]) -> bool:
    return all(_is_reading(cell) for cell in headings)


def _is_reading(cell: str) -> bool:
    return not cell or cell[0] in "+-−.,0123456789" or bool(_NOTE.match(cell))


def _text(path: Path) -> str:
    try:
        raw = content_of(path, MAX_BYTES)
    except TooLarge as error:
        found, most = f"{error.size / 1e6:.1f} megabytes", f"{MAX_BYTES / 1e6:g} at most"
        raise Unreadable(Problem(str(path), None, "", found, most)) from None
    except (OSError, ValueError) as error:
        raise Unreadable(Problem(str(path), None, "", f"“{error_text(error)}”", "a file of separated values")) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise Unreadable(
            Problem(str(path), line, "", f"byte 0x{raw[error.start]:02x}", "text in UTF-8", "save it as UTF-8")
        ) from None
    if not text.strip():
        raise Unreadable(Problem(str(path), None, "", "an empty file", "headings, and readings below them"))
    return text


def _lines(text: str) -> list[str]:
    """Return the lines as CSV has them: no other character ends one."""
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def _rows(path: Path, text: str, mark: str | None) -> list[tuple[int, list[str]]]:
    if mark is None:  # a single column, where a blank line is a note that was not read
        numbered = [(n, [line.strip().strip('"')]) for n, line in enumerate(_lines(text.rstrip()), 1)]
        start = next((n for n, (_, cells) in enumerate(numbered) if cells[0]), None)
        if start is None:
            raise Unreadable(Problem(str(path), None, "", "nothing but quotes", "headings, and readings below them"))
        rows = numbered[start:]
    else:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
        rows = []
        try:
            for cells in reader:
                if len(cells) > 1 or any(cell.strip() for cell in cells):
                    rows.append((reader.line_num, cells))
        except csv.Error as error:
            raise Unreadable(
                Problem(str(path), reader.line_num, "", f"“{shown(str(error), 80)}”", "comma-separated values")
            ) from None
    if len(rows) > MAX_ROWS:
        raise Unreadable(Problem(str(path), rows[MAX_ROWS][0], "", f"{len(rows):,} lines", f"{MAX_ROWS:,} at most"))
    return rows


def _headings(
    path: Path, line: int, headings: Sequence[str], known: Mapping[str, str], columns: Mapping[str, Sequence[str]]
) -> tuple[list[str], dict[str, str]]:
    keys: list[str] = []
    units: dict[str, str] = {}
    problems: list[Problem] = []
    for heading in headings:
        match = _HEADING.match(heading)
        name, unit = (match[1], match[2].strip()) if match else (heading, "")
        key = known.get(name.casefold().strip()) or known.get(name.casefold().strip().replace(" ", "_"))
        if key is None:
            mend = nearest(name.casefold(), known) or _which(columns)
            problems.append(Problem(str(path), line, "", f"the heading {quoted(heading)}", "a known one", mend))
        elif key in keys:
            problems.append(Problem(str(path), line, key, "the column twice", "once"))
        keys.append(key or heading)
        if key is not None and unit:
            units[key] = unit
    if problems:
        raise Unreadable(*problems)
    return keys, units


def _which(columns: Iterable[str]) -> str:
    return "known are " + ", ".join(columns)


def _comma(mark: str | None) -> str:
    return "with a decimal comma, part the columns by semicolons" if mark == "," else ""
