"""A station's form: every check a row with its answer and its place on the grade scale, written to in place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content
from textual.message import Message

from appraise.tables.rows import CheckKind
from appraise.type_ahead import opening, too_soon
from appraise.widgets.marks import SCALE_WIDTH, grade_at, grade_figure, grade_scale, grade_style
from appraise.widgets.plain import fit, plain
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events

    from appraise.services.walk import FormRow

_GRADE = 5 + SCALE_WIDTH + 1
"""Cells for figure and scale at the end of a row."""

_QUANTITIES = (CheckKind.MEASURED, CheckKind.COUNT)


class CheckForm(RowList):
    """The checks of one station. Digits, +, −, y, n and Delete write; Enter opens the editor."""

    LINE_BY_LINE = True

    @dataclass
    class Graded(Message):
        """The check or component under the cursor is to have this grade."""

        row: FormRow
        grade: float

    @dataclass
    class Answered(Message):
        """A yes-or-no check was answered."""

        row: FormRow
        yes: bool

    @dataclass
    class EntryWanted(Message):
        """A person began to type an answer that needs a line to type in."""

        row: FormRow
        typed: str

    @dataclass
    class Unchanged(Message):
        """The check under the cursor was looked at again and is as it was before a move."""

    @dataclass
    class NotTaken(Message):
        """What was typed is no answer to this row."""

        row: FormRow

    @dataclass
    class Cleared(Message):
        """The answer of a check or the overruling of a component is to be struck out."""

        row: FormRow

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._form: Sequence[FormRow] = ()

    def show(self, form: Sequence[FormRow], *, keep: str | None = None) -> None:
        """Show these rows."""
        self._form = form
        self.rebuild(keep=keep)

    @property
    def current(self) -> FormRow | None:
        """The row under the cursor."""
        return next((row for row in self._form if row.key == self.key), None)

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        return [
            Row(row.key, (self._heading(row, width - 1) if row.check is None else self._check(row, width - 1),))
            for row in self._form
        ]

    def _heading(self, row: FormRow, width: int) -> Content:
        tail = _tail(row)
        word = f" {row.answer} " if row.answer else " "
        if row.was_grade is not None and not row.answer:
            word = f" was {row.was_grade:.1f} "
        room = max(4, width - _GRADE - len(word) - 1)
        label = fit(row.label, min(room - 1, len(row.label) + 8)).rstrip()
        rule = "─" * max(0, room - Content(label).cell_length - 1)
        return Content.assemble((label, "bold $secondary"), (f" {rule}", "$faint"), (word, "$quiet"), " ", tail)

    def _check(self, row: FormRow, width: int) -> Content:
        mark = _mark(row)
        room = max(4, width - _GRADE - 3)
        text = _answer(row) or _hint(row)
        # The answer takes what it needs, up to half; the label has the rest of the line.
        answer_width = min(cell_len(text), room // 2)
        answer = (fit(text, answer_width), "$foreground" if row.answer else "$faint")
        label_width = room - answer_width - 1
        label = (fit(row.label, label_width) + " ", "$foreground" if row.answer else "$quiet")
        return Content.assemble(mark, label, answer, " ", _tail(row))

    def clicked(self, key: str, line: int, x: int) -> None:
        """Grade with a click on the scale; open an answer with one on it; one on the mark leaves it as it was."""
        row = self.current
        if row is None or row.key != key:
            return
        if x <= 1 and row.was and not row.answer:
            self.post_message(self.Unchanged())
            return
        width = self.scrollable_content_region.width - 1
        start = width - SCALE_WIDTH - 1
        grade = grade_at(x - start)
        if grade is None:
            return
        if row.check is None or row.check.kind is CheckKind.GRADED:
            self.post_message(self.Graded(row, grade))
        elif row.check.kind is CheckKind.YES_NO:
            return
        else:
            self.post_message(self.EntryWanted(row, ""))

    def on_key(self, event: events.Key) -> None:
        """Write down what is typed on the row under the cursor."""
        row = self.current
        typed = event.character or ""
        if row is None or too_soon(self.app, event):
            return
        message: Message | None = None
        if event.key in ("delete", "backspace"):
            message = self.Cleared(row)
        elif row.check is None or row.check.kind is CheckKind.GRADED:
            message = self._graded(row, typed)
        elif row.check.kind is CheckKind.YES_NO:
            if typed.lower() in ("y", "n") and typed:
                message = self.Answered(row, typed.lower() == "y")
        elif (row.check.kind in _QUANTITIES and typed and typed in "0123456789-,.") or (
            row.check.kind is CheckKind.RECORD and typed.isalnum()
        ):
            message = self.EntryWanted(row, typed)
        if message is None and len(typed) == 1 and typed.isalnum():
            message = self.NotTaken(row)
        if message is not None:
            event.stop()
            event.prevent_default()
            if isinstance(message, self.EntryWanted) or (isinstance(message, self.Graded) and row.check is None):
                opening(self.app)
            self.post_message(message)

    def _graded(self, row: FormRow, typed: str) -> Message | None:
        if typed and typed in "12345":
            return self.Graded(row, float(typed))
        if row.grade is None or not typed:
            return None
        step = 0.5 if typed in "+=.," else -0.5 if typed in "-−" else 0.0
        if typed in ".," and not row.grade.is_integer():
            return None
        # A derived or expected grade lies anywhere between the nine; a step lands on one of them.
        grade = round(row.grade * 2) / 2 + step
        return self.Graded(row, grade) if step and 1.0 <= grade <= 5.0 else None


def _mark(row: FormRow) -> tuple[str, str]:
    if not row.answer:
        return "○ ", "$faint"
    if row.worse:
        return "▼ ", "$text-error"
    same = row.was and row.was == row.answer and row.grade == row.was_grade
    return ("= " if same else "● "), "$text-success"


def _answer(row: FormRow) -> str:
    """Return what was found, with what was found before a move where that was something else."""
    now, was = plain(row.answer), plain(row.was)
    graded = row.check is not None and row.check.kind is CheckKind.GRADED
    if not was or was == now or (now and graded):
        return now  # a grade has its earlier place on the scale
    return f"{now}, was {was}" if now else f"was {was}"


def _tail(row: FormRow) -> Content:
    if row.grade is None:
        if row.check is not None and row.check.kind is CheckKind.RECORD:
            return Content(" " * (_GRADE - 1))
        return Content.assemble("     ", grade_scale(None, was=row.was_grade))
    figure = f"~{row.grade:.1f}" if row.expected else grade_figure(row.grade)
    style = "$quiet" if row.expected else f"bold {grade_style(row.grade)}"
    return Content.assemble(
        (figure.rjust(3).ljust(5), style), grade_scale(row.grade, given=row.given, was=row.was_grade)
    )


def _hint(row: FormRow) -> str:
    """Return what kind of answer is awaited."""
    check = row.check
    if check is None or check.kind is CheckKind.GRADED:
        return ""
    if check.kind is CheckKind.YES_NO:
        return "y / n"
    if check.kind is CheckKind.RECORD:
        return "text"
    return row.unit or "count"
