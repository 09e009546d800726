"""The keybed strip: the compass as a keyboard of two lines, with what was measured at each note."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from appraise.model.lazy_dataclass import dataclass
from appraise.widgets.marks import grade_style

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from textual import events
    from textual.app import RenderResult
    from textual.binding import BindingType

_SHARPS = frozenset({1, 3, 6, 8, 10})
"""Pitch classes of the sharps, C being 0."""

_LEVELS = "▁▂▄▆▇"
"""Marks from as new to spent: the higher, the worse."""

PLOT_LINES = 5
"""Lines of the plot below the keys."""


@dataclass(frozen=True, slots=True)
class Mark:
    """Reading and grade at one note."""

    value: float
    grade: float


@dataclass(frozen=True, slots=True)
class Band:
    """Between which values the plot is drawn, and where a value is sound."""

    low: float
    high: float
    sound: tuple[tuple[float, float], ...] = ()


@lru_cache(maxsize=8)
def places(compass: int) -> tuple[tuple[int, bool], ...]:
    """Return column and whether it is a sharp, for every note from 1.

    A compass of more than 88 notes goes on below A0, one of fewer stops short at the top. A sharp stands over the
    natural to its left.
    """
    below = max(0, compass - 88)
    results: list[tuple[int, bool]] = []
    column = -1
    for note in range(1, compass + 1):
        sharp = pitch_class(note, below) in _SHARPS
        if not sharp or column < 0:
            column += 1
        results.append((column, sharp))
    return tuple(results)


def pitch_class(note: int, below: int = 0) -> int:
    """Return the pitch class of a note, C being 0; `below` notes lie under A0."""
    return (note + 8 - below) % 12


def level(grade: float) -> str:
    """Return the mark of a grade: five heights, the higher the worse."""
    return _LEVELS[min(4, max(0, round(grade) - 1))]


class Keybed(Widget, can_focus=True):
    """Keys that a cursor moves over; what was measured shows by height of the mark and by colour."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "move(-1)", "Note below", show=False),
        Binding("right", "move(1)", "Note above", show=False),
        Binding("down,pagedown", "move(-12)", "Octave below", show=False),
        Binding("up,pageup", "move(12)", "Octave above", show=False),
        Binding("home", "go(1)", "First note", show=False),
        Binding("end", "go(999)", "Last note", show=False),
        Binding("shift+left", "extend(-1)", "One more note below", show=False),
        Binding("shift+right", "extend(1)", "One more note above", show=False),
    ]
    """| Key | Does |
    | :- | :- |
    | left, right | A note down, a note up |
    | down, up, page down, page up | An octave |
    | home, end | First note, last note |
    | shift+left, shift+right | Choose one more note |
    """

    DEFAULT_CSS = """
    Keybed { height: 9; width: 1fr; background: $surface; }
    Keybed:focus { background: $panel; }
    """

    cursor: reactive[int] = reactive(40)
    """Note under the cursor, from 1."""
    far_end: reactive[int] = reactive(40)
    """Other end of the chosen notes."""

    @dataclass
    class Moved(Message):
        """The cursor came to another note."""

        note: int

    @dataclass
    class Typed(Message):
        """A character was typed while the keys had the focus."""

        character: str

    def __init__(self, compass: int, sections: Sequence[tuple[str, int]], *, id: str | None = None) -> None:
        """Make the strip.

        Args:
            compass: Number of notes.
            sections: Name and first note of each section, rising from note 1.
            id: Of the widget.
        """
        super().__init__(id=id)
        self._compass, self._sections = compass, tuple(sections)
        self._marks: Mapping[int, Mark] = {}
        self._band: Band | None = None

    def show(self, marks: Mapping[int, Mark], band: Band | None) -> None:
        """Show what was measured, note by note, and the scale of the plot."""
        self._marks, self._band = marks, band
        self.refresh()

    @property
    def chosen(self) -> tuple[int, ...]:
        """The chosen notes, the cursor's at least."""
        low, high = sorted((self.cursor, self.far_end))
        return tuple(range(low, high + 1))

    def go(self, note: int, *, extend: bool = False) -> None:
        """Put the cursor on a note within the compass; the choice of notes follows unless it is extended."""
        note = min(self._compass, max(1, note))
        if not extend:
            self.far_end = note
        self.cursor = note

    def action_move(self, step: int) -> None:
        """Move the cursor by so many notes."""
        self.go(self.cursor + step)

    def action_go(self, note: int) -> None:
        """Move the cursor to a note."""
        self.go(note)

    def action_extend(self, step: int) -> None:
        """Choose one more note."""
        self.go(self.cursor + step, extend=True)

    def watch_cursor(self, old: int, new: int) -> None:
        """Tell the screen."""
        if old != new:
            self.post_message(self.Moved(new))

    def on_key(self, event: events.Key) -> None:
        """Pass on what was typed: the screen's line takes it."""
        if event.character is not None and (event.character.isalnum() or event.character in "-+,."):
            event.stop()
            self.post_message(self.Typed(event.character))

    def on_click(self, event: events.Click) -> None:
        """Put the cursor on the key that was clicked; with Shift, extend the choice to it."""
        content = self.content_region
        note = self.note_at(event.x - (content.x - self.region.x) - self._left(), event.y - (content.y - self.region.y))
        if note is not None:
            self.go(note, extend=event.shift)

    def note_at(self, column: int, line: int) -> int | None:
        """Return the note drawn at a column and line of the strip; none where there is none."""
        results = [note for note, (at, _) in enumerate(places(self._compass), 1) if at == column]
        if not results or line < 1:
            return None
        sharps = [note for note in results if places(self._compass)[note - 1][1]]
        return sharps[0] if line == 1 and sharps else results[0]

    # -- drawing -----------------------------------------------------------------------------------

    def _left(self) -> int:
        """Return the columns left of the keys: the plot's scale, where there is room for it."""
        columns = places(self._compass)[-1][0] + 1
        return 6 if self.content_region.width >= columns + 6 else 0

    def render(self) -> RenderResult:
        """Draw sections, sharps, naturals, octaves and the plot."""
        left = self._left()
        lines = [self._section_line(), *self._key_lines(), self._octave_line(), *self._plot()]
        scale = self._scale()
        drawn = []
        for at, line in enumerate(lines):
            label = scale.get(at, "")
            drawn.append(Content.assemble((f"{label:>{left - 1}} " if left else "", "$quiet"), line))
        return Content("\n").join(drawn)

    def _section_line(self) -> Content:
        at = places(self._compass)
        cells = [" "] * (at[-1][0] + 1)
        for n, (name, first) in enumerate(self._sections):
            if not 1 <= first <= self._compass:
                continue
            start = at[first - 1][0]
            text = f"┊{name}" if n else name
            cells[start : start + len(text)] = list(text)[: len(cells) - start]
        return Content.styled("".join(cells), "$quiet")

    def _key_lines(self) -> list[Content]:
        at = places(self._compass)
        width = at[-1][0] + 1
        chosen = set(self.chosen)
        grids: dict[bool, list[tuple[str, str]]] = {True: [(" ", "")] * width, False: [(" ", "")] * width}
        for note, (column, sharp) in enumerate(at, 1):
            mark = self._marks.get(note)
            text = ("'" if sharp else "·") if mark is None else level(mark.grade)
            style = "$quiet" if mark is None else grade_style(mark.grade)
            if note == self.cursor:
                style = "bold reverse $primary"
            elif note in chosen and len(chosen) > 1:
                style += " underline on $primary 30%"
            grids[sharp][column] = (text, style)
        return [Content.assemble(*grids[True]), Content.assemble(*grids[False])]

    def _octave_line(self) -> Content:
        at = places(self._compass)
        below = max(0, self._compass - 88)
        cells = [" "] * (at[-1][0] + 3)
        for note, (column, _) in enumerate(at, 1):
            if pitch_class(note, below) == 0:
                octave = (note + 8 - below) // 12
                cells[column : column + 2] = list(f"C{octave}")
        return Content.styled("".join(cells).rstrip(), "$faint")

    def _scale(self) -> dict[int, str]:
        if self._band is None or not self._marks:
            return {}
        return {4: _short(self._band.high), 4 + PLOT_LINES - 1: _short(self._band.low)}

    def _plot(self) -> list[Content]:
        """Draw every value at its height; where a value is sound, the ground is dotted."""
        if self._band is None or not self._marks:
            return []
        at = places(self._compass)
        width, band = at[-1][0] + 1, self._band
        reach = (band.high - band.low) or 1.0
        step = reach / PLOT_LINES
        grid: list[list[tuple[str, str]]] = []
        for line in range(PLOT_LINES):
            middle = band.high - (line + 0.5) * step
            sound = any(low <= middle <= high for low, high in band.sound)
            grid.append([("┈" if sound else " ", "$faint")] * width)
        for note, mark in sorted(self._marks.items()):
            line = min(PLOT_LINES - 1, max(0, int((band.high - mark.value) / step)))
            over = mark.value > band.high or mark.value < band.low
            style = "bold reverse $primary" if note == self.cursor else grade_style(mark.grade)
            grid[line][at[note - 1][0]] = ("‼" if over else "●", style)
        return [Content.assemble(*line) for line in grid]


def _short(value: float) -> str:
    return f"{value:.3g}"
