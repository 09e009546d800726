"""The particulars: every field a row that is filled in where it stands; lists of records behind their own rows."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual import on

from appraise.commands import FORM, RECORD, bindings
from appraise.model.case import Remark
from appraise.screens.case_screen import CaseScreen
from appraise.screens.field_entry import enter_field
from appraise.services.fields import get
from appraise.services.particulars import SECTIONS
from appraise.services.quantity import Refused
from appraise.services.record_lists import RECORDS, REMARKS
from appraise.widgets.field_rows import FieldRow, FieldRows
from appraise.widgets.foot import Foot
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from textual.app import ComposeResult
    from textual.binding import BindingType

    from appraise.services.fields import Field
    from appraise.services.records import Records
    from appraise.services.worksheet import Worksheet


EARLIER = "earlier."
"""How the rows of earlier remarks are called, their number behind."""

BECAME = (
    ("kept", "kept: there, and the same"),
    ("worse", "worse: there, and more or graver; then say its origin"),
    ("mended", "mended: looked for, and not there"),
    ("", "not looked at yet"),
)
"""What may have become of an earlier remark."""


MOVE = "move"
"""Key of the row that leads to what there is to do before a move and after it."""


class FieldScreen(CaseScreen):
    """A screen that is one list of fields."""

    CSS_PATH = "particulars.tcss"
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
        from appraise.services.fields import parse

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


class ParticularsScreen(RecordsBase):
    """Instrument, assignment, circumstances, market, costs, and the lists that belong to the case."""

    PLACE = "Particulars"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(FORM)]

    def field_rows(self) -> Sequence[FieldRow]:
        """Return every field and record."""
        rows: list[FieldRow] = []
        for title, fields in SECTIONS:
            rows.append(FieldRow.heading(title))
            rows += [FieldRow.of(field) for field in fields]
        for records in RECORDS:
            rows += self.rows_of(records)
        kept = self.worksheet.case.earlier_state is not None
        what = "what it did, the claim" if kept else "keep the state before it, for the inspection on arrival"
        return [*rows, FieldRow.heading("A move"), FieldRow.doing(MOVE, f"▸ Before and after a move (Ctrl+R): {what}")]

    def action_edit(self, typed: str = "") -> None:
        """Fill in the field, open or add the record, or go to what there is to do about a move."""
        row = self.current
        if row is not None and row.key == MOVE:
            self.action_before_and_after()
        else:
            super().action_edit(typed)


class RemarksScreen(RecordsBase):
    """The remarks alone."""

    PLACE = "Remarks"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings(FORM)]

    def __init__(self, worksheet: Worksheet, place: str = "") -> None:
        """Open the remarks.

        Args:
            worksheet: The case.
            place: Component that a new remark is about until somebody says another; empty: the list's own.
        """
        super().__init__(worksheet)
        self._place = place

    def blank(self, records: Records) -> object:
        """Return a remark at the place where a person stood."""
        new = super().blank(records)
        return replace(new, place=self._place) if self._place and isinstance(new, Remark) else new

    def field_rows(self) -> Sequence[FieldRow]:
        """Return the remarks, after those of the earlier state where one is remembered."""
        return [*self._earlier(), *self.rows_of(REMARKS)]

    def _earlier(self) -> Iterator[FieldRow]:
        arrival = self.remembered()
        if arrival is None:
            return
        from appraise.report.words import day

        yield FieldRow.heading(f"On {day(arrival.day)}, before the move: Enter says what became of each")
        for number, remark in enumerate(arrival.before.remarks, 1):
            became = arrival.became(self.worksheet.case, number)
            mark, word = ("□", "not yet") if became is None else ("▼" if became == "worse" else "✓", became.value)
            title = REMARKS.title_of(remark, self.worksheet.tables)
            yield FieldRow.doing(f"{EARLIER}{number}", f"{mark} {word:<8}{title}")
        if not arrival.before.remarks:
            yield FieldRow.saying("no-earlier", "None were noted.")

    @property
    def _number(self) -> int | None:
        """The earlier remark under the cursor."""
        row = self.current
        return int(row.key.removeprefix(EARLIER)) if row is not None and row.does else None

    def action_edit(self, typed: str = "") -> None:
        """Say what became of the earlier remark, open the record, or add one."""
        number = self._number
        arrival = None if number is None else self.remembered()
        if number is None or arrival is None:
            super().action_edit(typed)
            return
        from appraise.screens.choose import ChooseScreen

        became = arrival.became(self.worksheet.case, number)

        def take(key: str | None) -> None:
            if key is not None:
                self._tick(number, key)

        title = REMARKS.title_of(arrival.before.remarks[number - 1], self.worksheet.tables)
        self.app.push_screen(ChooseScreen(title, BECAME, now="?" if became is None else became.value), take)

    def _tick(self, number: int, key: str) -> None:
        from appraise.model.loss import RemarkClass

        arrival = self.remembered()
        if arrival is None:
            return
        sheet = self.worksheet
        arrival.tick(sheet, number, RemarkClass(key) if key else None)
        self.show_case()
        if key == RemarkClass.WORSE:
            # What is worse about it has still to be said.
            at = max(at for at, remark in enumerate(sheet.case.remarks) if remark.earlier == number)
            self.app.push_screen(RecordScreen(sheet, REMARKS, at))

    def action_take_out(self) -> None:
        """Take the tick of the earlier remark back, or take the record out."""
        number = self._number
        if number is None:
            super().action_take_out()
        else:
            self._tick(number, "")

    def records_of(self, row: FieldRow | None) -> Records | None:
        """Return the remarks, wherever the cursor is."""
        return REMARKS
