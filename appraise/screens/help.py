"""Help: the keys of the screen below, those of the others folded; made from the list of commands."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from appraise.commands import (
    ASKED,
    ASKED_KEYS,
    ENTRY_KEYS,
    EVERYWHERE,
    LOOK,
    LOOK_KEYS,
    NEW,
    NEW_KEYS,
    NOTE_KEYS,
    NOTES,
    SCOPES,
    WALK,
    WHY,
    WHY_KEYS,
    key_names,
    of_scope,
)
from appraise.screens.base_screen import DialogScreen
from appraise.widgets.key_hints import KeyHints
from appraise.widgets.plain import wrapped

if TYPE_CHECKING:
    from textual.app import ComposeResult
    from textual.binding import BindingType

_KEYS = 18
_WRITING = {WALK: ENTRY_KEYS, LOOK: LOOK_KEYS, NOTES: NOTE_KEYS, NEW: NEW_KEYS, ASKED: ASKED_KEYS, WHY: WHY_KEYS}
"""Keys that are no commands, by scope."""


class HelpScreen(DialogScreen[None]):
    """One page: the keys of one scope and those that work everywhere; the others unfold at a key."""

    SCOPE = EVERYWHERE
    CSS_PATH = "help.tcss"
    AUTO_FOCUS = "#help"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter", "leave", "Close", show=False),
        Binding("space", "unfold", "Other screens", show=False),
    ]

    def __init__(self, scope: str) -> None:
        super().__init__()
        self._scope, self._unfolded = scope, False

    def compose(self) -> ComposeResult:
        """The page."""
        with Vertical(id="leaf"):
            with VerticalScroll(id="help"):
                yield Static(id="page")
            yield KeyHints(
                ("escape", "closes this page"), ("space", "shows the keys of the other screens, or folds them")
            )

    def on_mount(self) -> None:
        """Write the page."""
        self.call_after_refresh(self._write)

    def on_resize(self) -> None:
        """Write the page at the new width."""
        self.call_after_refresh(self._write)

    def _write(self) -> None:
        width = max(10, self.query_one("#help").scrollable_content_region.width)
        self.query_one("#page", Static).update(help_page(self._scope, width, unfolded=self._unfolded))

    def action_unfold(self) -> None:
        """Show the keys of the other screens as well, or fold them again."""
        self._unfolded = not self._unfolded
        self._write()

    def action_leave(self) -> None:
        """Close the page."""
        self.dismiss(None)


def help_page(scope: str, width: int, *, unfolded: bool = False) -> Content:
    """Return the page in lines of `width` cells.

    Args:
        scope: Asked about; its keys come first, then those that work everywhere.
        width: Of the page [cells].
        unfolded: Whether the keys of all other scopes follow.
    """
    here = list(dict.fromkeys(name for name in (scope, EVERYWHERE) if name in SCOPES))
    others = [name for name in SCOPES if name not in here]
    lines: list[Content] = []
    for name in [*here, *others] if unfolded else here:
        lines += [*wrapped(SCOPES[name], width, "bold $secondary")]
        for keys, text in _WRITING.get(name, ()):
            lines += _line(keys, text, width)
        for command in of_scope(name):
            lines += _line(key_names(command.keys), f"{command.label}: {command.help}", width)
        lines.append(Content(""))
    return Content("\n").join(lines)


def _line(keys: str, text: str, width: int) -> list[Content]:
    room = max(10, width - _KEYS)
    texts = wrapped(text, room, "$foreground")
    first = Content.assemble((keys.ljust(_KEYS), "bold $primary"), texts[0])
    return [first, *(Content.assemble(" " * _KEYS, line) for line in texts[1:])]
