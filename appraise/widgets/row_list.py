"""A list drawn line by line by one widget: however many rows it holds, it mounts once."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING, ClassVar, overload

from textual.binding import Binding
from textual.content import Content
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.visual import Visual

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Container

    from textual import events
    from textual.binding import BindingType


class Later(Sequence[Content]):
    """One line, made when it is asked for: of a long list only what can be seen is."""

    __slots__ = ("_make",)

    def __init__(self, make: Callable[[], Content]) -> None:
        self._make = make

    def __len__(self) -> int:
        return 1

    @overload
    def __getitem__(self, at: int) -> Content: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Content]: ...
    def __getitem__(self, at: int | slice) -> Content | Sequence[Content]:
        if isinstance(at, slice):
            return [self._make()][at]
        if at not in (0, -1):
            raise IndexError(at)
        return self._make()


@dataclass(frozen=True, slots=True)
class Row:
    """One row: a key, its lines, and whether the cursor can rest on it."""

    key: str
    lines: Sequence[Content]
    """Asked for one by one as they are drawn, so that they may be made only then."""
    stop: bool = True
    aside: bool = False
    """The cursor can rest on it, but moving by rows passes it: it is gone to on purpose."""


class RowList(ScrollView, can_focus=True):
    """Rows with a cursor; subclasses say in `rows` what they look like at a width."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
        Binding("home", "edge(0)", "First", show=False),
        Binding("end", "edge(1)", "Last", show=False),
    ]
    """| Key | Does |
    | :- | :- |
    | up, down, page up, page down, home, end | Move the cursor |
    """

    LINE_BY_LINE: ClassVar[bool] = False
    """A rebuild repaints only the lines that changed; for lists of few rows that are all made at once."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"row-list--cursor"}
    DEFAULT_CSS = """
    RowList {
        height: 1fr;
        overflow-x: hidden;
        overflow-y: auto;
        scrollbar-gutter: stable;
        scrollbar-size-vertical: 1;
        background: $background;
    }
    RowList > .row-list--cursor { background: $surface; }
    RowList:focus > .row-list--cursor { background: $panel; text-style: bold; }
    """

    cursor: reactive[int] = reactive(-1, repaint=False)
    """Index of the row under the cursor, −1 when no row can take it."""

    @dataclass
    class Moved(Message):
        """The cursor came to rest on another row."""

        rows: RowList
        key: str

        @property
        def control(self) -> RowList:
            """The list it happened in."""
            return self.rows

    @dataclass
    class Chosen(Message):
        """A row was double-clicked, or clicked where it opens; what Enter does is the screen's command."""

        rows: RowList
        key: str

        @property
        def control(self) -> RowList:
            """The list it happened in."""
            return self.rows

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._rows: Sequence[Row] = ()
        self._starts: list[int] = []
        self._width = 0
        self._clicked: str | None = None

    def rows(self, width: int) -> Sequence[Row]:
        """Return every row, its lines made for this width."""
        raise NotImplementedError

    def clicked(self, key: str, line: int, x: int) -> None:
        """Take a click on a row that the cursor has just come to; for subclasses."""

    def opens(self, key: str, x: int) -> bool:
        """Say whether one click at a column of a row chooses it: a double click does so anywhere; for subclasses."""
        return False

    def rebuild(self, *, keep: str | None = None) -> None:
        """Make the rows again and repaint; the cursor stays on its key, or goes to `keep`."""
        key = keep if keep is not None else self.key
        before, stood = (self._width, self._drawn()), self.cursor
        self._width = self.scrollable_content_region.width
        self._rows = self.rows(max(1, self._width))
        self._starts = []
        total = 0
        for row in self._rows:
            self._starts.append(total)
            total += len(row.lines)
        self._take_size(Size(self._width, total))
        stops = [at for at, row in enumerate(self._rows) if row.stop]
        result = next((at for at in stops if self._rows[at].key == key), None)
        if result is None:
            near = [at for at in stops if at <= self.cursor]
            first = self._in_passing() or stops or [-1]
            result = near[-1] if near and key is not None else first[0]
        self.set_reactive(RowList.cursor, result)
        self._repaint(*before, stood)
        if keep is not None:
            self.call_after_refresh(self.reveal)

    def _take_size(self, size: Size) -> None:
        """Take the size of what is drawn; the screen is laid out again only where that can change a place on it."""
        height = self.styles.height
        bar = size.height > self.scrollable_content_region.height
        grows = height is None or height.is_auto
        if grows or size.width != self.virtual_size.width or bar != self.show_vertical_scrollbar:
            self.virtual_size = size
        else:
            self.set_reactive(RowList.virtual_size, size)
            if bar:
                self.vertical_scrollbar.window_virtual_size = size.height
            self.scroll_y = min(self.scroll_y, self.max_scroll_y)

    def _drawn(self) -> list[Content]:
        return [line for row in self._rows for line in row.lines] if self.LINE_BY_LINE else []

    def _repaint(self, width: int, lines: list[Content], stood: int) -> None:
        """Repaint the lines that differ from those at this width before, and those under the cursor then and now."""
        now = self._drawn()
        if not now or width != self._width:
            self.refresh()
            return
        for at, (old, new) in enumerate(zip_longest(lines, now)):
            if old is None or new is None or not old.is_same(new):
                self.refresh_lines(at)
        if stood != self.cursor:
            for row in (stood, self.cursor):
                if 0 <= row < len(self._rows):
                    self.refresh_lines(self._starts[row], len(self._rows[row].lines))

    @property
    def key(self) -> str | None:
        """Key of the row under the cursor."""
        return self._rows[self.cursor].key if 0 <= self.cursor < len(self._rows) else None

    @property
    def figure(self) -> str | None:
        """Address of the figure under the cursor; for lists whose rows show figures."""
        return None

    def go(self, key: str) -> bool:
        """Put the cursor on a row; False when there is no such row."""
        at = next((at for at, row in enumerate(self._rows) if row.key == key and row.stop), None)
        if at is None:
            return False
        self.cursor = at
        self.call_after_refresh(self.reveal)
        return True

    def go_to_next(self, step: int, keys: Sequence[str], wanted: Container[str], *, elsewhere: int) -> None:
        """Go to the next of the wanted rows, ahead or, with a negative step, back; nowhere where there is none.

        Args:
            step: 1 or −1.
            keys: Of all rows, in their order.
            wanted: Of those to go to.
            elsewhere: Where to begin among the keys where the cursor is on none of them.
        """
        at = keys.index(self.key) if self.key in keys else elsewhere
        ahead = keys[at + 1 :] if step > 0 else keys[: max(0, at)][::-1]
        key = next((key for key in ahead if key in wanted), None)
        if key is not None:
            self.go(key)

    def line_of_cursor(self) -> int:
        """Return the line of the screen on which the row under the cursor starts."""
        start = self._starts[self.cursor] if 0 <= self.cursor < len(self._starts) else 0
        return self.content_region.y + start - self.scroll_offset.y

    def region_of_cursor(self) -> Region:
        """Return where on the screen the row under the cursor stands."""
        lines = len(self._rows[self.cursor].lines) if 0 <= self.cursor < len(self._rows) else 0
        return Region(self.content_region.x, self.line_of_cursor(), self.content_region.width, lines)

    def reveal(self) -> None:
        """Scroll until the row under the cursor can be seen, with the heading above the first."""
        if not 0 <= self.cursor < len(self._rows):
            return
        first_stop = next(iter(self._in_passing()), 0)
        top = 0 if self.cursor == first_stop else self._starts[self.cursor]
        bottom = self._starts[self.cursor] + len(self._rows[self.cursor].lines)
        self.scroll_to_region(Region(0, top, 1, max(1, bottom - top)), animate=False, x_axis=False)

    def watch_cursor(self, old: int, new: int) -> None:
        """Repaint the two rows and tell the screen."""
        for at in (old, new):
            if 0 <= at < len(self._rows):
                self.refresh_lines(self._starts[at], len(self._rows[at].lines))
        self.reveal()
        if self.key is not None and old != new:
            self.post_message(self.Moved(self, self.key))

    def render_line(self, y: int) -> Strip:
        """Draw one line of the list."""
        line = y + self.scroll_offset.y
        width = self.size.width
        at = bisect_right(self._starts, line) - 1
        if not (0 <= at < len(self._rows) and line - self._starts[at] < len(self._rows[at].lines)):
            return Strip.blank(width, self.rich_style)
        row = self._rows[at]
        under = at == self.cursor and bool(row.lines[line - self._starts[at]].plain)
        style = self.get_visual_style("row-list--cursor") if under else self.visual_style
        mark = ("▌", "$primary") if under else " "
        content = Content.assemble(mark, row.lines[line - self._starts[at]])
        strips = Visual.to_strips(self, content.truncate(width, ellipsis=False), width, 1, style, pad=True)
        return strips[0] if strips else Strip.blank(width, self.rich_style)

    def on_resize(self) -> None:
        """Make the rows again when the width changed."""
        if self.scrollable_content_region.width != self._width:
            self.rebuild()
        self.call_after_refresh(self.reveal)

    def notify_style_update(self) -> None:
        """Repaint in the new colours."""
        super().notify_style_update()
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        """Put the cursor where the mouse is; a double click chooses, a single one where the row opens."""
        where = event.get_content_offset(self)
        if where is None:
            return
        line = where.y + self.scroll_offset.y
        at = bisect_right(self._starts, line) - 1
        if not (0 <= at < len(self._rows) and self._rows[at].stop):
            return
        if line - self._starts[at] >= len(self._rows[at].lines):
            return
        self.cursor = at
        key, x = self._rows[at].key, where.x - 1
        # The second half of a double click whose first half was on another screen is no click here.
        first, again = event.chain == 1, self._clicked == key
        self._clicked = key if first or again else None
        if first and self.opens(key, x):
            self._clicked = None
            self.post_message(self.Chosen(self, key))
        elif again and event.chain == 2:
            self.post_message(self.Chosen(self, key))
        elif first or again:
            self.clicked(key, line - self._starts[at], x)

    def action_move(self, step: int) -> None:
        """Move the cursor to the next row that can take it; past the last, scroll."""
        if not self.step(step):
            self.scroll_relative(y=step, animate=False)

    def step(self, step: int) -> bool:
        """Move the cursor to the next row on its way; False where none follows."""
        ahead = [at for at in self._in_passing() if (at > self.cursor if step > 0 else at < self.cursor)]
        if ahead:
            self.cursor = ahead[0 if step > 0 else -1]
        return bool(ahead)

    def _in_passing(self) -> list[int]:
        """Return the rows that the cursor comes to when it moves by rows."""
        return [at for at, row in enumerate(self._rows) if row.stop and not row.aside]

    def action_page(self, step: int) -> None:
        """Move the cursor by a page."""
        stops = self._in_passing()
        if not stops:
            return
        goal = (self._starts[self.cursor] if self.cursor >= 0 else 0) + step * max(1, self.size.height - 1)
        self.cursor = min(stops, key=lambda at: abs(self._starts[at] - goal))

    def action_edge(self, last: int) -> None:
        """Move the cursor to the first or the last row."""
        stops = self._in_passing()
        if stops:
            self.cursor = stops[-1 if last else 0]
