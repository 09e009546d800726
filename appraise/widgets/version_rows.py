"""Two versions side by side, a difference a row: what it is above, the two values below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message

from appraise.model.lazy_dataclass import dataclass
from appraise.widgets.plain import fit
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class VersionRow:
    """One difference."""

    key: str
    name: str
    left: str
    right: str
    taken: str = ""
    """"left", "right", or empty while nobody has said."""
    note: str = ""
    """Author of the change."""


class VersionRows(RowList):
    """The differences of two versions; a click on a value takes it."""

    @dataclass
    class Taken(Message):
        """A value was clicked."""

        key: str
        side: str

    def __init__(self, *, id: str | None = None, choosing: bool = True) -> None:
        """Make the list.

        Args:
            id: As for every widget.
            choosing: Show which value is taken.
        """
        super().__init__(id=id)
        self._found: Sequence[VersionRow] = ()
        self._choosing = choosing

    def show(self, rows: Sequence[VersionRow], *, keep: str | None = None) -> None:
        """Show these differences."""
        self._found = rows
        self.rebuild(keep=keep)

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        return [self._row(row, width - 1) for row in self._found]

    def clicked(self, key: str, line: int, x: int) -> None:
        """Take the value that was clicked."""
        if line == 1 and self._choosing:
            self.post_message(self.Taken(key, "left" if x < self._half(self._width - 1) else "right"))

    @staticmethod
    def _half(width: int) -> int:
        return (width - 1) // 2

    def _row(self, row: VersionRow, width: int) -> Row:
        half = self._half(width)
        note = fit(row.note, min(len(row.note), max(0, width // 2)))
        style = "bold $warning" if self._choosing and not row.taken else "bold $secondary"
        head = Content.assemble((fit(row.name, width - len(note) - 1), style), " ", (note, "$quiet"))
        cells = Content.assemble(
            self._cell(row.left, half, taken=row.taken == "left"),
            ("│", "$faint"),
            self._cell(row.right, width - half - 1, taken=row.taken == "right"),
        )
        return Row(row.key, (head, cells))

    def _cell(self, text: str, width: int, *, taken: bool) -> Content:
        mark = ("● " if taken else "○ ") if self._choosing else "  "
        style = "$foreground" if taken or not self._choosing else "$quiet"
        return Content.styled(fit(f"{mark}{text}", width), style)
