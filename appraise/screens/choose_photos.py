"""Photos of the case's folder and below: newest first, narrowed down by typing, several marked at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from appraise.commands import BY_ID, bound_to
from appraise.model.problem import InputError
from appraise.screens.ask import ask_what_becomes
from appraise.screens.base_screen import DialogScreen
from appraise.services.photos import WHOLE, Use, photos_at, size_words, taken_words, with_photos
from appraise.store.photo_entry import Lying, capture_time, inside, photos_in
from appraise.store.photos import look_for
from appraise.tables.content import resolved
from appraise.widgets.key_hints import KeyHints
from appraise.widgets.photo_cells import PhotoCells
from appraise.widgets.photo_rows import PhotoRows
from appraise.widgets.plain import harmless, piece
from appraise.widgets.row_list import RowList

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from textual.app import ComposeResult
    from textual.binding import BindingType

    from appraise.screens.fields import FieldScreen


class ChoosePhotosScreen(DialogScreen[tuple[str, ...] | None]):
    """Asks for photos. Dismisses with their paths, or None when left."""

    CSS_PATH = "choose_photos.tcss"
    AUTO_FOCUS = "#photos"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave as it was", show=False),
        Binding("enter", "take", "Take", show=False),
        bound_to("save", "take_and_save", "Take"),
    ]
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (76, "-wide")]  # noqa: RUF012 - declared so by Textual

    def __init__(self, title: str, case_file: Path, now: Sequence[str], typed: str = "") -> None:
        """Look into the folder.

        Args:
            title: What the photos will show.
            case_file: Photos of its folder and of those below are offered.
            now: Those that show it at present.
            typed: The first letter typed already.
        """
        super().__init__()
        self._title, self._now, self._typed = title, tuple(now), harmless(typed)
        self._folder = resolved(case_file).parent
        there = photos_in(self._folder)
        known = {photo.file for photo in there}
        self._all = [*(Lying(file, 0, 0.0) for file in now if file not in known), *there]
        self._marked = list(now)

    def compose(self) -> ComposeResult:
        """Photos at the left, the one under the cursor at the right."""
        with Vertical(id="choose-photos"):
            yield Static("", id="sought")
            with Horizontal(id="beside"):
                yield PhotoRows(id="photos")
                yield PhotoCells(id="preview")
            yield Static("", id="told")
            yield Static("", id="wrong")
            yield KeyHints(
                ("space", "marks"),
                ("enter", "takes what is marked, or this one"),
                (BY_ID["save"].first_key, "takes and saves"),
                ("escape", "leaves it as it was"),
            )

    def on_mount(self) -> None:
        """Show them."""
        self._show()

    def _shown(self) -> list[Lying]:
        sought = self._typed.casefold().split()
        return [photo for photo in self._all if all(word in photo.file.casefold() for word in sought)]

    def _show(self, keep: str | None = None) -> None:
        shown = self._shown()
        rows = self.query_one(PhotoRows)
        rows.show(shown, self._marked, keep=keep)
        marked = f" · {len(self._marked)} marked" if self._marked else ""
        words = f"{len(shown)} of {len(self._all)} photos{marked}"
        looked = Content.assemble(" · ", piece(f"with “{self._typed}”")) if self._typed else " · type to narrow down"
        self.query_one("#sought", Static).update(
            Content.assemble((piece(self._title, "bold $primary")), "  ", piece(words), looked)
        )
        if not shown:
            wrong = (
                f"no photo of that name is in {self._folder.name or 'the folder'} or below"
                if self._all
                else ("no photo is in the folder of the case or below: put them there first")
            )
            self._complain(wrong)
        else:
            self._complain("")
        self._preview()

    def _complain(self, text: str) -> None:
        self.query_one("#wrong", Static).update(piece(text and f"✗ {text}", "$text-error"))

    @on(RowList.Moved)
    def _preview(self) -> None:
        file = self.query_one(PhotoRows).key
        preview = self.query_one("#preview", PhotoCells)
        self.query_one("#told", Static).update(piece(self._told(file), "$quiet"))
        path = None if file is None else inside(self._folder, file)
        preview.show(path, "not there" if file is not None and path is None else "")

    def _told(self, file: str | None) -> str:
        """Say of the photo under the cursor what the preview shows only to those who see it."""
        lying = next((photo for photo in self._all if photo.file == file), None)
        path = None if file is None else inside(self._folder, file)
        if lying is None or path is None:
            return ""
        return f"{lying.file} · {size_words(lying.size)} · {taken_words(capture_time(path))}"

    @on(PhotoRows.Typed)
    def _narrow(self, message: PhotoRows.Typed) -> None:
        self._typed = harmless(self._typed + message.text) if message.text else self._typed[:-1]
        self._show()

    @on(PhotoRows.Marked)
    def _mark(self, message: PhotoRows.Marked) -> None:
        if message.key in self._marked:
            self._marked.remove(message.key)
        else:
            self._marked.append(message.key)
        self._show(keep=message.key)

    @on(RowList.Chosen)
    def _chosen(self, message: RowList.Chosen) -> None:
        """Take the one that was double-clicked with those that are marked."""
        if message.key not in self._marked:
            self._marked.append(message.key)
        self.action_take()

    def action_take(self) -> bool:
        """Take what is marked; with nothing changed about the marks, the photo under the cursor as well."""
        chosen = list(self._marked)
        under = self.query_one(PhotoRows).key
        if chosen == list(self._now) and under is not None and under not in chosen:
            chosen.append(under)
        if not self._shown():
            return False
        for file in chosen:
            result = look_for(self._folder, file, "") if file not in self._now else None
            if result is not None and result.fault:
                self._complain(f"{file}: {result.fault}, expected {result.expected}")
                return False
        self.dismiss(tuple(chosen))
        return True

    def action_take_and_save(self) -> None:
        """Take them, and save."""
        if self.action_take():
            self.save_below()

    @property
    def unfinished(self) -> bool:
        """True while other photos are marked than at first."""
        return self._marked != list(self._now)

    def ask_unfinished(self) -> None:
        """Ask what becomes of the marks."""
        ask_what_becomes(self, "What you marked is not taken yet.", "Take them", self.action_take, stay="Mark on")


def choose_photos(screen: FieldScreen, use: Use, typed: str = "", then: Callable[[], None] | None = None) -> None:
    """Ask which photos show something, and put them there.

    Args:
        screen: The screen in front.
        use: What they show.
        typed: The first letter typed already.
        then: Done once they are there.
    """
    if not screen.may_write():
        return
    sheet = screen.worksheet
    title = "Photos of the whole" if use == WHOLE else "Photos of the defect"
    if use[0] == "checks":
        row = sheet.tables.checks.get(str(use[1]))
        title = f"Photos: {row.label if row else use[1]}"

    def on_result(files: tuple[str, ...]) -> None:
        put_photos(screen, use, files)
        if then is not None:
            then()

    screen.ask(ChoosePhotosScreen(title, sheet.path, photos_at(screen.case, use), typed), on_result)


def put_photos(screen: FieldScreen, use: Use, files: tuple[str, ...]) -> None:
    """Have exactly these photos show something; one that cannot be read is refused and said."""
    sheet = screen.worksheet
    try:
        sheet.change(with_photos(sheet.case, use, files, sheet.path), "photos")
    except InputError as refused:
        screen.say(str(refused), wrong=True)
    screen.show_case()
