"""One line to type into that hands on several lines at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message
from textual.widgets import Input

from appraise.model.lazy_dataclass import dataclass

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
