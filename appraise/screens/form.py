"""A few lines to type in at once; what does not fit is said below and nothing is lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Button, Input, Static

from appraise.commands import bound_to, told
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError
from appraise.screens.ask import ask_what_becomes
from appraise.screens.base_screen import DialogScreen
from appraise.widgets.plain import harmless, piece

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.app import ComposeResult
    from textual.binding import BindingType


@dataclass(frozen=True, slots=True)
class FormLine:
    """One line of a form."""

    key: str
    label: str
    text: str
    """Present value."""
    help: str
    """Placeholder while it is empty."""
    parse: Callable[[str], object]
    """Turns the text into the value, or raises `InputError`."""


class FormScreen(DialogScreen[dict[str, Any] | None]):
    """Asks for several lines. Dismisses with the parsed values by key, or None when left."""

    CSS_PATH = "form.tcss"
    AUTO_FOCUS = "Input"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave as it was", show=False),
        bound_to("save", "take", "Take"),
        Binding("up", "app.focus_previous", "Line above", show=False),
        Binding("down", "app.focus_next", "Line below", show=False),
    ]

    def __init__(self, title: str, asked: Sequence[FormLine], note: str = "") -> None:
        super().__init__()
        self._title, self._asked, self._note = title, asked, note

    def compose(self) -> ComposeResult:
        """A title, the lines, what they mean, and room for what is wrong."""
        with VerticalScroll(id="asked"):
            yield Static(piece(self._title, "bold $primary"))
            for line in self._asked:
                with Horizontal(classes="field"):
                    yield Static(piece(line.label), classes="label")
                    yield Input(harmless(line.text), id=line.key, compact=True, placeholder=line.help)
            yield Static(piece(self._note, "$quiet"), id="note")
            yield Static("", id="wrong", markup=False)
            with Horizontal(classes="field"):
                yield Button(told("Take ({save})"), id="take", compact=True, variant="primary")
                yield Button("Leave (Esc)", id="leave", compact=True)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Take, or leave."""
        if event.button.id == "take":
            self.action_take()
        else:
            self.action_leave()

    @property
    def unfinished(self) -> bool:
        """True when a line reads otherwise than at first."""
        return any(self.query_one(f"#{line.key}", Input).value != harmless(line.text) for line in self._asked)

    def ask_unfinished(self) -> None:
        """Ask what becomes of what was written."""
        ask_what_becomes(self, "What you wrote is not taken yet.", "Take it", self.action_take)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter goes to the next line; behind the last it takes them."""
        event.stop()
        if event.input.id == self._asked[-1].key:
            self.action_take()
        else:
            self.focus_next()

    def action_take(self) -> None:
        """Take every line, or say what is wrong with the first that does not fit."""
        results: dict[str, object] = {}
        for line in self._asked:
            field = self.query_one(f"#{line.key}", Input)
            try:
                results[line.key] = line.parse(field.value)
            except InputError as refused:
                self.query_one("#wrong", Static).update(piece(f"✗ {line.label}: {refused}", "$text-error"))
                field.focus()
                return
        self.dismiss(results)
