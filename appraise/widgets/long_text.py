"""A text of several lines that Enter takes, as everywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message
from textual.widgets import TextArea

if TYPE_CHECKING:
    from textual import events

_NEW_LINE = ("ctrl+j", "alt+enter")


class LongText(TextArea):
    """A text of several lines; a new one is begun on purpose."""

    class Submitted(Message):
        """The text is to be taken."""

    async def _on_key(self, event: events.Key) -> None:
        # Every other key is left to the text's own handler, which is called after this one.
        if event.key not in ("enter", "tab", *_NEW_LINE):
            return
        event.stop()
        event.prevent_default()
        if event.key == "enter":
            self.post_message(self.Submitted())
        elif event.key == "tab":
            self.insert(" ")  # a scanner sends it between words
        else:
            self.insert("\n")
