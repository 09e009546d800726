"""Details of the row under the cursor, in lines that scroll."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Sequence


class DetailPane(RowList):
    """Lines without a cursor. New lines are drawn in place: the rest of the screen is not laid out again."""

    LINE_BY_LINE = True

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._told = Content("")

    @property
    def room(self) -> int:
        """Cells that a line may take."""
        return max(10, self.scrollable_content_region.width - 1)

    def show(self, content: Content) -> None:
        """Show this, in lines no wider than `room`."""
        if not content.is_same(self._told):
            self._told = content
            self.rebuild()

    def rows(self, width: int) -> Sequence[Row]:
        """Return one row that the cursor passes over."""
        return [Row("", self._told.split("\n"), stop=False)]

    def action_page(self, step: int) -> None:
        """Scroll by a page."""
        self.scroll_relative(y=step * max(1, self.size.height - 1), animate=False)

    def action_edge(self, last: int) -> None:
        """Scroll to the first or the last line."""
        if last:
            self.scroll_end(animate=False)
        else:
            self.scroll_home(animate=False)
