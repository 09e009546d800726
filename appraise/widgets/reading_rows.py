"""The readings of one check, a line each."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from textual.content import Content

from appraise.model.quantities import Units, with_unit
from appraise.services.keybed_view import note_label
from appraise.widgets.plain import piece
from appraise.widgets.row_list import Later, Row, RowList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Reading


class ReadingRows(RowList):
    """The readings of one check."""

    def __init__(self) -> None:
        super().__init__()
        self.readings: Sequence[Reading] = ()
        self.compass = 88
        self.units = Units.METRIC

    def rows(self, width: int) -> Sequence[Row]:
        """Return a line for each reading."""
        return [Row(str(at), Later(partial(self._line, reading))) for at, reading in enumerate(self.readings)]

    def _line(self, reading: Reading) -> Content:
        value = reading.value
        text = with_unit(value, reading.unit, self.units) if isinstance(value, float) else str(value)
        note = "section" if reading.note is None else note_label(reading.note, self.compass)
        words = ", ".join(word for word in (reading.place, reading.remark) if word)
        return Content.assemble(piece(f"{note:<10}", "$quiet"), (text, "bold"), "  ", piece(words))
