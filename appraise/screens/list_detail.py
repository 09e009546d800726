"""A list whose row under the cursor is shown whole below it: what recovery, merging and the trail share."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ScreenResultType
from textual.widgets import Static

from appraise.screens.base_screen import BaseScreen
from appraise.widgets.footer import Foot

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult


class ListDetailScreen(BaseScreen[ScreenResultType]):
    """Keeps what is written about the row under the cursor true to the cursor and to the size."""

    CSS_PATH = "versions.tcss"

    def compose_below(self) -> ComposeResult:
        """Return what stands below the list."""
        with VerticalScroll(id="whole", can_focus=False):
            yield Static(id="values")
        yield Foot()

    def write(self) -> None:
        """Write what the row under the cursor holds, in lines as wide as the screen."""
        raise NotImplementedError

    @property
    def line_width(self) -> int:
        """Cells of a line of words."""
        return max(20, self.size.width - 3)

    def show_whole(self, lines: Sequence[Content]) -> None:
        """Show these lines below the list; none: the list has that room."""
        self.query_one("#whole").display = bool(lines)
        if lines:
            self.query_one("#values", Static).update(Content("\n").join(lines))

    def on_resize(self) -> None:
        """The words wrap anew."""
        self.call_after_refresh(self.write)

    def on_row_list_moved(self) -> None:
        """Show the row that is under the cursor now."""
        self.write()
