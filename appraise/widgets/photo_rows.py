"""The photos to choose from: marked or not, name, size, when the file was last changed."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message

from appraise.model.lazy_dataclass import dataclass
from appraise.services.photos import size_words
from appraise.widgets.checkbox import tick_mark
from appraise.widgets.plain import fit
from appraise.widgets.row_list import Later, Row, RowList

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from textual import events

    from appraise.store.photo_entry import Lying

_ASIDE = 27
"""Cells that size and day take."""


class PhotoRows(RowList):
    """Photos by name; typing narrows them down, Space marks."""

    @dataclass
    class Typed(Message):
        """Something was typed to narrow the photos down."""

        text: str
        """A letter, or what was pasted; empty: the last letter goes."""

    @dataclass
    class Marked(Message):
        """A photo was clicked on its box, or Space typed on it."""

        key: str

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._photos: Sequence[Lying] = ()
        self._marked: Collection[str] = ()

    def show(self, photos: Sequence[Lying], marked: Collection[str], *, keep: str | None = None) -> None:
        """Show these photos."""
        self._photos, self._marked = photos, marked
        self.rebuild(keep=keep)

    def rows(self, width: int) -> Sequence[Row]:
        """Return a row for each photo; of thousands only those in sight are drawn."""
        return [Row(photo.file, Later(partial(self._line, photo, width - 1))) for photo in self._photos]

    def _line(self, photo: Lying, width: int) -> Content:
        on = photo.file in self._marked
        aside = width >= _ASIDE + 24
        name = fit(photo.file, width - 2 - (_ASIDE if aside else 0))
        changed = datetime.fromtimestamp(photo.changed).strftime("%Y-%m-%d %H:%M") if photo.size else ""
        text = f" {fit(size_words(photo.size), 9, right=True)} {fit(changed, 16)}" if aside else ""
        return Content.assemble((tick_mark(on=on), "$primary" if on else "$quiet"), " ", name, (text, "$quiet"))

    def opens(self, key: str, x: int) -> bool:
        """One click on the box marks it, which the screen does not have to be told twice."""
        if x <= 1:
            self.post_message(self.Marked(key))
        return False

    def on_key(self, event: events.Key) -> None:
        """Mark, or narrow down."""
        if event.key == "space":
            if self.key is not None:
                self.post_message(self.Marked(self.key))
        elif event.key == "backspace":
            self.post_message(self.Typed(""))
        elif event.is_printable and event.character:
            self.post_message(self.Typed(event.character))
        else:
            return
        event.stop()
        event.prevent_default()

    def on_paste(self, event: events.Paste) -> None:
        """Narrow down by what was pasted."""
        self.post_message(self.Typed(" ".join(event.text.split())))
