"""Screens that are one list of fields, filled in where they stand; records open behind their own rows."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import on

from appraise.commands import RECORD, bindings
from appraise.screens.case_screen import CaseScreen
from appraise.screens.field_entry import enter_field
from appraise.services.fields import get, parse
from appraise.services.record_lists import REMARKS
from appraise.services.refused import Refused
from appraise.widgets.field_rows import FieldRow, FieldRows
from appraise.widgets.foot import Foot
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual.app import ComposeResult
    from textual.binding import BindingType

    from appraise.services.fields import Field
    from appraise.services.records import Records
    from appraise.services.worksheet import Worksheet


class FieldScreen(CaseScreen):
    """A screen that is one list of fields."""

    CSS_PATH = "fields.tcss"
    AUTO_FOCUS = "#fields"

    def compose(self) -> ComposeResult:
        """The rows."""
        yield TitleBar()
        yield FieldRows(id="fields")
        yield Foot()

    def on_mount(self) -> None:
        """Show the rows."""
        self.show_case()

    def field_rows(self) -> Sequence[FieldRow]:
        """Return the rows to show."""
        raise NotImplementedError

    def show_case(self) -> None:
        """Show the fields as they stand now."""
        self.show_title()
        sheet = self.worksheet
        self.query_one(FieldRows).show(self.field_rows(), sheet.case, sheet.tables)

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

    def action_take_out(self) -> None:
        """Empty the field under the cursor."""
        row = self.current
        if row is not None and row.field is not None:
            self.put_text(row.field, "")

    def move_on(self, field: Field) -> None:
        """Go on from a field that has been filled in, as in any form; past the last one the cursor stays."""
        rows = self.query_one(FieldRows)
        following = None if self.worksheet.read_only else rows.field_after(FieldRow.of(field).key)
        if following is not None:
            rows.go(following)

    def put_text(self, field: Field, text: str) -> bool:
        """Put what was typed into a field, or say why not.

        Returns:
            True when it fitted.
        """
        try:
            value = parse(field, text, self.worksheet.case, self.worksheet.tables)
        except Refused as refused:
            self.say(str(refused), wrong=True)
            return False
        self.worksheet.put(field.path, value, field.label.strip().lower())
        self.show_case()
        return True


class RecordScreen(FieldScreen):
    """One record of a list: a renewal, a remark, a comparable, an adjustment."""

    BINDINGS: ClassVar[list[BindingType]] = [*bindings(RECORD)]

    def __init__(self, worksheet: Worksheet, records: Records, at: int, blank: object = None) -> None:
        """Open a record.

        Args:
            worksheet: The case it belongs to.
            records: The list it is in.
            at: Its place in the list.
            blank: As it was made: what is left like that is not kept.
        """
        super().__init__(worksheet)
        self._records, self._at = records, at
        self._blank = records.blank(worksheet.case, worksheet.tables) if blank is None else blank
        self.PLACE = records.one.capitalize()

    def field_rows(self) -> Sequence[FieldRow]:
        """Return the record's fields; none when undo has taken the record away."""
        if self._at >= len(get(self.worksheet.case, self._records.path)):
            return ()
        rows = [FieldRow.of(field.at(*self._records.path, self._at)) for field in self._records.fields]
        return rows + self._signs() if self._records is REMARKS else rows

    def _signs(self) -> list[FieldRow]:
        """Return how fresh damage tells itself from old, once a state before a move is remembered."""
        sheet = self.worksheet
        if sheet.case.earlier_state is None:
            return []
        from appraise.services.arrival import signs_at

        lines = signs_at(sheet.case, sheet.tables, sheet.case.remarks[self._at].place)
        heading = FieldRow.heading("From the move, or older? (common practice, no source)")
        return [heading, *(FieldRow.saying(f"sign.{at}", line) for at, line in enumerate(lines))] if lines else []

    def action_back(self) -> None:
        """Go back; a record in which nothing was written is not kept."""
        sheet, records = self.worksheet, self._records
        found = get(sheet.case, records.path)
        if self._at < len(found) and found[self._at] == self._blank:
            sheet.remove(records.path, self._at, records.one)
            self.say(f"Nothing was written: the {records.one} is not kept")
        super().action_back()

    def show_case(self) -> None:
        """Show the record; close when undo has taken it away."""
        if self._at >= len(get(self.worksheet.case, self._records.path)):
            self.dismiss(None)
        else:
            super().show_case()


class RecordsBase(FieldScreen):
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

    def action_take_out(self) -> None:
        """Empty the field, or take the record out."""
        row = self.current
        if row is None or row.records is None:
            super().action_take_out()
        elif row.index is not None:
            self.worksheet.remove(row.records.path, row.index, row.records.one)
            self.say(f"Taken out: {row.records.one}; Ctrl+Z brings it back")
            self.show_case()

    def action_add_record(self) -> None:
        """Add a record to the list under the cursor and open it."""
        records = self.records_of(self.current)
        if records is None:
            self.say("Stand on a list to add to it: renewals, remarks, pitch log, comparables …")
            return
        sheet = self.worksheet
        blank = self.blank(records)
        at = sheet.add(records.path, blank, records.one)
        if at < len(get(sheet.case, records.path)):  # a read-only worksheet takes none
            self.app.push_screen(RecordScreen(sheet, records, at, blank))

    def blank(self, records: Records) -> object:
        """Return a new record to fill in."""
        return records.blank(self.worksheet.case, self.worksheet.tables)

    def rows_of(self, records: Records) -> list[FieldRow]:
        """Return a heading, the records, and the row that adds one."""
        found = get(self.worksheet.case, records.path)
        rows = [FieldRow.heading(records.title)]
        rows += [
            FieldRow.record(records, at, records.title_of(record, self.worksheet.tables))
            for at, record in enumerate(found)
        ]
        return [*rows, FieldRow.adder(records)]
