"""One line to type in, laid over the row it belongs to; what does not fit is said below and nothing is lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Static, TextArea

from appraise.commands import bound_to
from appraise.model.problem import InputError
from appraise.screens.ask import ask_what_becomes
from appraise.screens.base_screen import DialogScreen
from appraise.widgets.key_hints import KeyHints
from appraise.widgets.line_input import TextLine
from appraise.widgets.long_text import LongText
from appraise.widgets.plain import harmless, piece

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.app import ComposeResult
    from textual.binding import BindingType

Entered = TypeVar("Entered")


class EntryScreen(DialogScreen[tuple[Entered] | None]):
    """Asks for one line. Dismisses with the parsed value in a tuple, or None when left."""

    CSS_PATH = "entry.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave as it was", show=False),
        bound_to("save", "take", "Take"),
    ]

    def __init__(
        self,
        label: str,
        parse: Callable[[str], Entered],
        *,
        text: str = "",
        typed: str = "",
        hints: Sequence[str] = (),
        line: int = 0,
    ) -> None:
        """Make the entry.

        Args:
            label: What is asked.
            parse: Turns the text into the value, or raises `InputError`.
            text: What is there now, selected so that typing replaces it.
            typed: The first letter typed already; the cursor stands behind it.
            hints: Lines shown below the input.
            line: Line of the screen to lie over.
        """
        super().__init__()
        self._label, self._parse, self._line = label, parse, line
        self._text, self._typed, self._hints = harmless(text), harmless(typed), hints

    def compose(self) -> ComposeResult:
        """A label, the input, hints, and room for what is wrong."""
        with Vertical(id="entry"):
            yield Static(piece(self._label, "bold $primary"), id="label")
            yield TextLine(self._typed or self._text, compact=True, select_on_focus=not self._typed, id="line")
            hints = [piece(hint, "$quiet") for hint in self._hints if hint]
            if hints:
                yield Static(Content("\n").join(hints), id="hints")
            yield KeyHints(("enter", "takes it"), ("escape", "leaves it as it was"))
            yield Static("", id="wrong", markup=False)

    def on_mount(self) -> None:
        """Lie over the row that was under the cursor."""
        # Textual calls this handler for every class of a screen, so what differs is in methods of their own.
        room = self.app.size.height - self._height()
        self.query_one("#entry").styles.offset = (0, max(0, min(self._line, room)))
        self._begin()

    def _height(self) -> int:
        return 7 + sum(1 for hint in self._hints if hint)

    def _begin(self) -> None:
        line = self.query_one(Input)
        if self._typed:
            line.cursor_position = len(self._typed)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the value, or say what is wrong with it."""
        event.stop()
        self._take(event.value)

    def on_input_changed(self, event: Input.Changed) -> None:
        """A correction has begun: the complaint goes, and so does terminal control that was pasted."""
        if harmless(event.value) != event.value:
            event.input.value = harmless(event.value)
        self._complain("")

    def _take(self, text: str) -> bool:
        try:
            value = self._parse(text)
        except InputError as refused:
            self._complain(str(refused))
            return False
        self.dismiss((value,))
        return True

    def _complain(self, text: str) -> None:
        self.query_one("#wrong", Static).update(piece(text and f"✗ {text}", "$text-error"))

    def action_take(self) -> None:
        """Take what was typed, as Enter does, and save."""
        if self._take(self._written()):
            self.save_below()

    def _written(self) -> str:
        return self.query_one(Input).value

    @property
    def unfinished(self) -> bool:
        """True when something else stands here than at first."""
        return self._written().strip() != self._text.strip()

    def ask_unfinished(self) -> None:
        """Ask what becomes of what was written."""
        ask_what_becomes(self, "What you wrote is not taken yet.", "Take it", lambda: self._take(self._written()))


class LongEntryScreen(EntryScreen[Entered]):
    """The same for a text of several lines."""

    def compose(self) -> ComposeResult:
        """A label, the text, hints."""
        with Vertical(id="entry"):
            yield Static(piece(self._label, "bold $primary"), id="label")
            yield LongText(self._text + self._typed, id="text", soft_wrap=True, compact=True)
            hints = [piece(hint, "$quiet") for hint in self._hints if hint]
            if hints:
                yield Static(Content("\n").join(hints), id="hints")
            yield KeyHints(("enter", "takes it"), ("ctrl+j", "a new line"), ("escape", "leaves it as it was"))
            yield Static("", id="wrong", markup=False)

    def _height(self) -> int:
        return 12 + sum(1 for hint in self._hints if hint)

    def _begin(self) -> None:
        area = self.query_one(TextArea)
        area.move_cursor(area.document.end)

    def on_text_area_changed(self, event: TextArea.Changed) -> None:
        """Strike out terminal control that was pasted."""
        text = event.text_area.text
        if harmless(text) != text.removesuffix("\n"):
            event.text_area.text = harmless(text)
        self._complain("")

    def on_long_text_submitted(self) -> None:
        """Take the text."""
        self._take(self._written())

    def _written(self) -> str:
        return self.query_one(TextArea).text
