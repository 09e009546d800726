"""The parts of an instrument for a quick look: a digit grades one and goes on to the next."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.content import Content
from textual.message import Message

from appraise.model.lazy_dataclass import dataclass
from appraise.model.quantities import grade_typed
from appraise.widgets.marks import SCALE_WIDTH, grade_at, grade_figure, grade_scale, grade_style
from appraise.widgets.plain import fit
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events
    from textual.binding import BindingType

    from appraise.services.quick_look import LookRow

DONE = "done"
"""The row behind the last part: it takes no grade, so that a key too many changes nothing."""

_TAIL = 5 + SCALE_WIDTH
"""Cells for figure and scale at the end of a row."""


class LookRows(RowList):
    """Stations and their parts. On a part a digit is its grade, on a station that of all its parts."""

    LINE_BY_LINE = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+up", "heading(-1)", "Station above", show=False),
        Binding("ctrl+down", "heading(1)", "Station below", show=False),
    ]
    """| Key | Does |
    | :- | :- |
    | ctrl+up, ctrl+down | Go to the heading of a station, which moving from part to part passes |
    """

    @dataclass
    class Graded(Message):
        """A part, or all open parts of a station, are to have this grade; none: no longer one."""

        row: LookRow
        grade: float | None
        joins: bool = False
        """Half a grade more for what was graded last."""

    @dataclass
    class NotTaken(Message):
        """Input that is no grade."""

        typed: str

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._look: Sequence[LookRow] = ()
        self._entry: tuple[LookRow, str] | None = None
        """The short entry: what was graded last, and what was typed for it."""

    def show(self, look: Sequence[LookRow], *, keep: str | None = None) -> None:
        """Show these rows."""
        self._look = look
        self.rebuild(keep=keep)

    @property
    def current(self) -> LookRow | None:
        """The row under the cursor; none behind the last."""
        return next((row for row in self._look if row.key == self.key), None)

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        rows = [
            Row(row.key, [self._heading(row, width - 1)], aside=True)
            if row.component is None
            else Row(row.key, [self._part(row, width - 1)], stop=not row.closed)
            for row in self._look
        ]
        left = sum(row.component is not None and not row.closed and row.grade is None for row in self._look)
        text = "Every part has a grade." if not left else f"{left} part{'' if left == 1 else 's'} left without one."
        end = f"{text} Esc goes to the walk: checks replace these grades one by one."
        return [*rows, Row(DONE, [Content.styled(fit(end, max(1, width - 1)), "$quiet")])]

    def _heading(self, row: LookRow, width: int) -> Content:
        rule = "─" * max(0, width - len(row.label) - 1)
        return Content.assemble((row.label, "bold $secondary"), (f" {rule}", "$faint"))

    def _part(self, row: LookRow, width: int) -> Content:
        room = max(4, width - _TAIL - 3)
        word = "checked" if row.closed else "preliminary" if row.grade is not None else ""
        label = max(4, room - len(word) - 1)
        mark = ("● ", "$text-warning") if row.grade is not None else ("✓ " if row.closed else "○ ", "$faint")
        style = "$quiet" if row.closed or row.grade is None else "$foreground"
        head = Content.assemble(mark, (fit(row.label, label).ljust(label), style), " ", (word, "$quiet"), " ")
        if row.closed:
            return head
        if row.grade is None:
            return Content.assemble(head, " " * 5, grade_scale(None))
        figure = (grade_figure(row.grade).ljust(5), f"bold {grade_style(row.grade)}")
        return Content.assemble(head, figure, grade_scale(row.grade))

    def clicked(self, key: str, line: int, x: int) -> None:
        """Grade with a click on the scale."""
        row, width = self.current, self.scrollable_content_region.width - 1
        grade = grade_at(x - (width - SCALE_WIDTH))
        if row is not None and row.component is not None and grade is not None:
            self._entry = None
            self.post_message(self.Graded(row, grade))

    def action_heading(self, step: int) -> None:
        """Go to the heading of a station above or below, on purpose."""
        headings = {row.key for row in self._look if row.component is None}
        self.go_to_next(step, [row.key for row in self._look], headings, elsewhere=len(self._look))

    def go_on(self, row: LookRow) -> None:
        """Go to the next part, or from a station to the next station."""
        if row.component is None:
            before = self.key
            self.action_heading(1)
            if self.key == before:
                self.go(DONE)
        elif row.key == self.key:
            self.step(1)

    def on_key(self, event: events.Key) -> None:
        """Take a digit for a grade, and .5 behind it for half a grade more of the same part."""
        typed = event.character or ""
        begun, self._entry = self._entry, None
        message: Message | None = None
        if begun is not None and typed in (".", ",", "½", "5") and (typed != "5" or begun[1][-1] in ".,"):
            row, text = begun
            grade = grade_typed(text + typed)
            if grade is None:
                message = self.NotTaken(text + typed)
            else:
                self._entry = None if typed in "½5" else (row, text + typed)
                message = self.Graded(row, grade, joins=True)
        elif (row_ := self.current) is not None and typed in ("1", "2", "3", "4", "5"):
            self._entry = (row_, typed)
            message = self.Graded(row_, float(typed))
        elif (row_ := self.current) is not None and event.key in ("delete", "backspace"):
            message = self.Graded(row_, None)
        elif len(typed) == 1 and typed.isalnum():
            message = self.NotTaken(typed)
        if message is not None:
            event.stop()
            event.prevent_default()
            self.post_message(message)
