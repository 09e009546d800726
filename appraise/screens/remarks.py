"""The remarks alone, and what became of those of a state before a move."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.commands import FORM
from appraise.model.case import Remark
from appraise.model.loss import RemarkClass
from appraise.report.words import day
from appraise.screens.choose import ChooseScreen
from appraise.screens.fields import RecordListScreen, RecordScreen
from appraise.services.particulars import REMARKS
from appraise.widgets.field_rows import FieldRow
from appraise.widgets.plain import NO_BREAK

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.services.case_session import CaseSession
    from appraise.services.particulars import Records

EARLIER = "earlier."
"""Prefix of the keys of earlier defects' rows, followed by their number."""

BECAME = (
    ("kept", "unchanged: there, and the same"),
    ("worse", "worse: there, and more or graver; then say its origin"),
    ("mended", "repaired: looked for, and not there"),
    ("", "not inspected yet"),
)
"""Outcomes of an earlier defect."""


class RemarksScreen(RecordListScreen):
    """The remarks alone."""

    PLACE = "Defects"
    SCOPE = FORM

    def __init__(self, worksheet: CaseSession, place: str = "") -> None:
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
        yield FieldRow.heading(f"On {day(arrival.day)}, before the move: Enter says what became of each")
        for number, remark in enumerate(arrival.before.remarks, 1):
            became = arrival.became(self.worksheet.case, number)
            mark, word = ("□", "not yet") if became is None else ("▼" if became == "worse" else "✓", became.value)
            title = REMARKS.title_of(remark, self.worksheet.tables)
            head = f"{mark} {word:<8}".replace(" ", NO_BREAK)
            yield FieldRow.doing(f"{EARLIER}{number}", f"{head}{title}")
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
        became = arrival.became(self.worksheet.case, number)

        title = REMARKS.title_of(arrival.before.remarks[number - 1], self.worksheet.tables)
        dialog = ChooseScreen(title, BECAME, now="?" if became is None else became.value)
        self.ask(dialog, lambda key: self._tick(number, key))

    def _tick(self, number: int, key: str) -> None:
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

    def action_delete_entry(self) -> None:
        """Take the tick of the earlier remark back, or take the record out."""
        number = self._number
        if number is None:
            super().action_delete_entry()
        else:
            self._tick(number, "")

    def records_of(self, row: FieldRow | None) -> Records | None:
        """Return the remarks, wherever the cursor is."""
        return REMARKS
