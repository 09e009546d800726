"""The guide of a session: the visit in the minutes that are left, and where one stands in it."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from appraise.services.walk import answered

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.model.case import Case
    from appraise.model.visit import Visit, VisitCheck
    from appraise.tables.rows import Caution, Check, Tables


MINUTES = 30.0
"""Of a visit, until somebody says how many are left [min]."""


class Guide:
    """The check to make next. The minutes are the session's; what cannot be done here stands in the case."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._minutes = MINUTES
        self._until: float | None = None
        self._of: tuple[Case, float, float | None] | None = None
        self._visit: Visit | None = None
        self._turn = 0

    @property
    def timed(self) -> bool:
        """True once somebody has said how many minutes are left: from then on they run."""
        return self._until is not None

    @property
    def minutes(self) -> float:
        """Minutes that are left [min]; as many as at the start until somebody says how many."""
        return self._minutes if self._until is None else max(0.0, (self._until - self._clock()) / 60.0)

    def set_minutes(self, minutes: float) -> None:
        """Start the clock with so many minutes left [min]."""
        self._minutes, self._until = minutes, self._clock() + 60.0 * minutes

    def fresh(self, case: Case) -> bool:
        """Return whether the visit is that of this case and this clock, and all of it still fits the minutes left."""
        if self._of is None or self._of[0] is not case or self._of[1:] != (self._minutes, self._until):
            return False
        visit = self._visit
        return not self.timed or visit is None or not visit.checks or visit.takes <= self.minutes

    def plan(self, case: Case, tables: Tables, draws: int) -> None:
        """Work the visit out, unless it is there already.

        What was graded at a quick look is still to be checked: the visit is chosen as if nobody had looked there.
        A suspected fault is still to be confirmed or ruled out.

        Args:
            case: As it stands.
            tables: The reference tables.
            draws: Behind the range that is shown.
        """
        if self.fresh(case):
            return
        from appraise.engine.visit import visit

        of = (case, self._minutes, self._until)
        found = visit(case, tables, self.minutes, skipped=_skipped(case), draws=draws)
        self._of, self._visit, self._turn = of, found, 0

    def left(self, case: Case) -> tuple[VisitCheck, ...] | None:
        """Return the checks of the visit that are still to be made; none while no visit has been worked out.

        Until a changed case has been worked out these are those of the visit before, less what has been made since.
        """
        if self._visit is None:
            return None
        done = (answered(case) - _suspected(case)) | _skipped(case)
        return tuple(check for check in self._visit.checks if check.check not in done)

    def comparable(self, case: Case) -> float | None:
        """Return by how much one more comparable sale narrows the range [%], where that is what narrows it most now.

        The knock-out round comes first: what it finds can end the matter alone.
        """
        left = self.left(case)
        if self._visit is None or left is None or any(check.knock_out for check in left):
            return None
        return self._visit.comparable_pct

    def following(self, case: Case, *, first: bool = False, here: str = "") -> VisitCheck | None:
        """Return the next check to go to; asked again, the second, and so on round, until an answer is given.

        Args:
            case: As it stands.
            first: The first of those left, whatever was asked before.
            here: The check one stands on: where a fault is suspected by it, another comes first.
        """
        left = self.left(case)
        self._turn = 0 if first else self._turn
        if not left:
            return None
        if here in _suspected(case) and left[self._turn % len(left)].check == here:
            self._turn += 1
        result = left[self._turn % len(left)]
        self._turn += 1
        return result


def _suspected(case: Case) -> frozenset[str]:
    return frozenset(reading.check for reading in case.readings if reading.suspected)


def _skipped(case: Case) -> frozenset[str]:
    return frozenset(left.check for left in case.left_out)


def before_start(case: Case, tables: Tables) -> list[str]:
    """Return the warnings for a person about to open an instrument, each in one short sentence."""
    turns = [(row.before_start, row) for row in tables.cautions.values() if row.before_start is not None]
    rows = (row for _, row in sorted(turns, key=lambda pair: pair[0]))
    return [row.short or row.text for row in rows if _fits(row, case)]


def cautions_of_check(check: Check, case: Case, tables: Tables) -> list[str]:
    """Return the warnings for a person about to make one check."""
    return [
        row.text
        for row in tables.cautions.values()
        if _fits(row, case)
        and (check.key in row.checks or check.component in row.components or check.station in row.stations)
    ]


def _fits(row: Caution, case: Case) -> bool:
    if row.kinds and case.identity.kind not in row.kinds:
        return False
    return not row.materials or bool({case.identity.finish, case.identity.key_covering} & set(row.materials))
