"""Table files as raw rows: the cells of each row, and where it stands."""

from __future__ import annotations

import csv
import difflib
import io
import re
from dataclasses import field
from typing import TYPE_CHECKING

import tomli

from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem
from appraise.model.unsafe import shown as named
from appraise.tables.columns import WrongCellError, day, shown, text
from appraise.tables.content import DEEPEST, TooLarge, content_of, too_deep_at
from appraise.tables.lines import line_index, line_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from appraise.tables.layout import Layout

MAX_BYTES = 4_000_000
"""Larger files are refused unread: no table is near this size."""

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z")
"""One line with its end; no other character ends one, in CSV as in TOML."""

_SYNTAX_PLACE = re.compile(r"(.*) \(at line (\d+), column \d+\)\Z", re.DOTALL)


@dataclass(slots=True)
class TableFile:
    """One file read as text."""

    path: str
    """As the person gave it."""
    content: str
    row_lines: list[int] | None = None
    """CSV: the line of each row."""
    _index: dict[tuple[str | int, ...], int] | None = field(default=None, repr=False)

    def line(self, *path: str | int) -> int | None:
        """Return the line of a key path, list items counted from 0; none where it cannot be told."""
        if self.row_lines is not None:
            at_row = len(path) > 1 and isinstance(path[1], int)
            return self.row_lines[int(path[1])] if at_row else None
        if self._index is None:
            self._index = line_index(self.content)
        return line_of(self._index, path)

    def problem(self, path: tuple[str | int, ...], found: str, expected: str, mend: str = "") -> Problem:
        """Return a problem at a key path of this file."""
        dotted = ""
        for part in path:
            if isinstance(part, int):
                dotted += f"[{part + 1}]"
            else:
                dotted += f".{named(part)}" if dotted else named(part)
        return Problem(self.path, self.line(*path), dotted, found, expected, mend)


@dataclass(frozen=True, slots=True)
class RawRow:
    """One row as the file has it."""

    file: TableFile
    number: int
    """Counted from 0."""
    cells: dict[str, object]

    def problem(self, column: str, found: str, expected: str, mend: str = "") -> Problem:
        """Return a problem with one cell, or with the whole row where `column` is empty."""
        path = ("row", self.number, column) if column else ("row", self.number)
        return self.file.problem(path, found, expected, mend)


def read_rows(path: Path, layout: Layout, problems: list[Problem], *, header: bool) -> list[RawRow]:
    """Read the rows of one file, their cells not yet looked at.

    Args:
        path: A TOML file, or CSV with the columns' names in its first line that is no # remark.
        layout: The table it belongs to.
        problems: What is wrong is added here.
        header: A TOML file must have [table] with its id, and [columns].

    Returns:
        The rows; empty when the file cannot be read at all.
    """
    try:
        content = content_of(path, MAX_BYTES).decode("utf-8-sig")
    except TooLarge as error:
        found, expected = error.strerror or "", f"a table of at most {MAX_BYTES // 10**6} MB"
        problems.append(Problem(str(path), None, "", found, expected))
        return []
    except UnicodeDecodeError as error:
        found = f"byte {error.start + 1} that is no UTF-8"
        problems.append(Problem(str(path), None, "", found, "text in UTF-8", "save it as UTF-8"))
        return []
    except OSError as error:
        problems.append(Problem(str(path), None, "", error.strerror or "an error", "a file that can be read"))
        return []
    if path.suffix == ".csv":
        return _csv_rows(TableFile(str(path), content), problems)
    return _toml_rows(TableFile(str(path), content), layout, problems, header=header)


def _csv_rows(file: TableFile, problems: list[Problem]) -> list[RawRow]:
    lines = _LINE.findall(file.content)
    skipped = 0
    while skipped < len(lines) and (not lines[skipped].strip() or lines[skipped].startswith("#")):
        skipped += 1
    reader = csv.reader(io.StringIO("".join(lines[skipped:]), newline=""), strict=True)
    file.row_lines = []
    result: list[RawRow] = []
    try:
        names = next(reader, [])
        for cells in reader:
            if not any(cells):
                continue
            file.row_lines.append(skipped + reader.line_num)
            row = RawRow(file, len(result), {n: c for n, c in zip(names, cells, strict=False) if c != ""})
            if len(cells) != len(names):
                problems.append(row.problem("", f"{len(cells)} cells", f"{len(names)}, one a column"))
            result.append(row)
    except csv.Error as error:
        line = skipped + reader.line_num
        problems.append(Problem(file.path, line, "", named(str(error), 80), "comma-separated values"))
        return []
    return result


def _toml_rows(file: TableFile, layout: Layout, problems: list[Problem], *, header: bool) -> list[RawRow]:
    deep = too_deep_at(file.content)
    if deep is not None:
        found = f"nesting deeper than {DEEPEST}"
        problems.append(Problem(file.path, deep, "", found, "rows as a table has them"))
        return []
    try:
        data = tomli.loads(file.content)
    except tomli.TOMLDecodeError as error:
        place = _SYNTAX_PLACE.match(str(error))
        line = int(place[2]) if place else None
        words = named(place[1] if place else str(error))
        problems.append(Problem(file.path, line, "", words, "TOML"))
        return []
    except ValueError:
        # Python refuses to convert numbers of thousands of digits, and does not say where.
        problems.append(Problem(file.path, None, "", "a number of thousands of digits", "numbers of ordinary size"))
        return []
    for name in data:
        if name not in {"table", "columns", "row"}:
            mend = nearest(name, ("table", "columns", "row"))
            problems.append(file.problem((name,), f"an unknown key {shown(name)}", "table, columns or row", mend))
    _check_header(file, data, layout, problems, required=header)
    rows = data.get("row", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        problems.append(file.problem(("row",), "row written another way", "rows, each under [[row]]"))
        return []
    return [RawRow(file, number, row) for number, row in enumerate(rows)]


def _check_header(
    file: TableFile,
    data: dict[str, object],
    layout: Layout,
    problems: list[Problem],
    *,
    required: bool,
) -> None:
    table, columns = data.get("table"), data.get("columns")
    if required and not (isinstance(table, dict) and isinstance(columns, dict)):
        problems.append(file.problem((), "no [table] or no [columns]", "both"))
        return
    readers: dict[str, Callable[[object], object]] = {"id": text, "title": text, "checked": day}
    for name, value in table.items() if isinstance(table, dict) else ():
        if name not in readers:
            mend = nearest(name, readers)
            problems.append(file.problem(("table", name), "an unknown key", ", ".join(readers), mend))
            continue
        try:
            readers[name](value)
        except WrongCellError as wrong:
            problems.append(file.problem(("table", name), wrong.found, wrong.expected, wrong.mend))
    if isinstance(table, dict) and table.get("id", layout.name) != layout.name:
        problems.append(file.problem(("table", "id"), shown(table["id"]), f'"{layout.name}"'))
    for name in columns if isinstance(columns, dict) else ():
        if name not in layout.columns:
            mend = nearest(name, layout.columns)
            problems.append(file.problem(("columns", name), "an unknown column", "a column of this table", mend))


def nearest(name: str, known: Iterable[str]) -> str:
    """Return "did you mean …?" for the nearest known name, or "" when none is near."""
    near = difflib.get_close_matches(name, list(known), n=1)
    return f"did you mean {near[0]}?" if near else ""
