"""Text canvas: a field of cells, an axis below, text in lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from appraise.report.charts.words import fold, word

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.report.charts.scale import Axis

Lines = list[tuple[str, str]]
"""Lines, each with the address of the figure that it shows, empty where it shows none."""

_EIGHTHS = " ▏▎▍▌▋▊▉"
"""Of a cell, from the left."""
_EIGHTHS_UP = " ▁▂▃▄▅▆▇█"
"""From below."""


class Field:
    """Cells in lines, the first line on top; each holds one letter that is one cell wide."""

    def __init__(self, width: int, height: int) -> None:
        """Make an empty field of so many columns and lines."""
        self.width, self.height = width, height
        self._cells = [[" "] * width for _ in range(height)]

    def put(self, column: int, line: int, letter: str) -> None:
        """Write a letter over what is there; outside the field nothing."""
        if 0 <= column < self.width and 0 <= line < self.height:
            self._cells[line][column] = letter

    def lines(self) -> list[str]:
        """Return the lines as text."""
        return ["".join(line) for line in self._cells]


def unasked(lines: Sequence[str], figure: str = "") -> Lines:
    """Return lines that show one figure, or none."""
    return [(line, figure) for line in lines]


def column(axis: Axis, value: float, room: int) -> int:
    """Return the cell of a value, of so many from the low end to the high end."""
    return round(axis.at(value) * (room - 1))


def line_up(axis: Axis, value: float, height: int) -> int:
    """Return the line of a value, counted from the top."""
    return round((1.0 - axis.at(value)) * (height - 1))


def padded(text: str, width: int, *, right: bool = False) -> str:
    """Return text filled up with spaces to `width` cells."""
    gap = " " * (width - cell_len(text))
    return gap + text if right else text + gap


def folded(text: str, width: int, most: int = 99) -> list[str]:
    """Return text in lines of at most `width` cells; see `folding.fold`."""
    return fold(word(text), width, most, cell_len)


def axis_lines(axis: Axis, name: str, margin: int, room: int) -> list[str]:
    """Return an axis to be put below a field: the line, what its ticks say, what it counts.

    Args:
        axis: The axis.
        name: What it counts; empty: nothing is said.
        margin: Cells to the left of the field.
        room: Cells of the field.
    """
    rule = ["─"] * room
    said = [" "] * room
    free = 0
    for value, text in axis.ticks:
        at = column(axis, value, room)
        rule[at] = "┴"
        start = max(0, min(room - len(text), at - len(text) // 2))
        if start >= free and len(text) <= room:
            said[start : start + len(text)] = list(text)
            free = start + len(text) + 1
    lines = ["".join(rule), "".join(said).rstrip()]
    width = margin + room
    named = [padded(line, width, right=True) for line in folded(name, width, 2)] if name else []
    return [*(" " * margin + line for line in lines), *named]


def bar(share: float, room: int) -> str:
    """Return a bar to the eighth of a cell.

    Args:
        share: Of the room [–], 0–1.
        room: Cells.
    """
    eighths = min(8 * room, max(0, round(share * 8 * room)))
    full, part = divmod(eighths, 8)
    return "█" * full + (_EIGHTHS[part] if part else "")


def tops(heights: Sequence[float], height: int) -> list[str]:
    """Return a filled shape, to the eighth of a line.

    Args:
        heights: Of each column [–], 0–1.
        height: Lines.
    """
    lines = []
    for line in range(height, 0, -1):
        filled = [min(8, max(0, round((share * height - (line - 1)) * 8))) for share in heights]
        lines.append("".join(_EIGHTHS_UP[eighth] for eighth in filled))
    return lines
