"""Standard output: plain lines, one JSON object, or what Rich draws; user text is never markup."""

from __future__ import annotations

import shutil
import sys
import textwrap
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from appraise.model.unsafe import visible
from appraise.report import json_text
from appraise.store.files import named

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from rich.console import Console, RenderableType

PIPE_WIDTH = 120
"""Columns of a table where the output is not a terminal and COLUMNS says nothing."""
NARROWEST, WIDEST = 20, 2000
"""Columns that are written to at least and at most, whatever COLUMNS or a terminal says."""


def say(text: str = "") -> None:
    """Write a line of plain text; at a terminal that is too narrow for it, words go on to the next."""
    line = visible(text)
    if sys.stdout.isatty():
        line = _broken(line, width())
    sys.stdout.write(f"{line}\n")


def say_script(text: str) -> None:
    """Write a text that a program reads, not a line of it changed."""
    sys.stdout.write(text)


def _broken(line: str, columns: int) -> str:
    from rich.cells import cell_len

    if cell_len(line) <= columns:
        return line
    indent = line[: len(line) - len(line.lstrip())]
    return textwrap.fill(line, columns, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


def say_json(value: object) -> None:
    """Write one JSON object.

    Raises:
        ValueError: A number in it is not finite.
    """
    sys.stdout.write(json_text.dumps(value))


@contextmanager
def stream(name: str) -> Iterator[TextIO]:
    """Open a file that appears whole or not at all, or standard output where the name is "-"."""
    if name == "-":
        with named("standard output"):
            yield sys.stdout
            sys.stdout.flush()
        return
    from appraise.store.write import writing

    with writing(Path(name)) as stream:
        yield stream


def say_json_list(value: Mapping[str, Any], key: str) -> None:
    """Write one JSON object with a list of any length as its last key, an item a line.

    Args:
        value: The object.
        key: The list's key; its items are taken as they come.
    """
    head = [(name, inner) for name, inner in value.items() if name != key]
    before = "".join(f"  {json_text.line(name)}: {json_text.line(inner)},\n" for name, inner in head)
    sys.stdout.write(f"{{\n{before}  {json_text.line(key)}: [")
    mark = "\n    "
    for row in value[key]:
        sys.stdout.write(mark + json_text.line(row))
        mark = ",\n    "
    sys.stdout.write("\n  ]\n}\n")


def width() -> int:
    """Return how many columns there are to write to: by COLUMNS where that is above 0, else by the terminal."""
    found = shutil.get_terminal_size((PIPE_WIDTH, 24)).columns
    return min(max(found, NARROWEST), WIDEST)


def console() -> Console:
    """Return a Rich console on standard output: no markup, no colour into a pipe or under NO_COLOR."""
    from rich.console import Console

    class Screen(Console):
        def on_broken_pipe(self) -> None:
            raise BrokenPipeError  # the reader has gone, as `head` does: no failure, whoever writes

    return Screen(file=sys.stdout, width=width(), markup=False, emoji=False, highlight=False)


def show(*parts: RenderableType) -> None:
    """Write what Rich draws."""
    screen = console()
    for part in parts:
        screen.print(part)


def show_table(columns: Sequence[str], rows: Iterable[Sequence[str]], *, right: frozenset[str] = frozenset()) -> None:
    """Write a table.

    Args:
        columns: Headings.
        rows: Cells, plain text.
        right: Headings of the columns whose cells are numbers.
    """
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False, header_style="bold")
    for column in columns:
        table.add_column(Text(column), justify="right" if column in right else "left", overflow="fold")
    for row in rows:
        table.add_row(*(Text(visible(cell)) for cell in row))
    show(table)
