"""Screens that are one list of fields, filled in where they stand; records open behind their own rows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual import on
from textual.widgets import Static

from appraise.commands import RECORD, key_of
from appraise.model.problem import InputError
from appraise.screens.ask import ask_which
from appraise.screens.case_screen import CaseScreen
from appraise.screens.field_entry import enter_field
from appraise.services.fields import get, parse, replace_at
from appraise.services.letterhead import with_letterhead
from appraise.services.papers import is_paper, with_paper
from appraise.services.particulars import REMARKS
from appraise.services.photos import with_photos
from appraise.widgets.field_rows import FieldRow, FieldRows
from appraise.widgets.footer import Foot
from appraise.widgets.plain import piece
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult

    from appraise.model.case import Case
    from appraise.services.case_session import CaseSession
    from appraise.services.fields import Field, Path
    from appraise.services.particulars import Records


LETTERHEAD = ("practice", "letterhead")
"""The field whose picture is hashed when it is entered."""
PHOTOS = "photos"
"""The field of a remark whose files are hashed when they are entered."""


class FieldScreen(CaseScreen):
    """A screen that is one list of fields."""

    CSS_PATH = "fields.tcss"
    AUTO_FOCUS = "#fields"

    def __init__(self, worksheet: CaseSession, start: str = "") -> None:
        """Open the fields.

        Args:
            worksheet: The case.
            start: Key of the row to begin at; empty: the first.
        """
        super().__init__(worksheet)
        self._start = start

    def compose(self) -> ComposeResult:
        """The rows."""
        yield TitleBar()
        yield FieldRows(id="fields")
        yield Static("", id="about-field", markup=False)
        yield Foot()

    def on_mount(self) -> None:
        """Show the rows."""
        self.show_case()
        if self._start:
            self.query_one(FieldRows).go(self._start)

    def field_rows(self) -> Sequence[FieldRow]:
        """Return the rows to show."""
        raise NotImplementedError

    def show_case(self) -> None:
        """Show the fields as they stand now."""
        self.show_title()
        self.query_one(FieldRows).show(self.field_rows(), self.case, self.worksheet.tables)
        self._tell_of_field()

    @on(RowList.Moved)
    def _tell_of_field(self) -> None:
        """Say at the foot what belongs into the field under the cursor."""
        row = self.current
        words = row.field.help if row is not None and row.field is not None else ""
        self.query_one("#about-field", Static).update(piece(self.about or words, "$quiet"))

    @property
    def about(self) -> str:
        """Note on the whole form; empty: help on the field under the cursor."""
        return ""

    @property
    def case(self) -> Case:
        """The case whose fields these are."""
        return self.worksheet.case

    def put(self, path: Path, value: Any, what: str) -> None:  # noqa: ANN401 - of any field
        """Put a value into a field.

        Raises:
            InputError: It names a photo, a paper or a letterhead that cannot be entered.
        """
        entered = self.entered(path, value)
        if entered is None:
            self.worksheet.put(path, value, what)
        else:
            self.worksheet.change(entered, what)

    def entered(self, path: Path, value: Any) -> Case | None:  # noqa: ANN401 - of any field
        """Return the case with a photo, a paper or a letterhead hashed as it is entered; none for any other field.

        Raises:
            InputError: It cannot be entered.
        """
        if path == LETTERHEAD:
            return with_letterhead(self.case, str(value or ""), self.worksheet.path)
        if path[-1] == PHOTOS:
            return with_photos(self.case, path, value, self.worksheet.path)
        return with_paper(self.case, path, value, self.worksheet.path) if is_paper(path) else None

    def parse(self, field: Field, text: str) -> object:
        """Turn what was typed into the value of a field.

        Raises:
            InputError: It does not fit; the reason is one line.
        """
        return parse(field, text, self.case, self.worksheet.tables)

    @property
    def current(self) -> FieldRow | None:
        """The row under the cursor."""
        return self.query_one(FieldRows).current

    @on(RowList.Chosen)
    def _chosen(self) -> None:
        self.action_edit()

    @on(FieldRows.EntryWanted)
    def _entry_wanted(self, message: FieldRows.EntryWanted) -> None:
        if self.may_write():
            self.action_edit(message.typed)

    def action_edit(self, typed: str = "") -> None:
        """Fill in the field under the cursor."""
        row = self.current
        if row is not None and row.field is not None:
            enter_field(self, row.field, typed, self.query_one(FieldRows).line_of_cursor())

    def action_delete_entry(self) -> None:
        """Empty the field under the cursor."""
        row = self.current
        if row is not None and row.field is not None:
            self.put_text(row.field, "")

    def move_on(self, field: Field) -> None:
        """Go on from a field that has been filled in, where the settings let it; past the last one the cursor stays."""
        rows = self.query_one(FieldRows)
        following = None if self.worksheet.read_only or not self.moves_on else rows.field_after(FieldRow.of(field).key)
        if following is not None:
            rows.go(following)

    def put_text(self, field: Field, text: str) -> bool:
        """Put what was typed into a field, or say why not.

        Returns:
            True when it fitted.
        """
        try:
            self.put(field.path, self.parse(field, text), field.label.strip().lower())
        except InputError as refused:
            self.say(str(refused), wrong=True)
            return False
        self.show_case()
        return True


class RecordScreen(FieldScreen):
    """One record of a list: a renewal, a remark, a comparable, an adjustment."""

    SCOPE = RECORD

    def __init__(self, worksheet: CaseSession, records: Records, at: int, blank: object = None) -> None:
        """Open a record.

        Args:
            worksheet: The case it belongs to.
            records: The list it is in.
            at: Its place in the list; behind the last for a new one that is still incomplete.
            blank: As it was made: what is left like that is not kept.
        """
        super().__init__(worksheet)
        self._records, self._at = records, at
        self._blank = records.blank() if blank is None else blank
        self._drafts: list[Case] = []
        """The case with the new record in it, step by step, until that has what it needs; none: it is in the case."""
        result = get(worksheet.case, records.path)
        if at >= len(result) and blank is not None:
            self._drafts = [replace_at(worksheet.case, records.path, (*result, blank))]
        self.PLACE = records.one.capitalize()

    @property
    def case(self) -> Case:
        """The case with this record in it, which may be incomplete."""
        return self._drafts[-1] if self._drafts else self.worksheet.case

    @property
    def _record(self) -> object:
        return get(self.case, (*self._records.path, self._at))

    @property
    def about(self) -> str:
        """Return the fields that a new record still needs."""
        lacking = self._records.lacking(self._record) if self._drafts else []
        return f"Counts for nothing until it has: {', '.join(lacking).lower()}" if lacking else ""

    @property
    def unfinished(self) -> bool:
        """True while a new record lacks something that it needs, and holds something already."""
        return len(self._drafts) > 1

    def put(self, path: Path, value: object, what: str) -> None:
        """Put a value into a field; a new record joins the case with what completes it."""
        if not self._drafts:
            super().put(path, value, what)
            return
        self._drafts.append(self.entered(path, value) or replace_at(self.case, path, value))
        if not self._records.lacking(self._record):
            whole, self._drafts = self.case, []
            self.worksheet.change(whole, self._records.one)

    def action_undo(self) -> None:
        """Take the last edit back; of a new record, the last field."""
        if len(self._drafts) > 1:
            self._drafts.pop()
            self.show_case()
        elif self._drafts:
            self.say("Nothing to undo")
        else:
            super().action_undo()

    def action_redo(self) -> None:
        """Make an edit again; a new record has none."""
        if self._drafts:
            self.say("Nothing to redo")
        else:
            super().action_redo()

    def field_rows(self) -> Sequence[FieldRow]:
        """Return the record's fields; none when undo has taken the record away."""
        if self._at >= len(get(self.case, self._records.path)):
            return ()
        rows = [FieldRow.of(field.at(*self._records.path, self._at)) for field in self._records.fields]
        return rows + self._signs() if self._records is REMARKS else rows

    def _signs(self) -> list[FieldRow]:
        """Return how fresh damage tells itself from old, once a state before a move is remembered."""
        sheet = self.worksheet
        if sheet.case.earlier_state is None:
            return []
        from appraise.services.arrival import signs_at

        lines = signs_at(sheet.case, sheet.tables, self.case.remarks[self._at].place)
        heading = FieldRow.heading("From the move, or older? (common practice, no source)")
        return [heading, *(FieldRow.saying(f"sign.{at}", line) for at, line in enumerate(lines))] if lines else []

    def action_back(self) -> None:
        """Go back; a record in which nothing was written is not kept, an incomplete one asked about."""
        sheet, records = self.worksheet, self._records
        if self.unfinished:
            self.ask_unfinished()
            return
        if self._drafts:
            self.say(f"Nothing was written: the {records.one} is not kept")
            super().action_back()
            return
        result = get(sheet.case, records.path)
        if self._at < len(result) and result[self._at] == self._blank:
            sheet.remove(records.path, self._at, records.one)
            self.say(f"Nothing was written: the {records.one} is not kept")
        super().action_back()

    def ask_unfinished(self) -> None:
        """Ask what becomes of a new record that is incomplete."""
        lacking = ", ".join(self._records.lacking(self._record)).lower()
        ask_which(
            self.app,
            f"The {self._records.one} is not kept yet: it lacks {lacking}.",
            stay=("Fill it in", None),
            drop=("Drop it", lambda: self.dismiss(None)),
        )

    def show_case(self) -> None:
        """Show the record; close when undo has taken it away."""
        if self._at >= len(get(self.case, self._records.path)):
            self.dismiss(None)
        else:
            super().show_case()


class RecordListScreen(FieldScreen):
    """A list of fields in which lists of records can be added to."""

    def records_of(self, row: FieldRow | None) -> Records | None:
        """Return the list of records a row belongs to."""
        return None if row is None else row.records

    def action_edit(self, typed: str = "") -> None:
        """Fill in the field, open the record, or add one."""
        row = self.current
        if row is None or row.records is None:
            super().action_edit(typed)
        elif row.index is None:
            self.action_add_record()
        else:
            self.app.push_screen(RecordScreen(self.worksheet, row.records, row.index))

    def action_delete_entry(self) -> None:
        """Empty the field, or take the record out."""
        row = self.current
        if row is None or row.records is None:
            super().action_delete_entry()
        elif row.index is not None:
            self.worksheet.remove(row.records.path, row.index, row.records.one)
            self.say(f"Taken out: {row.records.one}; {key_of('undo')} brings it back")
            self.show_case()

    def action_add_record(self) -> None:
        """Add a record to the list under the cursor and open it."""
        records = self.records_of(self.current)
        if records is None:
            self.say("Put the cursor on a list to add to it: renewals, defects, pitch log, comparables …")
            return
        sheet = self.worksheet
        blank = self.blank(records)
        at = len(get(sheet.case, records.path))
        if not self.may_write():
            return
        if not records.lacking(blank):
            sheet.add(records.path, blank, records.one)
        self.app.push_screen(RecordScreen(sheet, records, at, blank))

    def blank(self, records: Records) -> object:
        """Return a new record to fill in."""
        return records.blank()

    def rows_of(self, records: Records) -> list[FieldRow]:
        """Return a heading, the records, and the row that adds one."""
        result = get(self.worksheet.case, records.path)
        rows = [FieldRow.heading(records.title)]
        rows += [
            FieldRow.record(records, at, records.title_of(record, self.worksheet.tables))
            for at, record in enumerate(result)
        ]
        return [*rows, FieldRow.adder(records)]
