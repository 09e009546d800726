"""Lines to type into: one that hands on several lines at once, one that makes one of them; a Tab keeps words apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message
from textual.widgets import Input

from appraise.model.lazy_dataclass import dataclass
from appraise.widgets.plain import plain

if TYPE_CHECKING:
    from textual import events


class LineInput(Input):
    """One line to type into; several lines that are pasted go to the screen."""

    @dataclass
    class Pasted(Message):
        """Several lines were pasted."""

        text: str

    def _on_paste(self, event: events.Paste) -> None:
        # One line is left to the input's own handler, which is called after this one.
        if len(event.text.strip().splitlines()) > 1:
            event.stop()
            event.prevent_default()
            self.post_message(self.Pasted(event.text))


class TextLine(Input):
    """One line of text: lines and Tabs, pasted or sent by a scanner, become spaces, and no word is lost."""

    def _on_paste(self, event: events.Paste) -> None:
        # The input's own handler, called after this one, takes the first line alone.
        event.stop()
        event.prevent_default()
        self.replace(plain(event.text), *self.selection)

    async def _on_key(self, event: events.Key) -> None:
        # Every other key is left to the input's own handler, which is called after this one.
        if event.key == "tab":
            event.stop()
            event.prevent_default()
            self.replace(" ", *self.selection)
