"""The eight stations as stops on a rail, each with a mark that fills as it is walked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from appraise.model.case import STATION_LABELS, STATIONS
from appraise.report.lives import NOW, due_word
from appraise.widgets.marks import progress_mark
from appraise.widgets.plain import fit
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from appraise.model.result import Valuation
    from appraise.services.walk import Progress

ROOMY = 17
"""Lines from which each stop has a second line for its depreciation."""


class WalkRail(RowList):
    """The rail of the walk; the cursor is the station one stands at."""

    LINE_BY_LINE = True

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._progress: Mapping[str, Progress] = {}
        self._valuation: Valuation | None = None
        self._roomy = False

    def show(self, progress: Mapping[str, Progress], valuation: Valuation | None) -> None:
        """Show how far each station has been walked, and what it has lost."""
        self._progress = progress
        self._valuation = valuation
        self.rebuild()

    def rows(self, width: int) -> Sequence[Row]:
        """Return the eight stops."""
        self._roomy = self.size.height >= ROOMY
        return [self._stop(station, width - 1) for station in STATIONS]

    def _stop(self, station: str, width: int) -> Row:
        walked = self._progress.get(station)
        done, total = (walked.done, walked.total) if walked else (0, 0)
        finished = walked is not None and walked.finished
        count = f"{done}/{total}"
        first = Content.assemble(
            (progress_mark(done, total), "$text-success" if finished else "$primary" if done else "$quiet"),
            (" " + fit(STATION_LABELS[station], max(1, width - len(count) - 2)), "$foreground"),
            (count, "$quiet"),
        )
        if not self._roomy:
            return Row(station, (first,))
        return Row(station, (first, self._second(station, width)))

    def _second(self, station: str, width: int) -> Content:
        last = station == STATIONS[-1]
        thread = (" " if last else "│", "$faint")
        if self._valuation is None:
            return Content.assemble(thread)
        result = self._valuation.station(station)
        lost = f"−{result.depreciation.mid:.0%}"
        left = f"{result.remaining_years.mid:.0f} y" + (" left" if width > 18 else "")
        if word := due_word(self._valuation, station):
            left = "due now" if word == NOW else "inspect"
        return Content.assemble(thread, (fit(f" {lost:<6} {left}", max(0, width - 1)), "$quiet"))

    def on_resize(self) -> None:
        """Make the stops again when there is room for more or less."""
        if (self.size.height >= ROOMY) != self._roomy:
            self.rebuild()
        super().on_resize()
