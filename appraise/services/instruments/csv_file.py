"""A CSV file somebody's device or spreadsheet wrote: its bytes, its separator, and problems with the row."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import shown
from appraise.store.characters import error_text, sanitize_line
from appraise.tables.content import TooLarge, content_of

if TYPE_CHECKING:
    from pathlib import Path

LARGEST = 128 * 1024 * 1024
"""Size of a file that is still read [bytes]: some four million readings."""
SEPARATORS = ";\t,"
"""In the order in which they are believed where a line holds several."""
_SHOWN = 40


def read_bytes(path: Path, what: str) -> bytes:
    """Return a file's bytes: UTF-8, without a byte order mark, lines ending in line feeds.

    Args:
        path: The file.
        what: What it should be, for the message: "a data logger's CSV file".

    Raises:
        Unreadable: No such file, not a file, too large, empty, or not UTF-8.
    """
    file = sanitize_line(str(path))
    try:
        content = content_of(path, LARGEST)
    except TooLarge:
        raise Unreadable(Problem(file, None, "", f"more than {LARGEST >> 20} MB", what, "split it")) from None
    except (OSError, ValueError) as error:
        raise Unreadable(Problem(file, None, "", error_text(error), what)) from None
    content = content.removeprefix(b"\xef\xbb\xbf")
    if not content.isascii():
        try:
            content.decode("utf-8")
        except UnicodeDecodeError as error:
            line = content.count(b"\n", 0, error.start) + 1
            found = f"byte 0x{content[error.start]:02X}, which is not UTF-8"
            raise Unreadable(Problem(file, line, "", found, "text in UTF-8", "save it again as UTF-8")) from None
    if b"\r" in content:
        content = content.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if not content.strip():
        raise Unreadable(Problem(file, None, "", "an empty file", what))
    if b"\0" in content:
        line = content.count(b"\n", 0, content.index(b"\0")) + 1
        raise Unreadable(Problem(file, line, "", "a zero byte", "text in UTF-8"))
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


def wrong(path: Path, line: int | None, key: str, found: str, expected: str, mend: str = "") -> Unreadable:
    """Return what to raise for one problem of a file."""
    return Unreadable(Problem(sanitize_line(str(path)), line, shown(key), found, expected, mend))
