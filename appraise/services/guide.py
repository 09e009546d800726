"""The guide of a session: the visit of so many minutes, what cannot be done here, and where one stands in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.services.walk import answered

if TYPE_CHECKING:
    from appraise.model.case import Case
    from appraise.model.visit import Visit, VisitCheck
    from appraise.tables.rows import Tables

MINUTES = 30.0
"""Of a visit, until somebody says how many are left [min]."""


class Guide:
    """What to look at next. Kept for the session and never written to the file."""

    def __init__(self) -> None:
        self.minutes = MINUTES
        """Minutes that are left [min]."""
        self.skipped: frozenset[str] = frozenset()
        """Checks that cannot be made here."""
        self._of: tuple[Case, float, frozenset[str]] | None = None
        self._visit: Visit | None = None
        self._turn = 0

    def fresh(self, case: Case) -> bool:
        """Return whether the visit is that of this case, these minutes and these skips."""
        of = self._of
        return of is not None and of[0] is case and of[1:] == (self.minutes, self.skipped)

    def plan(self, case: Case, tables: Tables, draws: int) -> None:
        """Work the visit out, unless it is there already.

        Args:
            case: As it stands.
            tables: The reference tables.
            draws: Behind the range that is shown.
        """
        if self.fresh(case):
            return
        from appraise.engine.visit import visit

        of = (case, self.minutes, self.skipped)
        found = visit(case, tables, self.minutes, skipped=self.skipped, draws=draws)
        self._of, self._visit, self._turn = of, found, 0

    def left(self, case: Case) -> tuple[VisitCheck, ...] | None:
        """Return the checks of the visit that are still to be made; none while no visit has been worked out.

        Until a changed case has been worked out these are those of the visit before, less what has been made since.
        """
        if self._visit is None:
            return None
        done = answered(case) | self.skipped
        return tuple(check for check in self._visit.checks if check.check not in done)

    def following(self, case: Case) -> VisitCheck | None:
        """Return the next check to go to; asked again, the second, and so on round, until an answer is given."""
        left = self.left(case)
        if not left:
            return None
        found = left[self._turn % len(left)]
        self._turn += 1
        return found

    def skip(self, check: str) -> None:
        """Leave a check out for the rest of the session."""
        self.skipped |= {check}
        self._turn = 0
