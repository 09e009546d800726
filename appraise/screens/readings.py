"""Readings note by note: the keybed strip, one line to type into, and what the sample says of the whole compass."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding
from textual.containers import Container, Vertical
from textual.content import Content
from textual.message import Message
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from appraise.model.problem import Unreadable
from appraise.services.quantity import Refused, quantity, span, tolerance, with_unit
from appraise.services.strip import note_label, notes_typed, sections, strip_band, strip_marks, summary, unusual
from appraise.services.walk import readings_of
from appraise.widgets.key_hints import KeyHints
from appraise.widgets.keybed import Band, Keybed, Mark
from appraise.widgets.plain import piece
from appraise.widgets.row_list import Later, Row, RowList
from appraise.widgets.told import Told

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from textual import events
    from textual.app import ComposeResult
    from textual.binding import BindingType

    from appraise.model.case import Reading
    from appraise.services.worksheet import Worksheet
    from appraise.tables.rows import Check

_MIXED = re.compile(r"\s*\d+\s+\d+/\d+\b", re.ASCII)
_FIRST = re.compile(r"\s*([^\s:=]+)\s*[\s:=]\s*(\S.*)\Z")


class LineInput(Input):
    """One line to type into; several lines that are pasted go to the screen."""

    @dataclass
    class Pasted(Message):
        """Several lines were pasted."""

        text: str

    def _on_paste(self, event: events.Paste) -> None:
        # One line is left to the input's own handler, which is called after this one.
        if len(event.text.strip().splitlines()) > 1:
            event.stop()
            event.prevent_default()
            self.post_message(self.Pasted(event.text))


class ReadingRows(RowList):
    """The readings of one check."""

    def __init__(self) -> None:
        super().__init__()
        self.readings: Sequence[Reading] = ()
        self.compass = 88

    def rows(self, width: int) -> Sequence[Row]:
        """Return a line for each reading."""
        return [Row(str(at), Later(partial(self._line, reading))) for at, reading in enumerate(self.readings)]

    def _line(self, reading: Reading) -> Content:
        value = reading.value
        text = with_unit(value, reading.unit) if isinstance(value, float) else str(value)
        where = reading.place or "whole"
        note = where if reading.note is None else note_label(reading.note, self.compass)
        return Content.assemble(piece(f"{note:<10}", "$quiet"), (text, "bold"), "  ", piece(reading.remark))


class ReadingsScreen(ModalScreen[None]):
    """Takes "40 7.4" after "A4 7.4" after "7.4", as fast as they are read out."""

    CSS_PATH = "readings.tcss"
    AUTO_FOCUS = "Input"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Done", show=False),
        Binding("delete", "take_out", "Strike out", show=False),
        Binding("f3", "bring_in", "Bring in a file", show=False),
        Binding("ctrl+z", "undo", "Take back", show=False),
        Binding("ctrl+y", "redo", "Make again", show=False),
        Binding("up", "step(1)", "Note above", show=False),
        Binding("down", "step(-1)", "Note below", show=False),
        Binding("f1", "app.show_help", "Help", show=False),
    ]
    """| Key | Does |
    | :- | :- |
    | enter | Write down what was typed |
    | up, down | The note above, the note below, while typing |
    | delete | Strike out the chosen notes, or the reading under the cursor of the list |
    | f3 | Bring in a file of notes and values |
    | ctrl+z, ctrl+y | Take back what was written here, make it again |
    """

    def __init__(self, worksheet: Worksheet, check: Check, typed: str = "") -> None:
        super().__init__()
        self._sheet, self._check, self._typed = worksheet, check, typed
        self._compass = worksheet.case.identity.compass
        self._before = worksheet.case

    def compose(self) -> ComposeResult:
        """What is asked, the keys, the line to type in, what it says, the readings so far."""
        check = self._check
        with Vertical(id="readings"):
            yield Told(id="asked")
            yield Keybed(self._compass, sections(self._sheet.tables), id="keybed")
            with Container(id="below"):
                with Vertical(id="typing"):
                    yield LineInput(
                        self._typed,
                        compact=True,
                        select_on_focus=False,
                        placeholder="value, or note and value: 40 …, A4 …, C3-E3 …",
                    )
                    yield Told(id="wrong")
                    yield Told(id="says")
                    hints = [tolerance(check)]
                    if check.plausible is not None:
                        hints.append(f"plausible {span(*check.plausible, check.unit)}")
                    yield Static(Content("\n").join(piece(hint, "$quiet") for hint in hints if hint), id="hints")
                yield ReadingRows()
            yield KeyHints(
                ("enter", "writes"),
                ("up,down", "note"),
                ("tab", "keys"),
                ("shift+left,shift+right", "several"),
                ("delete", "strikes out"),
                ("f3", "file"),
                ("f1", "help"),
                ("escape", "done"),
            )

    def on_mount(self) -> None:
        """Show what has been measured."""
        self.query_one(ReadingRows).compass = self._compass
        measured = [reading.note for reading in self._readings() if reading.note is not None]
        self.query_one(Keybed).go(min(self._compass, max(measured) + 1) if measured else 1)
        self._show()
        self.query_one(Input).cursor_position = len(self._typed)

    # -- writing -----------------------------------------------------------------------------------

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Write a reading down, or say what is wrong with it."""
        event.stop()
        keys = self.query_one(Keybed)
        try:
            notes, value = self._parse(event.value, keys.chosen)
            self._sheet.set_readings(self._check.key, dict.fromkeys(notes, value))
        except Refused as refused:
            self._complain(str(refused))
            return
        event.input.value = ""
        keys.go(notes[-1] + 1)
        self._show()
        self._remark(unusual(value, notes, self._check, self._compass))

    def _parse(self, text: str, chosen: tuple[int, ...]) -> tuple[tuple[int, ...], float]:
        match = _FIRST.match(text)
        if match is not None and _MIXED.match(text):
            mixed, note = f"{match[1]}-{match[2].strip()}", f"{match[1]}: {match[2].strip()}"
            raise Refused(f"“{text.strip()}” can be read in two ways: write {mixed}, or for the note {note}")
        if match is not None and any(letter.isdecimal() for letter in match[2]):
            notes = notes_typed(match[1], self._compass)
            if notes is not None:
                return notes, quantity(match[2], self._check)
        if not text.strip():
            raise Refused("write a value for the note under the cursor, or note and value, as 40 7.4 or A4 7.4")
        return chosen, quantity(text, self._check)

    @on(LineInput.Pasted)
    def _pasted(self, message: LineInput.Pasted) -> None:
        """Take many lines at once: a line a note from the cursor upwards, or note and value on each."""
        at = self.query_one(Keybed).cursor
        values: dict[int, float | None] = {}
        try:
            for line in message.text.splitlines():
                if line.strip():
                    notes, value = self._parse(line, (at,))
                    values.update(dict.fromkeys(notes, value))
                    at = notes[-1] + 1
            self._sheet.set_readings(self._check.key, values)
        except Refused as refused:
            self._complain(f"{refused}; nothing was written")
            return
        self._complain("")
        self.query_one(Keybed).go(at)
        self._show()

    def action_bring_in(self) -> None:
        """Ask for a file of notes and values, and read it."""
        from pathlib import Path

        from appraise.screens.entry import EntryScreen

        def parse(text: str) -> object:
            path = Path(text.strip()).expanduser()
            if not text.strip() or not path.is_file():
                raise Refused(f"“{text.strip()}” is not a file")
            return path

        def take(entry: tuple[object] | None) -> None:
            if entry is not None and isinstance(entry[0], Path):
                self._take_file(entry[0])

        hints = ("A column of values, or columns headed note and value; comma, semicolon or tab between them.",)
        self.app.push_screen(EntryScreen("File of notes and values", parse, hints=hints, line=4), take)

    def _take_file(self, path: Path) -> None:
        from appraise.services.instruments.note_values import note_columns, quantity_of, words_of

        what = quantity_of(self._check, others=("value", "reading", *words_of(self._check)))
        try:
            values = note_columns(path, (what,), first=self.query_one(Keybed).cursor)[what.key]
            self._sheet.set_readings(self._check.key, dict(values))
        except Refused as refused:
            self._complain(f"{refused}; nothing was written")
        except Unreadable as unreadable:
            more = len(unreadable.problems) - 1
            tail = f" (and {more} more)" if more else ""
            self._complain(f"{unreadable.problems[0]}{tail}; nothing was written")
        else:
            self._complain("")
            self._show()

    def action_take_out(self) -> None:
        """Strike out the chosen notes, or the reading under the cursor of the list."""
        rows, keys = self.query_one(ReadingRows), self.query_one(Keybed)
        if rows.has_focus and rows.key is not None:
            gone = rows.readings[int(rows.key)]
            self._sheet.set_reading(self._check.key, None, note=gone.note, place=gone.place)
        elif keys.has_focus:
            self._sheet.set_readings(self._check.key, dict.fromkeys(keys.chosen))
        self._show()

    def action_undo(self) -> None:
        """Take back the last that was written here; what was done before this screen opened stays."""
        if self._sheet.case == self._before:
            self._remark("nothing was written here to take back")
            return
        what = self._sheet.undo()
        self._show()
        self._remark("" if what is None else f"taken back: {what}")

    def action_redo(self) -> None:
        """Make again what was taken back."""
        what = self._sheet.redo()
        self._show()
        self._remark("nothing to make again" if what is None else f"made again: {what}")

    # -- moving ------------------------------------------------------------------------------------

    def action_step(self, step: int) -> None:
        """Go a note on while typing."""
        keys = self.query_one(Keybed)
        keys.go(keys.cursor + step)

    @on(Keybed.Typed)
    def _typed_on_keys(self, message: Keybed.Typed) -> None:
        line = self.query_one(Input)
        line.focus()
        line.value += message.character
        line.cursor_position = len(line.value)

    @on(Keybed.Moved)
    def _note_moved(self) -> None:
        self._show_asked()

    @on(RowList.Moved)
    def _row_moved(self) -> None:
        rows = self.query_one(ReadingRows)
        if rows.has_focus and rows.key is not None:
            note = rows.readings[int(rows.key)].note
            if note is not None:
                self.query_one(Keybed).go(note)

    def on_input_changed(self, event: Input.Changed) -> None:
        """A correction has begun: the complaint goes."""
        if event.value:
            self._complain("")

    # -- showing -----------------------------------------------------------------------------------

    def _readings(self) -> Sequence[Reading]:
        return readings_of(self._sheet.case, self._check.key)

    def _complain(self, text: str) -> None:
        self.query_one("#wrong", Told).tell(piece(text and f"✗ {text}", "$text-error"))

    def _remark(self, text: str) -> None:
        self.query_one("#wrong", Told).tell(piece(text and f"▲ {text}", "$text-warning"))

    def _show(self) -> None:
        rows, readings = self.query_one(ReadingRows), self._readings()
        rows.readings = readings
        rows.rebuild(keep=str(len(readings) - 1))
        marks = strip_marks(self._check, readings)
        band = strip_band(self._check, [value for value, _ in marks.values()])
        self.query_one(Keybed).show(
            {note: Mark(value, grade) for note, (value, grade) in marks.items()}, None if band is None else Band(*band)
        )
        said = summary(self._check, readings, self._compass, self._sheet.tables)
        self.query_one("#says", Told).tell(Content("\n").join(piece(line) for line in said))
        self._show_asked()

    def _show_asked(self) -> None:
        check, keys = self._check, self.query_one(Keybed)
        unit = f" [{check.unit}]" if check.unit else ""
        chosen = keys.chosen
        where = note_label(keys.cursor, self._compass)
        if len(chosen) > 1:
            where = f"{note_label(chosen[0], self._compass)} to {note_label(chosen[-1], self._compass)}"
        self.query_one("#asked", Told).tell(
            Content.assemble(piece(f"{check.label}{unit}", "bold $primary"), piece(f"  at note {where}", "$foreground"))
        )

    def action_leave(self) -> None:
        """Done."""
        self.dismiss(None)
