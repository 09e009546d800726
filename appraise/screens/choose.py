"""One of several, or several of many: grades by their words, bases, components."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from appraise.commands import BY_ID, bound_to
from appraise.model.quantities import grade_typed
from appraise.screens.ask import ask_what_becomes
from appraise.screens.base_screen import DialogScreen
from appraise.widgets.checkbox import tick_mark
from appraise.widgets.key_hints import KeyHints
from appraise.widgets.plain import piece

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events
    from textual.app import ComposeResult
    from textual.binding import BindingType


class ChooseScreen(DialogScreen[str | None]):
    """Asks for one of several. Dismisses with its key, or None when left."""

    CSS_PATH = "choose.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Leave as it was", show=False)]

    def __init__(
        self,
        title: str,
        choices: Sequence[tuple[str, str]],
        *,
        now: str = "",
        start: str = "",
        show_keys: bool = False,
        typed: str = "",
    ) -> None:
        """Make the choice.

        Args:
            title: What is asked.
            choices: (key, words) in order.
            now: The key chosen at present.
            start: Where to stand while none is chosen; none: on the first.
            show_keys: The keys are grades: shown before the words, and typed as on a row.
            typed: The first letter typed already.
        """
        super().__init__()
        self._title, self._choices, self._now, self._show_keys = title, choices, now, show_keys
        self._start, self._first = now or start, typed
        self._typed = ""
        """The letters of one word, typed one behind the other."""

    def compose(self) -> ComposeResult:
        """A title and the choices."""
        with Vertical(id="choose"):
            yield Static(piece(self._title, "bold $primary"))
            yield OptionList(
                *(Option(self._prompt(key, words)) for key, words in self._choices), markup=False, compact=True
            )
            yield KeyHints(("enter", "takes it"), ("escape", "leaves it as it was"))

    def on_mount(self) -> None:
        """Stand on the present choice, or where to start, or on the first that begins with what was typed."""
        keys = [key for key, _ in self._choices]
        self.query_one(OptionList).highlighted = keys.index(self._start) if self._start in keys else 0
        self._seek(self._first.casefold())

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Take the choice."""
        self.dismiss(self._choices[event.option_index][0])

    def on_key(self, event: events.Key) -> None:
        """Go to the grade that was typed, or else to the choice that begins with what was typed."""
        typed = (event.character or "").casefold()
        options = self.query_one(OptionList)
        if self._show_keys and typed and typed in "0123456789.,½":
            self._typed = next((text for text in (self._typed + typed, typed) if grade_typed(text) is not None), "")
            grade = grade_typed(self._typed)
            keys = [key for key, _ in self._choices]
            if grade is not None and f"{grade:g}" in keys:
                options.highlighted = keys.index(f"{grade:g}")
            return
        self._seek(typed)

    def _seek(self, typed: str) -> None:
        """Go to the next choice that begins with the letter, or to the one that begins with all typed of one word."""
        before, self._typed = self._typed, ""
        if not typed.isalnum():
            return
        options = self.query_one(OptionList)
        here, count = options.highlighted or 0, len(self._choices)
        # What is opened by a letter stays where it stands if that begins with it, unless nothing is chosen there.
        begun = bool(self._first) and bool(self._choices[here][0])
        self._first = ""
        whole = ((before + typed, here),) if before else ()
        for text, first in (*whole, (typed, here if begun else here + 1)):
            order = (at % count for at in range(first, first + count))
            result = next((at for at in order if self._choices[at][1].casefold().startswith(text)), None)
            if result is not None:
                options.highlighted, self._typed = result, text
                return

    def _prompt(self, key: str, words: str) -> Content:
        mark = "● " if key == self._now else "  "
        if not self._show_keys:
            return Content.assemble(mark, piece(words))
        return Content.assemble(mark, (f"{key:<4}", "bold"), piece(words))


class ChooseSeveralScreen(DialogScreen[tuple[str, ...] | None]):
    """Asks for any number of many. Dismisses with their keys, or None when left."""

    CSS_PATH = "choose.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave as it was", show=False),
        bound_to("save", "take", "Take"),
        Binding("space", "tick", "Tick", show=False),
    ]

    def __init__(self, title: str, choices: Sequence[tuple[str, str]], now: Sequence[str]) -> None:
        super().__init__()
        self._title, self._choices, self._ticked = title, choices, set(now)
        self._at_first = frozenset(now)

    def compose(self) -> ComposeResult:
        """A title and the choices with their ticks."""
        with Vertical(id="choose"):
            yield Static(piece(self._title, "bold $primary"))
            yield OptionList(
                *(Option(self._prompt(key, words)) for key, words in self._choices), markup=False, compact=True
            )
            yield KeyHints(
                ("enter", "ticks"), (BY_ID["save"].first_key, "takes them"), ("escape", "leaves it as it was")
            )

    def on_mount(self) -> None:
        """Stand on the first that is ticked."""
        keys = [key for key, _ in self._choices]
        self.query_one(OptionList).highlighted = min(
            (keys.index(key) for key in self._ticked if key in keys), default=0
        )

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tick it, or take the tick away."""
        key, words = self._choices[event.option_index]
        self._ticked ^= {key}
        event.option_list.replace_option_prompt_at_index(event.option_index, self._prompt(key, words))

    def action_tick(self) -> None:
        """Tick the one under the cursor, or take the tick away."""
        self.query_one(OptionList).action_select()

    def action_take(self) -> None:
        """Take what is ticked, in table order, and save."""
        self._take()
        self.save_below()

    def _take(self) -> None:
        self.dismiss(tuple(key for key, _ in self._choices if key in self._ticked))

    @property
    def unfinished(self) -> bool:
        """True while other ticks stand here than at first."""
        return self._ticked != self._at_first

    def ask_unfinished(self) -> None:
        """Ask what becomes of the ticks."""
        ask_what_becomes(self, "What you ticked is not taken yet.", "Take them", self._take, stay="Tick on")

    def _prompt(self, key: str, words: str) -> Content:
        ticked = key in self._ticked
        return Content.assemble((tick_mark(on=ticked), "$primary" if ticked else "$quiet"), piece(f" {words}"))
