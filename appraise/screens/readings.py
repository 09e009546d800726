"""Readings note by note: the keybed strip, one line to type into, and what the sample says of the whole compass."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding
from textual.containers import Container, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from appraise.commands import BY_ID, NOTES, bound_to, told
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.model.quantities import as_shown, span, unit_shown
from appraise.screens.ask import ask_which
from appraise.screens.base_screen import DialogScreen
from appraise.screens.entry import EntryScreen
from appraise.services.keybed_view import note_label, sections, strip_band, strip_marks, summary, unusual
from appraise.services.note_readings import column_of, line_typed, lines_typed
from appraise.services.quantity_limits import tolerance
from appraise.services.walk import readings_of
from appraise.widgets.key_hints import KeyHints
from appraise.widgets.keybed import Band, Keybed, Mark
from appraise.widgets.line_input import LineInput
from appraise.widgets.live_text import LiveText
from appraise.widgets.plain import piece
from appraise.widgets.reading_rows import ReadingRows
from appraise.widgets.row_list import RowList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult
    from textual.binding import BindingType

    from appraise.model.case import Reading
    from appraise.services.case_session import CaseSession
    from appraise.tables.rows import Check


class ReadingsScreen(DialogScreen[None]):
    """Takes "40 7.4" after "A4 7.4" after "7.4", as fast as they are read out."""

    SCOPE = NOTES
    CSS_PATH = "readings.tcss"
    AUTO_FOCUS = "Input"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Done", show=False),
        Binding("delete", "delete_entry", "Clear", show=False),
        bound_to("show-help", "app.show_help", "Help"),
        Binding("up", "step(1)", "Note above", show=False),
        Binding("down", "step(-1)", "Note below", show=False),
    ]
    """| Key | Does |
    | :- | :- |
    | enter | Write down what was typed |
    | up, down | The note above, the note below, while typing |
    | delete | Strike out the chosen notes, or the reading under the cursor of the list |
    | f3 | Bring in a file of notes and values |
    | ctrl+z, ctrl+y | Take back what was written here, make it again |
    """

    def __init__(self, worksheet: CaseSession, check: Check, typed: str = "") -> None:
        super().__init__()
        self._sheet, self._check, self._typed = worksheet, check, typed
        self._compass = worksheet.case.identity.compass
        self._units = worksheet.case.assignment.units
        self._before = worksheet.case
        self._placed = False
        """A note was typed or chosen; until then a value alone is for the section."""

    def compose(self) -> ComposeResult:
        """Compose the question, keybed, input line, messages and readings."""
        check = self._check
        with Vertical(id="readings"):
            yield LiveText(id="asked")
            yield Keybed(self._compass, sections(self._sheet.tables), id="keybed")
            with Container(id="below"):
                with Vertical(id="typing"):
                    yield LineInput(
                        self._typed,
                        compact=True,
                        select_on_focus=False,
                        placeholder="value, or note and value: 40 …, A4 …, C3-E3 …",
                    )
                    yield LiveText(id="wrong")
                    yield LiveText(id="says")
                    hints = [tolerance(check, self._units)]
                    if check.plausible is not None:
                        hints.append(f"plausible {span(*check.plausible, check.unit, self._units)}")
                    yield Static(Content("\n").join(piece(hint, "$quiet") for hint in hints if hint), id="hints")
                yield ReadingRows()
            yield KeyHints(
                ("enter", "writes"),
                ("up,down", "note"),
                ("tab", "keys"),
                ("shift+left,shift+right", "several"),
                ("delete", "strikes out"),
                (BY_ID["bring-in"].first_key, "file"),
                (BY_ID["show-help"].first_key, "help"),
                ("escape", "done"),
            )

    def on_mount(self) -> None:
        """Show what has been measured."""
        rows = self.query_one(ReadingRows)
        rows.compass, rows.units = self._compass, self._units
        measured = [reading.note for reading in self._readings() if reading.note is not None]
        self.query_one(Keybed).go(min(self._compass, max(measured) + 1) if measured else 1)
        self._placed = bool(measured)
        self._show()
        self.query_one(Input).cursor_position = len(self._typed)

    # -- writing -----------------------------------------------------------------------------------

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Write a reading down, or say what is wrong with it."""
        event.stop()
        self._write()

    def _write(self) -> bool:
        """Write down what was typed, or say what is wrong with it.

        Returns:
            True when it was written down.
        """
        keys, line = self.query_one(Keybed), self.query_one(Input)
        chosen = keys.chosen if self._placed else ()
        try:
            notes, value = line_typed(line.value, chosen, self._check, self._compass, self._units)
            there = {reading.note for reading in self._readings()}
            self._sheet.add_readings(self._check.key, dict.fromkeys(notes or (None,), value))
        except InputError as refused:
            self._complain(str(refused))
            return False
        line.value = ""
        if notes:
            self._placed = True
            keys.go(notes[-1] + 1)
        self._show()
        again = there.intersection(notes)
        self._remark(
            unusual(value, notes, self._check, self._compass, self._units)
            or (told("a reading was there already: both are kept; {undo} takes this one back") if again else "")
        )
        return True

    @on(LineInput.Pasted)
    def _pasted(self, message: LineInput.Pasted) -> None:
        """Take many lines at once: a line a note from the cursor upwards, or note and value on each."""
        keys = self.query_one(Keybed)
        try:
            values, at = lines_typed(message.text, (keys.cursor,), self._check, self._compass, self._units)
            self._sheet.set_readings(self._check.key, values)
        except InputError as refused:
            self._complain(f"{refused}; nothing was written")
            return
        self._complain("")
        keys.go(at)
        self._show()

    def action_bring_in(self) -> None:
        """Ask for a file of notes and values, and read it."""

        def parse(text: str) -> Path:
            path = Path(text.strip()).expanduser()
            if not text.strip() or not path.is_file():
                raise InputError(quoted(text), "a file that is there")
            return path

        hints = ["A column of values, or columns headed note and value; comma, semicolon or tab between them."]
        unit = unit_shown(self._check.unit, self._units)
        if unit:
            hints.append(f"A number without a unit, in its cell or heading, is in {unit}.")
        entry = EntryScreen("File of notes and values", parse, hints=hints, line=4)
        self.ask(entry, lambda entered: self._take_file(*entered))

    def _take_file(self, path: Path) -> None:
        try:
            values = column_of(path, self._check, self.query_one(Keybed).cursor, self._units)
            self._sheet.set_readings(self._check.key, values)
        except InputError as refused:
            self._complain(f"{refused}; nothing was written")
        except Unreadable as unreadable:
            more = len(unreadable.problems) - 1
            tail = f" (and {more} more)" if more else ""
            self._complain(f"{unreadable.problems[0]}{tail}; nothing was written")
        else:
            self._complain("")
            self._show()

    def action_delete_entry(self) -> None:
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
        if self._placed:
            keys.go(keys.cursor + step)
        else:
            self._placed = True  # on the note that the strip shows already
            self._show_asked()

    @on(Keybed.Typed)
    def _typed_on_keys(self, message: Keybed.Typed) -> None:
        self._placed = True
        line = self.query_one(Input)
        line.focus()
        line.value += message.character
        line.cursor_position = len(line.value)

    @on(Keybed.Moved)
    def _note_moved(self) -> None:
        self._placed = self._placed or self.query_one(Keybed).has_focus
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
        self.query_one("#wrong", LiveText).tell(piece(text and f"✗ {text}", "$text-error"))

    def _remark(self, text: str) -> None:
        self.query_one("#wrong", LiveText).tell(piece(text and f"▲ {text}", "$text-warning"))

    def _show(self) -> None:
        rows, readings = self.query_one(ReadingRows), self._readings()
        rows.readings = readings
        rows.rebuild(keep=str(len(readings) - 1))
        marks = strip_marks(self._check, readings)
        band = strip_band(self._check, [value for value, _ in marks.values()])
        shown = partial(as_shown, unit=self._check.unit, units=self._units)
        drawn = None
        if band is not None:
            drawn = Band(shown(band[0]), shown(band[1]), tuple((shown(low), shown(high)) for low, high in band[2]))
        self.query_one(Keybed).show({note: Mark(shown(value), grade) for note, (value, grade) in marks.items()}, drawn)
        said = summary(self._check, readings, self._compass, self._sheet.tables, self._units)
        self.query_one("#says", LiveText).tell(Content("\n").join(piece(line) for line in said))
        self._show_asked()

    def _show_asked(self) -> None:
        check, keys = self._check, self.query_one(Keybed)
        unit = unit_shown(check.unit, self._units)
        unit = f" [{unit}]" if unit else ""
        chosen = keys.chosen
        where = note_label(keys.cursor, self._compass)
        if len(chosen) > 1:
            where = f"{note_label(chosen[0], self._compass)} to {note_label(chosen[-1], self._compass)}"
        where = f"at note {where}" if self._placed else "for the section, until a note is typed"
        self.query_one("#asked", LiveText).tell(
            Content.assemble(piece(f"{check.label}{unit}", "bold $primary"), piece(f"  {where}", "$foreground"))
        )

    @property
    def _in_the_line(self) -> str:
        return self.query_one(Input).value.strip()

    @property
    def unfinished(self) -> bool:
        """True while something was typed and not written down."""
        return bool(self._in_the_line)

    def action_leave(self) -> None:
        """Done; what was typed and not written down is asked about."""
        if self.unfinished:
            self.ask_unfinished()
        else:
            self.dismiss(None)

    def ask_unfinished(self) -> None:
        """Ask what becomes of a value that was typed and not written down."""

        def write() -> None:
            if self._write():
                self.dismiss(None)

        ask_which(
            self.app,
            f"{self._in_the_line} is not written down yet.",
            write=("Write it down", write),
            drop=("Drop it", lambda: self.dismiss(None)),
            stay=("Go on typing", None),
        )
