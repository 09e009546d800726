"""A question with a few answers, asked before anything is lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.widgets import Button, Static

from appraise.screens.queued_screen import Asking
from appraise.widgets.plain import piece

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult
    from textual.binding import BindingType


class AskScreen(Asking[str | None]):
    """Asks; dismisses with the key of the answer, or None for Esc."""

    CSS_PATH = "ask.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Stay", show=False),
        Binding("left,up", "app.focus_previous", "Answer before", show=False),
        Binding("right,down", "app.focus_next", "Answer after", show=False),
    ]

    def __init__(self, question: str, answers: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self._question, self._answers = question, answers

    def compose(self) -> ComposeResult:
        """The question, and a button for each answer."""
        with Vertical(id="ask"):
            yield Static(piece(self._question))
            with Horizontal():
                for key, label in self._answers:
                    yield Button(label, id=key, compact=True)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Give the answer."""
        self.dismiss(event.button.id)
