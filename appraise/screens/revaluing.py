"""A case valued aside while a person writes, so that typing never waits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on, work
from textual.message import Message

from appraise.model.case import Case  # noqa: TC001 - a dataclass of the library's
from appraise.model.lazy_dataclass import dataclass
from appraise.screens.case_screen import CaseScreen
from appraise.services.case_session import compute
from appraise.widgets.value_band import ValueBand

if TYPE_CHECKING:
    from appraise.model.result import Valuation


class RevaluingScreen(CaseScreen):
    """A screen with the range above what is written."""

    @dataclass
    class Valued(Message):
        """A valuation has been worked out in the background."""

        case: Case
        valuation: Valuation

    _busy = False

    def revalue(self) -> None:
        """Start one calculation; what changes meanwhile is caught up with when it ends."""
        if not self._busy:
            self._busy = True
            self._compute(self.worksheet.case)

    @work(thread=True, group="value")
    def _compute(self, case: Case) -> None:
        self.post_message(self.Valued(case, compute(case, self.worksheet.tables)))

    @on(Valued)
    def _take_values(self, message: Valued) -> None:
        self._busy = False
        if self.worksheet.accept(message.case, message.valuation):
            self.show_case()
        else:
            self.revalue()

    @property
    def settled(self) -> bool:
        """True when the figures on the screen are those of the case as it stands."""
        return not self._busy and self.worksheet.known_valuation is not None

    def show_range(self, valuation: Valuation, station: str) -> None:
        """Show the range above, and the figures of the station one stands at."""
        sheet = self.worksheet
        basis = sheet.tables.bases.get(valuation.basis)
        self.query_one(ValueBand).show(
            valuation,
            sheet.start,
            basis=valuation.basis if basis is None else basis.label,
            station=station,
            market=sheet.case.market,
            preliminary=bool(sheet.case.preliminary),
        )
