"""The checks not yet made that would narrow the range most."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from appraise.model.case import STATION_LABELS
from appraise.widgets.plain import fit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events

    from appraise.model.result import NextCheck


class NextChecks(Widget):
    """Up to three of them, with what each narrows and how long it takes; a click goes there."""

    DEFAULT_CSS = """
    NextChecks { height: auto; max-height: 7; padding: 0 1; background: $surface; }
    """

    class Wanted(Message):
        """A person clicked a check to go there."""

        def __init__(self, check: str) -> None:
            super().__init__()
            self.check = check

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._checks: Sequence[NextCheck] = ()
        self._known = False

    def show(self, checks: Sequence[NextCheck] | None) -> None:
        """Show these checks, the most informative first; none while they are being worked out."""
        known, shown = checks is not None, (checks or ())[:3]
        if (known, shown) == (self._known, self._checks):
            return
        other_height = len(shown) != len(self._checks)
        self._known, self._checks = known, shown
        self.refresh(layout=other_height)

    def render(self) -> Content:
        """Draw them: one line each, with a heading where there is room."""
        width = max(1, self.content_size.width)
        if not self._checks:
            return Content.styled("Every check has been made." if self._known else "…", "$quiet")
        lines = [self._line(at, check, width) for at, check in enumerate(self._checks)]
        if self.content_size.height > 1:
            lines.insert(0, Content.styled("Look at these next", "bold $secondary"))
        return Content("\n").join(lines)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """A heading and a line for each check."""
        return max(1, len(self._checks) + 1 if self._checks else 1)

    def on_click(self, event: events.Click) -> None:
        """Go to the check under the mouse."""
        line = event.y - (1 if self.content_size.height > 1 else 0)
        if 0 <= line < len(self._checks):
            self.post_message(self.Wanted(self._checks[line].check))

    def _line(self, at: int, check: NextCheck, width: int) -> Content:
        tail = f" {_narrowing(check.narrows_pct)} · {check.minutes:.0f} min"
        key = "F3 " if at == 0 else "   "
        where = STATION_LABELS.get(check.station, check.station)
        room = max(1, width - len(tail) - len(key))
        text = fit(f"{check.label} · {where}" if len(check.label) + len(where) + 3 <= room else check.label, room)
        return Content.assemble((key, "bold $primary"), (text, "$foreground"), (tail, "$quiet"))


def _narrowing(percent: float) -> str:
    if percent < 0.05:
        return "hardly narrows it"
    return f"narrows {percent:.0f}%" if percent >= 1 else f"narrows {percent:.1f}%"
