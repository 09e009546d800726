"""What the worksheet says in passing: the newest alone, where it covers nothing that a person needs at that moment."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import App, ReturnType
from textual.css.query import NoMatches
from textual.geometry import Region

from appraise.widgets.plain import harmless, wrapped
from appraise.widgets.row_list import RowList

if TYPE_CHECKING:
    from typing import Any

    from textual.notifications import SeverityLevel
    from textual.screen import Screen

_MARKS: dict[SeverityLevel, str] = {"information": "", "warning": "⚠ ", "error": "✗ "}
"""What tells a message's weight apart without its colour."""

_RACK = "ToastRack"
"""The kind of widget in which a screen shows messages, as style sheets call it."""

_KEPT_FREE = "Foot, NextChecks"
"""What no message lies over: the keys, and what to look at next."""

_ABOVE = "TourLine"
"""What a message stands below at the top."""

_AROUND = 3
"""Cells of a message that are edge and padding."""


class Messages(App[ReturnType]):
    """Shows one message at a time: on the first line, or above the last ones where that would cover what is edited."""

    CSS: ClassVar[str] = """
    ToastRack { dock: top; margin: 0; scrollbar-size: 0 0; }
    ToastHolder { margin: 0; }
    Toast { width: auto; max-width: 100%; margin: 0; padding: 0 1; background: $panel; color: $foreground; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._said = ""
        """The message that was last shown; empty when what it told of has been followed by a change."""

    def notify(
        self,
        message: str,
        *,
        title: str = "",
        severity: SeverityLevel = "information",
        timeout: float | None = None,
        markup: bool = True,
    ) -> None:
        """Show a message in the place of any before it."""
        self._said = f"{_MARKS[severity]}{message}"
        super().notify(self._said, title=title, severity=severity, timeout=timeout, markup=markup)
        self.call_later(self.place_message)

    def on_notify(self) -> None:
        """Take away what is shown just before the next message is: said in a row, or again, they never pile up."""
        self.clear_notifications()
        for rack in self.screen.query(_RACK):
            rack.remove_children()

    def unsay(self) -> None:
        """Take the message away: something else has been done since."""
        if self._said:
            self._said = ""
            self.clear_notifications()

    def on_mount(self) -> None:
        """Find the place anew on every screen that comes to the front."""
        self.screen_change_signal.subscribe(self, lambda _: self.call_later(self.place_message))

    def on_row_list_moved(self) -> None:
        """Make way for the row that is under the cursor now."""
        self.place_message()

    def on_descendant_focus(self) -> None:
        """Make way for what has the focus now."""
        self.place_message()

    def place_message(self) -> None:
        """Put the message at the top, or low down where it would lie over what is being edited."""
        if not self._said:
            return
        screen = self.screen
        try:
            rack = screen.query_one(_RACK)
        except NoMatches:
            return
        width, height = screen.size
        lines = sum(len(wrapped(line, max(1, width - _AROUND))) for line in harmless(self._said).splitlines())
        edited = being_edited(screen)
        bottom = min((widget.region.y for widget in screen.query(_KEPT_FREE)), default=height)
        top = max((widget.region.bottom for widget in screen.query(_ABOVE)), default=0)
        low = edited is not None and edited.y < top + lines and edited.bottom <= bottom - lines
        rack.styles.dock = "bottom" if low else "top"
        rack.styles.margin = (0, 0, max(0, height - bottom), 0) if low else (top, 0, 0, 0)


def being_edited(screen: Screen[Any]) -> Region | None:
    """Return the lines in which a person reads or types at the moment; none where nothing has the focus."""
    focused = screen.focused
    if focused is None:
        return None
    if isinstance(focused, RowList):
        return focused.region_of_cursor()
    region = focused.region
    # What is asked stands above the line to type in.
    return Region(region.x, max(0, region.y - 1), region.width, region.height + 1)
