"""The first line of a screen: what is open, and whether it is saved."""

from __future__ import annotations

from rich.cells import cell_len
from textual.content import Content
from textual.widget import Widget

from appraise.widgets.plain import ending, fit, plain


class TitleBar(Widget):
    """One line: a place, a name, and at the right the file with its state."""

    DEFAULT_CSS = """
    TitleBar { height: 1; padding: 0 1; background: $panel; color: $foreground; }
    """

    def __init__(self, place: str = "", name: str = "", state: str = "") -> None:
        super().__init__()
        self._texts = (place, name, state)

    def show(self, place: str, name: str, state: str = "") -> None:
        """Show other words."""
        if (place, name, state) != self._texts:
            self._texts = (place, name, state)
            self.refresh()

    def render(self) -> Content:
        """Draw the line; the name gives way first."""
        width = max(1, self.content_size.width)
        place, name, state = (plain(text) for text in self._texts)
        state = ending(state, max(0, width // 2 - 2))
        room = max(0, width - cell_len(place) - cell_len(state) - 4)
        return Content.assemble((place, "bold $primary"), "  ", fit(name, room), "  ", (state, "$quiet"))
