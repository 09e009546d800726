"""The next checks of the visit, with what they promise together, and the minutes that are left."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from appraise.commands import told
from appraise.model.case import STATION_LABELS
from appraise.widgets.plain import fit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events

    from appraise.model.visit import VisitCheck

SHOWN = 3
"""Checks, or a comparable to find and the checks behind it."""

_WIDEST = 118
"""Cells of a line: however wide the window, a check and what it promises stay near each other."""

_UP = "Time is up; {visit-minutes} allows more."


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

    class ComparableWanted(Message):
        """A person clicked the advice to find a comparable sale."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._checks: Sequence[VisitCheck] = ()
        self._known = False
        self._minutes: int | None = None
        self._timed = False
        self._whole = 0.0
        self._comparable: float | None = None

    def show(
        self,
        checks: Sequence[VisitCheck] | None,
        *,
        minutes: float | None = None,
        timed: bool = False,
        comparable: float | None = None,
    ) -> None:
        """Show these checks, the next one first.

        Args:
            checks: Of the visit; none while they are being worked out.
            minutes: Left for the visit [min]; none where every check has been made.
            timed: They run.
            comparable: Narrowing by one more comparable sale [%], where no check narrows the range more.
        """
        room = SHOWN - (comparable is not None)
        now = (
            checks is not None,
            (checks or ())[:room],
            None if minutes is None else round(minutes),
            timed,
            comparable,
        )
        if now == (self._known, self._checks, self._minutes, self._timed, self._comparable):
            return
        before = self._lines
        self._known, self._checks, self._minutes, self._timed, self._comparable = now
        self._whole = checks[-1].cumulative_pct if checks else 0.0
        self.refresh(layout=self._lines != before)

    @property
    def _lines(self) -> int:
        return len(self._checks) + (self._comparable is not None)

    def render(self) -> Content:
        """Draw them: one line each, with a heading where there is room."""
        width = max(1, min(self.content_size.width, _WIDEST))
        if not self._lines:
            return Content.styled(self._empty() if self._known else "…", "$quiet")
        minutes, lines = 0.0, []
        if self._comparable is not None:
            lines.append(self._advice(self._comparable, width))
        for at, check in enumerate(self._checks):
            minutes += check.minutes
            lines.append(self._line(at, check, minutes, width))
        if self.content_size.height > 1:
            lines.insert(0, Content.styled(self._heading(width), "bold $secondary"))
        return Content("\n").join(lines)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """A heading and a line for each check."""
        return self._lines + 1 if self._lines else 1

    def on_click(self, event: events.Click) -> None:
        """Go to the check under the mouse."""
        line = event.y - (1 if self.content_size.height > 1 else 0)
        if self._comparable is not None:
            if line == 0:
                self.post_message(self.ComparableWanted())
            line -= 1
        if 0 <= line < len(self._checks):
            self.post_message(self.Wanted(self._checks[line].check))

    def _empty(self) -> str:
        if self._minutes is None:
            return "Every check has been made."
        return told(_UP) if self._timed and not self._minutes else "None of the checks left fits the visit."

    def _heading(self, width: int) -> str:
        if self._checks:
            left = (
                f"{self._minutes} min left: these narrow"
                if self._timed
                else f"Inspect these next: {self._minutes} min narrow"
            )
            words = f"{left} it by {_percent(self._whole)}"
        else:
            words = told(_UP) if self._timed and not self._minutes else "These narrow it most now"
        return words if len(words) <= width else "Inspect these next"

    def _advice(self, comparable: float, width: int) -> Content:
        tail = f" narrows it by {_percent(comparable)}"
        name = told("{particulars} ")
        room = max(1, width - len(tail) - len(name))
        text = fit("Find another comparable sale · Particulars", room)
        return Content.assemble((name, "bold $primary"), (text, "$foreground"), (tail, "$quiet"))

    def _line(self, at: int, check: VisitCheck, minutes: float, width: int) -> Content:
        tail = f" {_percent(check.cumulative_pct)} in {minutes:.0f} min"
        if self._timed and at == 0 and self.content_size.height == 1:
            tail += f", {self._minutes} left"  # the one line there is
        name = told("{next-check} ")
        shown = name if at == 0 else " " * len(name)
        where = STATION_LABELS.get(check.station, check.station)
        room = max(1, width - len(tail) - len(shown))
        text = fit(f"{check.label} · {where}" if len(check.label) + len(where) + 3 <= room else check.label, room)
        return Content.assemble((shown, "bold $primary"), (text, "$foreground"), (tail, "$quiet"))


def _percent(percent: float) -> str:
    return f"{percent:.0f}%" if percent >= 1 else f"{percent:.1f}%"
