"""The charts as rows of letters: “why?” can be asked of every line that shows a figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from appraise.report.charts.text import WIDEST, body
from appraise.widgets.plain import plain, wrapped
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.report.document import Drawing


class ChartRows(RowList):
    """Charts one below the other, drawn for the width there is."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._drawings: Sequence[Drawing] = ()
        self._figures: dict[str, str] = {}
        self._first: list[str] = []

    def show(self, drawings: Sequence[Drawing]) -> None:
        """Show these charts."""
        self._drawings = drawings
        self.rebuild()

    @property
    def figure(self) -> str | None:
        """Address of the figure on the line under the cursor, else of the first one of its chart."""
        if self.key is None:
            return None
        chart = self.key.partition(".")[0]
        result = self._figures.get(self.key)
        return result or next((at for key, at in self._figures.items() if key.startswith(f"{chart}.") and at), None)

    def rows(self, width: int) -> Sequence[Row]:
        """Return every chart: its title, its lines, what it shows."""
        width = min(width - 2, WIDEST)
        self._figures, self._first = {}, []
        rows: list[Row] = []
        for n, drawing in enumerate(self._drawings):
            rule = "─" * max(0, width - cell_len(drawing.chart.title) - 1)
            title = Content.assemble((plain(drawing.chart.title), "bold $secondary"), " ", (rule, "$faint"))
            rows.append(Row(f"title.{n}", (Content(""), title) if n else (title,), stop=False))
            for at, (line, figure) in enumerate(body(drawing, width)):
                key = f"{n}.{at}"
                self._figures[key] = figure
                rows.append(Row(key, (Content(line or " "),)))
            self._first.append(f"{n}.0")
            rows.append(Row(f"caption.{n}", tuple(wrapped(drawing.caption, width, "$quiet")), stop=False))
        if not rows:
            rows.append(Row("nothing", (Content.styled("Nothing to draw yet.", "$quiet"),)))
        return rows

    def go_chart(self, step: int) -> None:
        """Go to the first line of the chart so many after this one, or to the first or the last chart."""
        if self.key is None or not self._first:
            return
        chart = int(self.key.partition(".")[0])
        goal = min(len(self._first) - 1, max(0, chart + step))
        self.go(self._first[goal])
        self.call_after_refresh(self._show_from, f"title.{goal}")

    def _show_from(self, key: str) -> None:
        """Scroll until a title stands on top, so that as much of its chart as can be is seen."""
        at = next((at for at, row in enumerate(self._rows) if row.key == key), 0)
        line = self._starts[at] + len(self._rows[at].lines) - 1
        self.scroll_to(y=line, animate=False)
