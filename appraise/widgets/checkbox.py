"""Boxes to tick and dots to choose by: told by their shape, whatever the colours."""

from __future__ import annotations

from textual.content import Content
from textual.message import Message
from textual.widgets import Button

from appraise.model.lazy_dataclass import dataclass
from appraise.widgets.plain import piece


def tick_mark(*, on: bool) -> str:
    """Return the mark of a box."""
    return "☑" if on else "☐"


class Tick(Button):
    """A box with a word beside it; Enter, the space bar or a click turns it."""

    DEFAULT_CSS = "Tick { min-width: 4; width: auto; margin-right: 2; background: transparent; }"

    @dataclass
    class Turned(Message):
        """A box was ticked, or its tick taken away."""

        tick: Tick

    def __init__(self, words: str, *, on: bool = False, id: str | None = None) -> None:
        self._words = words
        self.on = on
        """True while it is ticked."""
        super().__init__(self._face(), id=id, compact=True)

    def turn(self, *, on: bool) -> None:
        """Tick it, or take the tick away."""
        self.on = on
        self.label = self._face()

    def press(self) -> Tick:
        """Turn it."""
        self.turn(on=not self.on)
        self.post_message(self.Turned(self))
        return self

    def key_space(self) -> None:
        """The space bar turns it too."""
        self.press()

    def _face(self) -> Content:
        return Content.assemble(f"{tick_mark(on=self.on)} ", piece(self._words))
