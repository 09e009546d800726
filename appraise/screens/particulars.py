"""The particulars: every field of a case, and the lists of records that belong to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.commands import FORM
from appraise.screens.fields import RecordListScreen
from appraise.services.particulars import CLAIM_RECORDS, COMPARABLES, RECORDS, SECTIONS
from appraise.widgets.field_rows import FieldRow

if TYPE_CHECKING:
    from collections.abc import Sequence


LIKE = "like"
"""Key of the row that leads to the like sales of the book."""
MOVE = "move"
"""Key of the row that leads to what there is to do before a move and after it."""


class ParticularsScreen(RecordListScreen):
    """Instrument, assignment, circumstances, market, costs, and the lists that belong to the case."""

    PLACE = "Particulars"
    SCOPE = FORM

    def field_rows(self) -> Sequence[FieldRow]:
        """Return every field and record."""
        rows: list[FieldRow] = []
        for title, fields in SECTIONS:
            rows.append(FieldRow.heading(title))
            rows += [FieldRow.of(field) for field in fields]
        kept = self.worksheet.case.earlier_state is not None
        for records in (*RECORDS, *(CLAIM_RECORDS if kept else ())):
            rows += self.rows_of(records)
            if records is COMPARABLES:
                rows.append(FieldRow.doing(LIKE, "▸ Like sales from your book: proposed, and taken when you say so"))
        what = "what it did, the claim" if kept else "keep the condition before it, for the inspection on arrival"
        return [*rows, FieldRow.heading("A move"), FieldRow.doing(MOVE, f"▸ Before and after a move (Ctrl+R): {what}")]

    def action_edit(self, typed: str = "") -> None:
        """Fill in the field, open or add the record, or go to what there is to do about a move."""
        row = self.current
        if row is not None and row.key == MOVE:
            self.action_before_and_after()
        elif row is not None and row.key == LIKE:
            self._like_sales()
        else:
            super().action_edit(typed)

    def _like_sales(self) -> None:
        """Open the sales of the book that are like the instrument."""
        if self.may_write():
            self.open_screen("like_sales", self.worksheet)
