"""The reader of delimited text: bytes to lines and cells, headings in any order, and where each cell stands."""

from __future__ import annotations

import csv
import io
import re
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, Problem, Unreadable, quoted
from appraise.model.unsafe import error_text, sanitize_line, shown
from appraise.tables.content import TooLarge, content_of
from appraise.tables.files import nearest

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from pathlib import Path

LARGEST = 128 * 1024 * 1024
"""Size of a logger's file that is still read [bytes]: some four million readings."""
MAX_BYTES = 2_000_000
MAX_ROWS = 5_000
MAX_COLUMNS = 200
SEPARATORS = ";\t,"
"""In the order in which they are believed where a line holds several."""
_BELOW = "headings, and readings below them"
_HEADING = re.compile(r"(.*?)\s*[\[(]([^\])]*)[\])]\s*\Z")
_NOTE = re.compile(r"[A-Ga-g][#♯b♭]?[0-8]\b")


def wrong(path: Path, line: int | None, key: str, found: str, expected: str, mend: str = "") -> Unreadable:
    """Return what to raise for one problem of a file."""
    return Unreadable(Problem(sanitize_line(str(path)), line, shown(key), found, expected, mend))


def read_bytes(path: Path, what: str, *, small: bool = False) -> bytes:
    """Return a file's bytes: UTF-8, without a byte order mark, lines ending in line feeds.

    Args:
        path: The file.
        what: What it should be, for the message: "a data logger's CSV file".
        small: A table of readings, no logger's file: what is larger than `MAX_BYTES` is refused.

    Raises:
        Unreadable: No such file, not a file, too large, empty, or not UTF-8.
    """
    try:
        content = content_of(path, MAX_BYTES if small else LARGEST)
    except TooLarge as error:
        if small:
            found = f"{error.size / 1e6:.1f} megabytes"
            raise wrong(path, None, "", found, f"{MAX_BYTES / 1e6:g} at most") from None
        raise wrong(path, None, "", f"more than {LARGEST >> 20} MB", what, "split it") from None
    except (OSError, ValueError) as error:
        said = error_text(error)
        raise wrong(path, None, "", f"“{said}”" if small else said, what) from None
    content = content.removeprefix(b"\xef\xbb\xbf")
    if not content.isascii():
        try:
            content.decode("utf-8")
        except UnicodeDecodeError as error:
            line, byte = content.count(b"\n", 0, error.start) + 1, content[error.start]
            found, again = f"byte 0x{byte:02X}, which is not UTF-8", "save it again as UTF-8"
            if small:
                found, again = f"byte 0x{byte:02x}", "save it as UTF-8"
            raise wrong(path, line, "", found, "text in UTF-8", again) from None
    if b"\r" in content:
        content = content.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if not content.strip() or (small and not content.decode("utf-8").strip()):
        raise wrong(path, None, "", "an empty file", _BELOW if small else what)
    if b"\0" in content and not small:
        raise wrong(path, content.count(b"\n", 0, content.index(b"\0")) + 1, "", "a zero byte", "text in UTF-8")
    return content


def separator(line: str) -> str:
    """Return what parts the cells of a line: the mark it holds most of, of those a table is parted by."""
    return max(SEPARATORS, key=line.count)


def cells_of(line: str, mark: str) -> list[str]:
    """Return the cells of one line, quotes taken off; none of a line that is no list of cells."""
    try:
        return [cell.strip() for cell in next(csv.reader(io.StringIO(line), delimiter=mark), [])]
    except csv.Error:
        return []


def rows_of(
    path: Path, content: str, mark: str, above: int = 0, expected: str = "separated values"
) -> Iterator[tuple[int, list[str]]]:
    """Yield the rows of delimited text, each with the number of its line in the file.

    Args:
        path: How the file is named in messages.
        content: The text.
        mark: What parts the cells.
        above: Lines of the file before the text.
        expected: What it should be, for the message.

    Raises:
        Unreadable: Quotes that do not close, or more in a cell than can be; one problem, with its line.
    """
    reader = csv.reader(io.StringIO(content, newline=""), delimiter=mark, strict=True)
    try:
        for cells in reader:
            yield above + reader.line_num, cells
    except csv.Error as error:
        found = shown(str(error), 80)
        found = found if expected == "separated values" else f"“{found}”"
        raise wrong(path, above + reader.line_num, "", found, expected) from None


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

    def problem(self, line: Line, column: str, refused: InputError) -> Problem:
        """Return a refusal as a problem of one cell."""
        return Problem(self.path, line.number, column, sanitize_line(refused.found), refused.expected, refused.mend)


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
    text = read_bytes(path, "a file of separated values", small=True).decode("utf-8")
    first = next(line for line in text.split("\n") if line.strip())
    mark = next((mark for mark in SEPARATORS if mark in first), None)
    rows = _rows(path, text, mark)
    start, headings = rows[0][0], [cell.strip() for cell in rows[0][1]]
    if len(headings) > MAX_COLUMNS:
        raise wrong(path, start, "", f"{len(headings):,} columns", f"{len(columns)} at most", _which(columns))
    known = {name.casefold(): key for key, names in columns.items() for name in (key, *names)}
    if bare and not any(name.casefold() in known for name in headings) and all(map(_is_reading, headings)):
        if len(headings) > len(bare):
            found = f"{len(headings)} columns without headings"
            raise wrong(path, start, "", found, f"{len(bare)} at most", _which(columns))
        keys, units = list(bare[1:2] if len(headings) == 1 else bare[: len(headings)]), dict[str, str]()
    else:
        keys, units = _headings(path, start, headings, known, columns)
        rows = rows[1:]
    comma = "with a decimal comma, part the columns by semicolons" if mark == "," else ""
    problems = [
        Problem(str(path), number, "", f"{len(cells)} cells", f"{len(keys)}, one a column", comma)
        for number, cells in rows
        if len(cells) != len(keys)
    ]
    if not rows:
        problems.append(Problem(str(path), start, "", "headings alone", "readings below them"))
    if problems:
        raise Unreadable(*problems)
    lines = tuple(Line(number, dict(zip(keys, (c.strip() for c in cells), strict=True))) for number, cells in rows)
    return Imported(str(path), lines, units)


def _is_reading(cell: str) -> bool:
    return not cell or cell[0] in "+-−.,0123456789" or bool(_NOTE.match(cell))


def _rows(path: Path, text: str, mark: str | None) -> list[tuple[int, list[str]]]:
    if mark is None:  # a single column, where a blank line is a note that was not read
        numbered = [(n, [line.strip().strip('"')]) for n, line in enumerate(text.rstrip().split("\n"), 1)]
        start = next((n for n, (_, cells) in enumerate(numbered) if cells[0]), None)
        if start is None:
            raise wrong(path, None, "", "nothing but quotes", _BELOW)
        rows = numbered[start:]
    else:
        every = rows_of(path, text, mark, expected="comma-separated values")
        rows = [(line, cells) for line, cells in every if len(cells) > 1 or any(cell.strip() for cell in cells)]
    if len(rows) > MAX_ROWS:
        raise wrong(path, rows[MAX_ROWS][0], "", f"{len(rows):,} lines", f"{MAX_ROWS:,} at most")
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
        plain = name.casefold().strip()
        key = known.get(plain) or known.get(plain.replace(" ", "_"))
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
