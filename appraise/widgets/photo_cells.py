"""A photo drawn with half cells or by the terminal itself, or a line that says why it is not."""

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
from appraise.services.cell_pictures import Fitted, colour, fitted, half_cells, placeholder
from appraise.terminal_pictures import TerminalPictures
from appraise.widgets.plain import wrapped

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from appraise.model.photo_mark import Mark
    from appraise.services.cell_pictures import Cells

    _Place = tuple[Path, int, int, Mark | None]

UPPER = "▀"
"""The upper half of a cell in the colour of the letter, the lower in that behind it."""


@dataclass(frozen=True)
class _Drawn:
    """Picture of a file, scaled to cells, with its mark."""

    place: _Place
    cells: Cells | str
    picture: Fitted | None = None
    """For the terminal to draw; none: only half cells are wanted."""


class PhotoCells(Widget):
    """One photo, as large as there is room; what it shows is said in words beside it.

    Where the terminal is to draw it, cells name a picture that was handed over. Half cells stand in their place while
    another screen lies above: it may tint what is below, and the colour of a cell says which picture it is of.
    """

    DEFAULT_CSS = "PhotoCells { width: 1fr; height: 1fr; }"

    @dataclass
    class Unpacked(Message):
        """A picture has been unpacked."""

        drawn: _Drawn

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._path: Path | None = None
        self._fault = ""
        self._mark: Mark | None = None
        self._drawn: _Drawn | None = None
        self._asked: tuple[_Place, bool] | None = None
        """Request under way, and whether the terminal draws it."""
        self._number = 0
        """Of the picture that the terminal holds; 0: none."""

    def show(self, path: Path | None, fault: str = "", mark: Mark | None = None) -> None:
        """Show a photo.

        Args:
            path: The file, all links resolved; none: there is nothing to show.
            fault: Why it is not shown; empty where it is.
            mark: An arrow or a circle drawn on it, as on the copy in documents; none: the photo alone.
        """
        self._path, self._fault, self._mark = path, fault, mark
        self._draw_anew()

    def on_mount(self) -> None:
        """Draw it otherwise when a screen comes above, the settings change, or the terminal was another program's."""
        # At once: what lies below is drawn again with the first paint of what comes above, and not later.
        self.app.screen_change_signal.subscribe(self, lambda _: self._front_changed(), immediate=True)
        self.app.app_resume_signal.subscribe(self, lambda _: self._resumed())

    def on_unmount(self) -> None:
        """Take the picture back."""
        self._take_back()

    def on_resize(self) -> None:
        """Draw it as large as there is room now."""
        self._draw_anew()

    @property
    def _by_terminal(self) -> bool:
        return isinstance(self.app, TerminalPictures) and self.app.draws_pictures

    def _front_changed(self) -> None:
        if self.app.screen is self.screen and self._by_terminal != bool(self._number):
            self._draw_anew()
        self.refresh()

    def _resumed(self) -> None:
        self._take_back()
        self._draw_anew()

    def _draw_anew(self) -> None:
        self.refresh()
        width, height = self.content_size
        if self._path is not None and not self._fault and width > 0 and height > 0:
            asked = ((self._path, width, height, self._mark), self._by_terminal)
            if asked != self._asked:
                self._asked = asked
                self._unpack(*asked)

    @work(thread=True, exclusive=True, group="photo")
    def _unpack(self, place: _Place, by_terminal: bool) -> None:
        cells = half_cells(*place)
        picture = fitted(*place) if by_terminal and not isinstance(cells, str) else None
        self.post_message(self.Unpacked(_Drawn(place, cells, picture if isinstance(picture, Fitted) else None)))

    @on(Unpacked)
    def _take(self, message: Unpacked) -> None:
        if message.drawn.place != (self._path, *self.content_size, self._mark):
            return  # another photo, or another size, is wanted by now
        self._asked = None
        before, self._drawn = self._drawn, message.drawn
        picture = self._drawn.picture
        if not self._number or before is None or before.picture is not picture:
            self._take_back()
            if picture is not None and isinstance(self.app, TerminalPictures) and self.app.draws_pictures:
                self._number = self.app.hand_over(picture)
        self.refresh()

    def _take_back(self) -> None:
        if isinstance(self.app, TerminalPictures):
            self.app.take_back(self._number)
        self._number = 0

    @property
    def _found(self) -> Cells | str:
        if self._fault or self._path is None:
            return self._fault
        if self._drawn is None or self._drawn.place != (self._path, *self.content_size, self._mark):
            return ()
        return self._drawn.cells

    def render_line(self, y: int) -> Strip:
        """Draw one line of it."""
        width, result = self.size.width, self._found
        if isinstance(result, str):
            lines = wrapped(result, max(1, width)) if result else []
            text = lines[y].plain if y < len(lines) else ""
            return Strip([Segment(text, self.rich_style)]).adjust_cell_length(width, self.rich_style)
        picture = (
            self._drawn.picture if self._drawn is not None and self._number and self.app.screen is self.screen else None
        )
        segments: Iterable[Segment]
        if result and picture is not None:
            shown = range(picture.columns if y < picture.rows else 0)
            style = self.rich_style + Style.from_color(_colour(colour(self._number)))
            segments = [Segment(placeholder(y, column), style) for column in shown]
        else:
            row = result[y] if y < len(result) else ()
            segments = [Segment(UPPER, Style.from_color(_colour(upper), _colour(lower))) for upper, lower in row]
        return Strip(segments).adjust_cell_length(width, self.rich_style)


def _colour(colour: tuple[int, int, int]) -> Color:
    return Color.from_rgb(*colour)
