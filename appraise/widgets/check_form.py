"""A station's form: every check a row with its answer and its place on the grade scale, written to in place."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len
from textual.binding import Binding
from textual.content import Content
from textual.message import Message

from appraise.model.claim import Finding
from appraise.model.lazy_dataclass import dataclass
from appraise.model.quantities import grade_typed
from appraise.tables.rows import CheckKind
from appraise.widgets.marks import SCALE_WIDTH, grade_at, grade_figure, grade_scale, grade_style
from appraise.widgets.plain import fit, plain, wrapped
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from textual import events
    from textual.binding import BindingType

    from appraise.services.walk import FormRow

_GRADE = 5 + SCALE_WIDTH + 1
"""Cells for figure and scale at the end of a row."""

_INDENT = "    "
"""Before what of a name has no room on its first line."""

_ANSWERS = {"y": Finding.YES, "n": Finding.NO, "s": Finding.SUSPECTED}
"""Answer of each key to a yes-or-no check."""

_QUANTITIES = (CheckKind.MEASURED, CheckKind.COUNT)


class CheckForm(RowList):
    """The checks of one station. Digits, +, −, y, n, s and Delete write; Enter takes what was typed or opens an editor.

    What is typed on a row is a short entry until another key ends it: 2 and then .5, ½ or 5 is 2.5; s and then 30 is a
    fault suspected with 30 %.
    """

    LINE_BY_LINE = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+up", "heading(-1)", "Heading above", show=False),
        Binding("ctrl+down", "heading(1)", "Heading below", show=False),
    ]
    """| Key | Does |
    | :- | :- |
    | ctrl+up, ctrl+down | Go to the heading of a part, which moving from check to check passes |
    """

    @dataclass
    class Graded(Message):
        """The check or component under the cursor is to have this grade."""

        row: FormRow
        grade: float
        replaces: bool = False
        """Another was typed on the row just before."""
        joins: bool = False
        """It goes on with what was typed on the row just before: 2, and then .5."""

    @dataclass
    class Answered(Message):
        """A yes-or-no check was answered."""

        row: FormRow
        answer: Finding
        """Yes, no or suspected."""
        probability_pct: float | None = None
        """Of a suspected fault, how likely it is there [%]; none: not stated."""
        replaces: bool = False
        """Another was typed on the row just before."""
        joins: bool = False
        """It goes on with what was typed on the row just before: s, and then 30."""

    @dataclass
    class Taken(Message):
        """Answer typed on a row."""

        row: FormRow

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
        """Input that is no answer to this row."""

        row: FormRow
        typed: str

    @dataclass
    class Cleared(Message):
        """The answer of a check or the overruling of a component is to be struck out."""

        row: FormRow

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._form: Sequence[FormRow] = ()
        self._before: Sequence[str] = ()
        self._entry = ("", "")
        """The short entry: key of its row, and what was typed."""

    def show(self, form: Sequence[FormRow], *, keep: str | None = None, before: Sequence[str] = ()) -> None:
        """Show these rows; above them what is to be minded before anything is touched."""
        if keep is not None or (form, before) != (self._form, self._before):
            self._form, self._before = form, before
            self.rebuild(keep=keep)

    @property
    def current(self) -> FormRow | None:
        """The row under the cursor."""
        return next((row for row in self._form if row.key == self.key), None)

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        rows = [
            Row(row.key, self._heading(row, width - 1), aside=True)
            if row.check is None
            else Row(row.key, self._check(row, width - 1))
            for row in self._form
        ]
        if not self._before:
            return rows
        lines = [Content.styled("Before you start", "bold $text-warning")]
        for text in self._before:
            lines += wrapped(f"▲ {text}", width - 1, "$text-warning", indent=2)
        return [Row("before", lines, stop=False), *rows]

    def _heading(self, row: FormRow, width: int) -> list[Content]:
        tail = _tail(row)
        word = f" {row.answer} " if row.answer else " "
        if row.was_grade is not None and not row.answer:
            word = f" was {row.was_grade:.1f} "
        room = max(4, width - _GRADE - 1)
        first, more = _named(row.label, room - 1, width, "bold $secondary")
        left = room - first.cell_length - 1
        if left < len(word) and word.strip():  # a name has the line before what is said of it
            more = [*more, Content.styled(f"  {word.strip()}", "$quiet")]
            word = " "
        rule = "─" * max(0, left - len(word))
        return [Content.assemble(first, (f" {rule}", "$faint"), (word, "$quiet"), " ", tail), *more]

    def _check(self, row: FormRow, width: int) -> list[Content]:
        mark = _mark(row)
        room = max(4, width - _GRADE - 3)
        text = _answer(row) or _hint(row)
        # The answer takes what it needs, up to half; the label has the rest of the line, and as many lines as it needs.
        answer_width = min(cell_len(text), room // 2)
        answer = (fit(text, answer_width), "$foreground" if row.answer else "$faint")
        label_width = room - answer_width - 1
        first, more = _named(row.label, label_width, width, "$foreground" if row.answer else "$quiet")
        space = " " * (label_width - first.cell_length + 1)
        return [
            Content.assemble(mark, first, space, answer, " ", _tail(row)),
            *more,
        ]

    def clicked(self, key: str, line: int, x: int) -> None:
        """Grade with a click on the scale; open an answer with one on it; one on the mark leaves it as it was."""
        row = self.current
        if row is None or row.key != key:
            return
        if line > 0:
            return  # the rest of a long name
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

    def action_heading(self, step: int) -> None:
        """Go to the heading above or below, on purpose."""
        headings = {row.key for row in self._form if row.check is None}
        self.go_to_next(step, [row.key for row in self._form], headings, elsewhere=-1)

    def go_past(self, where: Callable[[FormRow], bool]) -> None:
        """Go to the next row of which something is true; nowhere where there is none."""
        keys = [row.key for row in self._form]
        ahead = self._form[keys.index(self.key) + 1 :] if self.key in keys else ()
        row = next((row for row in ahead if where(row)), None)
        if row is not None:
            self.go(row.key)

    def on_key(self, event: events.Key) -> None:
        """Write down what is typed on the row under the cursor."""
        row = self.current
        if row is None:
            return
        typed = event.character or ""
        begun, self._entry = self._begun(row), ("", "")
        message: Message | None = None
        if event.key == "enter" and begun:
            message = self.Taken(row)
        elif event.key in ("delete", "backspace"):
            message = self.Cleared(row)
        elif row.check is None:
            message = None
        elif row.check.kind is CheckKind.GRADED:
            message = self._graded(row, begun, typed)
        elif row.check.kind is CheckKind.YES_NO:
            message = self._answered(row, begun, typed.lower())
        elif (row.check.kind in _QUANTITIES and typed and typed in "0123456789-,.") or (
            row.check.kind is CheckKind.RECORD and typed.isalnum()
        ):
            message = self.EntryWanted(row, typed)
        if message is None and len(typed) == 1 and typed.isalnum():
            message = self.NotTaken(row, typed)
        if message is not None:
            event.stop()
            event.prevent_default()
            self.post_message(message)

    def _begun(self, row: FormRow) -> str:
        """Return what was typed on the row just before; nothing where something else has happened since."""
        key, text = self._entry
        if key != row.key or not row.answer:
            return ""
        return (
            text
            if row.check is None or row.check.kind is not CheckKind.GRADED or grade_typed(text) == row.grade
            else ""
        )

    def _answered(self, row: FormRow, begun: str, typed: str) -> Message | None:
        """Return the answer to a yes-or-no check; digits behind s say how likely it is, 1 to 99 %."""
        likely = f"{begun[1:]}{typed}" if begun[:1] == "s" and typed in tuple("0123456789") else ""
        if likely and 0 < int(likely) < 100:
            self._entry = (row.key, begun + typed)
            return self.Answered(row, Finding.SUSPECTED, float(likely), joins=True)
        if typed not in _ANSWERS:
            return None
        self._entry = (row.key, typed)
        return self.Answered(row, _ANSWERS[typed], replaces=begun[:1] not in ("", typed))

    def _graded(self, row: FormRow, begun: str, typed: str) -> Message | None:
        if not typed:
            return None
        if row.grade is not None and typed in "+=-−":
            # A derived or expected grade lies anywhere between the nine; a step lands on one of them.
            grade = round(row.grade * 2) / 2 + (0.5 if typed in "+=" else -0.5)
            return self.Graded(row, grade) if 1.0 <= grade <= 5.0 else None
        if typed not in "0123456789.,½":
            return None
        joined = bool(begun)
        if not begun and not typed.isdecimal() and row.given and row.grade is not None and row.grade.is_integer():
            begun = f"{row.grade:g}"  # half a grade more than what stands there
        text = begun + typed
        result = grade_typed(text)
        if result is not None:
            self._entry = (row.key, text)
            return self.Graded(row, result, joins=joined)
        if len(begun) == 1 and typed in "1234":
            self._entry = (row.key, typed)
            return self.Graded(row, float(typed), replaces=typed != begun)
        if begun:
            self._entry = (row.key, begun)
        return self.NotTaken(row, text)


def _named(label: str, beside: int, width: int, style: str) -> tuple[Content, list[Content]]:
    """Return a name whole: what has room beside the answer, and the lines below, which have the whole width."""
    label = plain(label)
    first = wrapped(label, beside)[0].plain
    if label[len(first) :][:1] not in ("", " "):
        first = ""  # not even its first word has room there
    rest = label[len(first) :].strip()
    below = wrapped(rest, width - len(_INDENT), style) if rest else []
    return Content.styled(first, style), [Content.assemble(_INDENT, line) for line in below]


def _mark(row: FormRow) -> tuple[str, str]:
    if row.left_out:
        return "– ", "$quiet"
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
    """Return what kind of answer is awaited, or that none can be given here."""
    if row.left_out:
        return "cannot be done here"
    check = row.check
    if check is None or check.kind is CheckKind.GRADED:
        return ""
    if check.kind is CheckKind.YES_NO:
        return "y/n/s"
    if check.kind is CheckKind.RECORD:
        return "text"
    return row.unit or "count"
