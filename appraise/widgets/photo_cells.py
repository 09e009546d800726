"""A photo drawn with half cells, or a line that says why it is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual import on, work
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from appraise.model.lazy_dataclass import dataclass
from appraise.services.half_cells import half_cells
from appraise.widgets.plain import wrapped

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.services.half_cells import Cells

UPPER = "▀"
"""The upper half of a cell in the colour of the letter, the lower in that behind it."""


class PhotoCells(Widget):
    """One photo, as large as there is room; what it shows is said in words beside it."""

    DEFAULT_CSS = "PhotoCells { width: 1fr; height: 1fr; }"

    @dataclass
    class Unpacked(Message):
        """A picture has been unpacked: its file, the cells across and down, and what was found."""

        drawn: tuple[Path, int, int, Cells | str]

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._path: Path | None = None
        self._fault = ""
        self._drawn: tuple[Path, int, int, Cells | str] | None = None

    def show(self, path: Path | None, fault: str = "") -> None:
        """Show a photo.

        Args:
            path: The file, all links resolved; none: there is nothing to show.
            fault: Why it is not shown; empty where it is.
        """
        self._path, self._fault = path, fault
        self._draw_anew()

    def on_resize(self) -> None:
        """Draw it as large as there is room now."""
        self._draw_anew()

    def _draw_anew(self) -> None:
        self.refresh()
        width, height = self.content_size
        if self._path is not None and not self._fault and width > 0 and height > 0:
            self._unpack(self._path, width, height)

    @work(thread=True, exclusive=True, group="photo")
    def _unpack(self, path: Path, width: int, height: int) -> None:
        cells = half_cells(path, width, height)
        self.post_message(self.Unpacked((path, width, height, cells)))

    @on(Unpacked)
    def _take(self, message: Unpacked) -> None:
        self._drawn = message.drawn
        self.refresh()

    @property
    def _found(self) -> Cells | str:
        if self._fault or self._path is None:
            return self._fault
        if self._drawn is None or self._drawn[:3] != (self._path, *self.content_size):
            return ()
        return self._drawn[3]

    def render_line(self, y: int) -> Strip:
        """Draw one line of it."""
        width, found = self.size.width, self._found
        if isinstance(found, str):
            lines = wrapped(found, max(1, width)) if found else []
            text = lines[y].plain if y < len(lines) else ""
            return Strip([Segment(text, self.rich_style)]).adjust_cell_length(width, self.rich_style)
        if y >= len(found):
            return Strip.blank(width, self.rich_style)
        segments = [Segment(UPPER, Style.from_color(_colour(upper), _colour(lower))) for upper, lower in found[y]]
        return Strip(segments).adjust_cell_length(width, self.rich_style)


def _colour(colour: tuple[int, int, int]) -> Color:
    return Color.from_rgb(*colour)
