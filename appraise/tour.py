"""A tour of some five minutes over an invented case: a line says what to press and goes on once it was done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Protocol

from textual.app import App, ReturnType
from textual.content import Content
from textual.widget import Widget

from appraise.commands import told
from appraise.model.lazy_dataclass import dataclass
from appraise.widgets.plain import wrapped
from appraise.widgets.row_list import RowList

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual.screen import Screen

    from appraise.services.documents import Outcome


@dataclass(frozen=True, slots=True)
class Sight:
    """What a step is judged by: the screen in front, the row under the cursor, the case, what was written."""

    screen: str
    row: str
    station: str
    case: object
    written: int


@dataclass(frozen=True, slots=True)
class Step:
    """What to press, with commands in braces, and when that was done: what was seen at its beginning, and now."""

    text: str
    done: Callable[[Sight, Sight], bool]


def _on(screen: str) -> Callable[[Sight, Sight], bool]:
    return lambda _, now: now.screen == screen


def _answered(then: Sight, now: Sight) -> bool:
    return now.case != then.case and now.screen == "WalkScreen"


def _moved(then: Sight, now: Sight) -> bool:
    return now.screen == "WalkScreen" and (now.station, now.row) != (then.station, then.row)


def _station(then: Sight, now: Sight) -> bool:
    return now.screen == "WalkScreen" and now.station != then.station


def _written(then: Sight, now: Sight) -> bool:
    return now.written > then.written


STEPS: tuple[Step, ...] = (
    Step("This inspects an invented upright; nothing can be spoilt. ↓ goes from check to check: press it.", _moved),
    Step("There are eight stations, one behind the other. → goes to the next, ← back: go to another one.", _station),
    Step(
        "A digit grades the check under the cursor: 1 as new, 2 sound, 3 simple repair, 4 major repair, 5 worn out. "
        "Grade one; y and n answer a question; where a unit stands, type a number and Enter.",
        _answered,
    ),
    Step("The value above has moved with it. {undo} takes the last answer back: press it.", _answered),
    Step("{next-check} goes to the check that would narrow the value most: press it.", _moved),
    Step("Answer it, as its line asks: a digit, y or n, or a number and Enter.", _answered),
    Step("{why} shows what it rests on, down to the row of the tables and its source: press it.", _on("WhyScreen")),
    Step("→ opens a figure, ← closes it. Then Esc goes back to the inspection.", _on("WalkScreen")),
    Step("{result} is the result: value, work that pays, reasons. Press it.", _on("ResultScreen")),
    Step("{charts} draws it: what the range comes from, what ages when. Press it.", _on("ChartsScreen")),
    Step("← and → go from chart to chart. Then Esc goes back to the result.", _on("ResultScreen")),
    Step("{documents} is for documents of the case: press it.", _on("DocumentsScreen")),
    Step("↓ chooses the kind, Tab goes on to form and name; {save} writes the report beside the case.", _written),
    Step(
        "That is the way from the first look to the report; the file stands below. Esc goes back, {show-help} lists "
        "every key, {save} saves a case. Your own begins with {new-case} on the list of cases.",
        lambda _, __: False,
    ),
)
"""The tour, in order."""


class Written(Protocol):
    """What the screen of documents says when it has written."""

    outcomes: Sequence[Outcome]


class TourLine(Widget):
    """The step one is at, above everything; a click ends the tour."""

    DEFAULT_CSS = "TourLine { dock: top; height: auto; padding: 0 1; background: $primary; color: $background; }"

    def __init__(self, text: str) -> None:
        super().__init__()
        self._text = text

    def show(self, text: str) -> None:
        """Show another text."""
        if text != self._text:
            self._text = text
            self.refresh(layout=True)

    def render(self) -> Content:
        """Draw it."""
        return Content("\n").join(self._lines(self.content_size.width))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:
        """As many lines as the text needs."""
        return len(self._lines(width))

    def on_click(self) -> None:
        """End the tour."""
        if isinstance(self.app, Guided):
            self.app.end_tour()

    def _lines(self, width: int) -> list[Content]:
        return wrapped(self._text, max(10, width))


class Guided(App[ReturnType]):
    """An application that can lead through itself."""

    touring = False

    def __init__(self) -> None:
        super().__init__()
        self._at, self._documents = 0, 0
        self._then: Sight | None = None

    def on_mount(self) -> None:
        """Follow every screen that comes to the front, on a tour."""
        if not self.touring:
            return
        self.screen_change_signal.subscribe(self, lambda screen: screen.call_after_refresh(self.look))
        self.screen.call_after_refresh(self.look)

    def on_row_list_moved(self) -> None:
        """See where the cursor went."""
        self.look()

    def on_documents_screen_written(self, message: Written) -> None:
        """See that a document was written."""
        self._documents += any(not outcome.problem for outcome in message.outcomes)
        self.look()

    def end_tour(self) -> None:
        """Go on without it."""
        self.touring = False
        for screen in self.screen_stack:
            screen.query(TourLine).remove()

    def look(self) -> None:
        """Go on when the step was done, and show the one that is next on the screen in front."""
        if not self.touring or not self.screen_stack:
            return
        now = self._sight(self.screen)
        if self._then is None and now.screen == "WalkScreen" and now.row:
            self._then = now
        while self._then is not None and STEPS[self._at].done(self._then, now):
            self._at, self._then = self._at + 1, now
        text = f"Tour {self._at + 1}/{len(STEPS)} · {told(STEPS[self._at].text)} ({told('{leave-app}')} leaves)"
        lines = self.screen.query(TourLine)
        if lines:
            lines.first().show(text)
        elif self.screen.is_mounted:
            self.screen.mount(TourLine(text))

    def _sight(self, screen: Screen[Any]) -> Sight:
        rows = screen.query("#form").results(RowList)
        sheet = getattr(screen, "worksheet", None)
        case = self._then.case if sheet is None and self._then is not None else getattr(sheet, "case", None)
        row = next((rows.key or "" for rows in rows), "")
        return Sight(type(screen).__name__, row, str(getattr(screen, "station", "")), case, self._documents)
