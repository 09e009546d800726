"""Readings note by note: one line to type notes and values into, the list of what has been measured above."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from appraise.services.quantity import Refused, quantity, span, tolerance, with_unit
from appraise.services.walk import readings_of
from appraise.widgets.plain import piece
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult
    from textual.binding import BindingType

    from appraise.model.case import Reading
    from appraise.services.worksheet import Worksheet
    from appraise.tables.rows import Check


class ReadingRows(RowList):
    """The readings of one check."""

    def __init__(self) -> None:
        super().__init__()
        self.readings: Sequence[Reading] = ()

    def rows(self, width: int) -> Sequence[Row]:
        """Return a line for each reading."""
        return [Row(str(at), (self._line(reading),)) for at, reading in enumerate(self.readings)]

    def _line(self, reading: Reading) -> Content:
        value = reading.value
        text = with_unit(value, reading.unit) if isinstance(value, float) else str(value)
        where = "whole" if reading.note is None and not reading.place else reading.place
        note = where if reading.note is None else f"note {reading.note}"
        return Content.assemble(piece(f"{note:<10}", "$quiet"), (text, "bold"), "  ", piece(reading.remark))


class ReadingsScreen(ModalScreen[None]):
    """Takes "40 7.4" after "40 7.4", as fast as they are read out."""

    CSS_PATH = "readings.tcss"
    AUTO_FOCUS = "Input"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Done", show=False),
        Binding("delete", "take_out", "Strike out", show=False),
    ]

    def __init__(self, worksheet: Worksheet, check: Check, typed: str = "") -> None:
        super().__init__()
        self._sheet, self._check, self._typed = worksheet, check, typed

    def compose(self) -> ComposeResult:
        """What is asked, the readings so far, the line to type in."""
        check = self._check
        unit = f" [{check.unit}]" if check.unit else ""
        with Vertical(id="readings"):
            yield Static(piece(f"{check.label}{unit}", "bold $primary"))
            yield ReadingRows()
            yield Input(self._typed, compact=True, select_on_focus=False, placeholder="note and value, as 40 7.4")
            hints = [tolerance(check)]
            if check.plausible is not None:
                hints.append(f"plausible {span(*check.plausible, check.unit)}")
            hints.append("Enter writes it down · Tab to the list, Del strikes out · Esc when done")
            yield Static(Content("\n").join(piece(hint, "$quiet") for hint in hints if hint))
            yield Static("", id="wrong", markup=False)

    def on_mount(self) -> None:
        """Show what has been measured."""
        self._show()
        self.query_one(Input).cursor_position = len(self._typed)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Write a reading down, or say what is wrong with it."""
        event.stop()
        try:
            note, value = self._parse(event.value)
            self._sheet.set_reading(self._check.key, value, note=note)
        except Refused as refused:
            self.query_one("#wrong", Static).update(piece(f"✗ {refused}", "$text-error"))
            return
        event.input.value = ""
        self._show()

    def on_input_changed(self) -> None:
        """A correction has begun: the complaint goes."""
        self.query_one("#wrong", Static).update("")

    def _parse(self, text: str) -> tuple[int, float]:
        first, _, rest = text.strip().replace(":", " ").replace("=", " ").partition(" ")
        if not first.isdecimal() or not rest.strip():
            raise Refused("write the note and the value, as 40 7.4")
        return int(first), quantity(rest, self._check)

    def _show(self) -> None:
        rows = self.query_one(ReadingRows)
        rows.readings = readings_of(self._sheet.case, self._check.key)
        rows.rebuild(keep=str(len(rows.readings) - 1))

    def action_take_out(self) -> None:
        """Strike out the reading under the cursor of the list."""
        rows = self.query_one(ReadingRows)
        if rows.has_focus and rows.key is not None:
            gone = rows.readings[int(rows.key)]
            self._sheet.set_reading(self._check.key, None, note=gone.note, place=gone.place)
            self._show()

    def action_leave(self) -> None:
        """Done."""
        self.dismiss(None)
