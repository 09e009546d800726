"""The next checks of the visit, with what they promise together."""

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

    from appraise.model.visit import VisitCheck


class NextChecks(Widget):
    """Up to three of them, with narrowing and minutes up to each, in all; a click goes there."""

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
        self._checks: Sequence[VisitCheck] = ()
        self._known = False
        self._minutes = 0.0
        self._whole = 0.0

    def show(self, checks: Sequence[VisitCheck] | None, minutes: float = 0.0) -> None:
        """Show these checks, the next one first.

        Args:
            checks: Of the visit; none while they are being worked out.
            minutes: Of the visit [min]; 0 where every check has been made.
        """
        known, shown = checks is not None, (checks or ())[:3]
        if (known, shown, minutes) == (self._known, self._checks, self._minutes):
            return
        other_height = len(shown) != len(self._checks)
        self._known, self._checks, self._minutes = known, shown, minutes
        self._whole = checks[-1].cumulative_pct if checks else 0.0
        self.refresh(layout=other_height)

    def render(self) -> Content:
        """Draw them: one line each, with a heading where there is room."""
        width = max(1, self.content_size.width)
        if not self._checks:
            empty = "No check that is left fits the visit." if self._minutes else "Every check has been made."
            return Content.styled(empty if self._known else "…", "$quiet")
        minutes, lines = 0.0, []
        for at, check in enumerate(self._checks):
            minutes += check.minutes
            lines.append(self._line(at, check, minutes, width))
        if self.content_size.height > 1:
            lines.insert(0, Content.styled(self._heading(width), "bold $secondary"))
        return Content("\n").join(lines)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """A heading and a line for each check."""
        return max(1, len(self._checks) + 1 if self._checks else 1)

    def on_click(self, event: events.Click) -> None:
        """Go to the check under the mouse."""
        line = event.y - (1 if self.content_size.height > 1 else 0)
        if 0 <= line < len(self._checks):
            self.post_message(self.Wanted(self._checks[line].check))

    def _heading(self, width: int) -> str:
        told = f"Look at these next: {self._minutes:.0f} min narrow it by {_percent(self._whole)}"
        return told if len(told) <= width else "Look at these next"

    def _line(self, at: int, check: VisitCheck, minutes: float, width: int) -> Content:
        tail = f" {_percent(check.cumulative_pct)} in {minutes:.0f} min"
        key = "F3 " if at == 0 else "   "
        where = STATION_LABELS.get(check.station, check.station)
        room = max(1, width - len(tail) - len(key))
        text = fit(f"{check.label} · {where}" if len(check.label) + len(where) + 3 <= room else check.label, room)
        return Content.assemble((key, "bold $primary"), (text, "$foreground"), (tail, "$quiet"))


def _percent(percent: float) -> str:
    return f"{percent:.0f}%" if percent >= 1 else f"{percent:.1f}%"
