"""Key hints below a question; a click does what the key does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content
from textual.widget import Widget

from appraise.commands import key_name
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events

_BETWEEN = " · "


@dataclass(frozen=True, slots=True)
class _Part:
    """A key or a word of a hint, where it stands."""

    line: int
    start: int
    text: str
    key: str
    """Key that a click presses; empty between two hints."""


class KeyHints(Widget):
    """Hints one behind the other, broken between two of them where a line is full."""

    DEFAULT_CSS = """
    KeyHints { height: auto; width: 1fr; color: $quiet; }
    KeyHints:hover { color: $foreground; }
    """

    def __init__(self, *hints: tuple[str, str]) -> None:
        """Say what keys do.

        Args:
            hints: Keys, with commas between them, and what they do; the words stand for the first of them.
        """
        super().__init__()
        self._hints = hints

    def render(self) -> Content:
        """Draw the hints."""
        lines: list[list[str]] = []
        for part in self._parts(self.content_size.width):
            while len(lines) <= part.line:
                lines.append([])
            lines[part.line].append(part.text)
        return Content("\n".join("".join(line) for line in lines))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as the hints need."""
        return 1 + max((part.line for part in self._parts(width)), default=0)

    def on_click(self, event: events.Click) -> None:
        """Press the key that was clicked."""
        at = event.get_content_offset(self)
        if at is None:
            return
        for part in self._parts(self.content_size.width):
            if part.key and part.line == at.y and part.start <= at.x < part.start + cell_len(part.text):
                self.app.simulate_key(part.key)
                return

    def _parts(self, width: int) -> Sequence[_Part]:
        results: list[_Part] = []
        line = column = 0
        for keys, words in self._hints:
            names = [(key_name(key), key) for key in keys.split(",")]
            size = sum(cell_len(name) + 1 for name, _ in names) + cell_len(words)
            if column and column + cell_len(_BETWEEN) + size > width:
                line, column = line + 1, 0
            elif column:
                results.append(_Part(line, column, _BETWEEN, ""))
                column += cell_len(_BETWEEN)
            for text, key in [(f"{name} ", key) for name, key in names] + [(words, names[0][1])]:
                results.append(_Part(line, column, text, key))
                column += cell_len(text)
        return results
