"""A question with a few answers, asked before anything is lost."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.widgets import Button, Static

from appraise.screens.base_screen import BaseScreen, DialogScreen
from appraise.widgets.plain import piece

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import Any

    from textual.app import App, ComposeResult
    from textual.binding import BindingType


class AskScreen(DialogScreen[str | None]):
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

    @property
    def unfinished(self) -> bool:
        """True: nobody leaves before the answer."""
        return True

    def action_leave(self) -> None:
        """Leave without an answer: all stays as it is."""
        self.dismiss(None)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Give the answer."""
        self.dismiss(event.button.id)


def ask_which(app: App[Any], question: str, **answers: tuple[str, Callable[[], object] | None]) -> None:
    """Ask, and do what belongs to the answer.

    Args:
        app: The application.
        question: What is asked.
        answers: By key the words of an answer and what is done at it; none: nothing, as at no answer.
    """

    def on_result(answer: str | None) -> None:
        do = None if answer is None else answers[answer][1]
        if do is not None:
            do()

    app.push_screen(AskScreen(question, [(key, words) for key, (words, _) in answers.items()]), on_result)


def ask_what_becomes(
    screen: BaseScreen[Any], words: str, on_result: str, do: Callable[[], object], *, stay: str = "Write on"
) -> None:
    """Ask whether what was typed or ticked on a screen is taken, dropped, or gone on with.

    Args:
        screen: Where it was typed.
        words: What is unfinished.
        on_result: The words for taking it.
        do: What takes it.
        stay: The words for going on with it.
    """
    drop = ("Drop it", lambda: screen.dismiss(None))
    ask_which(screen.app, words, take=(on_result, do), drop=drop, stay=(stay, None))
