"""One photo, drawn as large as the terminal allows, with what is known of it in words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widgets import Static

from appraise.commands import PHOTO
from appraise.model.photo_mark import FORM, mark_of
from appraise.model.problem import InputError, quoted
from appraise.screens.case_screen import CaseScreen
from appraise.screens.entry import EntryScreen
from appraise.services.photos import photo_lines, shown_by, standing_of
from appraise.store.photo_entry import inside
from appraise.tables.content import resolved
from appraise.widgets.footer import Foot
from appraise.widgets.photo_cells import PhotoCells
from appraise.widgets.plain import piece
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.app import ComposeResult

    from appraise.services.case_session import CaseSession


class PhotoScreen(CaseScreen):
    """One of several photos."""

    PLACE = "Photo"
    CSS_PATH = "photo.tcss"
    SCOPE = PHOTO

    def __init__(self, worksheet: CaseSession, files: Sequence[str], at: int) -> None:
        """Open a photo.

        Args:
            worksheet: The case.
            files: The photos that can be gone through, by their paths.
            at: Which of them comes first.
        """
        super().__init__(worksheet)
        self._files, self._at = files, at

    def compose(self) -> ComposeResult:
        """The picture, and below it what is known of it."""
        yield TitleBar()
        yield PhotoCells(id="picture")
        yield Static("", id="told-of-photo", markup=False)
        yield Foot()

    def on_mount(self) -> None:
        """Show it."""
        self.show_case()

    @property
    def _file(self) -> str:
        return self._files[self._at]

    def show_case(self) -> None:
        """Show the photo and its description."""
        self.show_title()
        sheet, file = self.worksheet, self._file
        one = standing_of(sheet.case.photo(file), sheet.path)
        number = f"photo {self._at + 1} of {len(self._files)}"
        shows = shown_by(sheet.case, file, sheet.tables)
        used = [f"shows {words}" for words in shows] or ["not used in this case"]
        standing = f": {one.words}" if shows else ""
        lines = [f"{file}{standing} · {number}", " · ".join(photo_lines(one.photo, one.size)), *used]
        self.query_one("#told-of-photo", Static).update(Content("\n").join(piece(line) for line in lines))
        path = inside(resolved(sheet.path).parent, file)
        fault = "" if path is not None else one.fault or "it lies outside the folder"
        self.query_one(PhotoCells).show(path, fault, mark_of(one.photo.mark))

    def action_photo_before(self) -> None:
        """Go to the photo before."""
        self._at = max(0, self._at - 1)
        self.show_case()

    def action_photo_after(self) -> None:
        """Go to the next photo."""
        self._at = min(len(self._files) - 1, self._at + 1)
        self.show_case()

    def action_caption(self) -> None:
        """Write the caption of a photo that shows something."""
        self._ask("caption", "Caption", str.strip)

    def action_mark(self) -> None:
        """Put an arrow or a circle on a photo that shows something, or take it away."""
        hint = "Per cent from the left and from the top, such as: circle 40 62. Empty: none. The file stays as it is."
        self._ask("mark", "Arrow or circle", _mark, hint)

    def _ask(self, field: str, label: str, parse: Callable[[str], object], hint: str = "") -> None:
        sheet, file = self.worksheet, self._file
        at = next((at for at, photo in enumerate(sheet.case.photos) if photo.file == file), None)
        if at is None:
            self.say(f"Only a photo that shows something has a {field}")
            return
        if not self.may_write():
            return

        def on_result(entry: tuple[object]) -> None:
            sheet.put(("photos", at, field), entry[0], field)
            self.show_case()

        now, line = getattr(sheet.case.photos[at], field), self.app.size.height - 9
        self.ask(EntryScreen(label, parse, text=now, hints=(hint,), line=line), on_result)


def _mark(text: str) -> object:
    """Read a mark as a person types it.

    Raises:
        InputError: It is none.
    """
    words = " ".join(text.lower().replace("%", " ").replace(",", " ").split())
    if not re.match(FORM, words):
        raise InputError(quoted(text), "a mark such as circle 40 62")
    return words
