"""The visit on the walk: the next check and the ones after it, checks that cannot be made here, minutes left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import on, work
from textual.message import Message

from appraise.screens.entry import EntryScreen
from appraise.screens.walk_entry import WalkEntry
from appraise.services.refused import Refused, quoted
from appraise.widgets.check_form import CheckForm
from appraise.widgets.next_checks import NextChecks

if TYPE_CHECKING:
    from appraise.model.case import Case

LONGEST = 1440.0
"""Of a visit [min]."""


class Visiting(WalkEntry):
    """What to look at next, worked out aside once the figures are there."""

    @dataclass
    class Planned(Message):
        """A visit has been worked out in the background."""

        case: Case

    planning = False
    """True while a visit is being worked out."""

    def walk_to(self, station: str, check: str | None = None) -> None:
        """Go to a station, and there to a check or to the first row."""
        raise NotImplementedError

    def show_visit(self) -> None:
        """Show what to look at next, and work it out where it is not that of the case as it stands."""
        sheet = self.worksheet
        valuation = sheet.known_valuation
        if valuation is None:
            return
        shown = self.query_one(NextChecks)
        if not valuation.next_checks:
            shown.show(())
            return
        shown.show(sheet.guide.left(sheet.case), minutes=sheet.guide.minutes)
        if not self.planning and not sheet.guide.fresh(sheet.case):
            self.planning = True
            self._plan(sheet.case, valuation.draws)

    @work(thread=True, group="visit")
    def _plan(self, case: Case, draws: int) -> None:
        self.worksheet.guide.plan(case, self.worksheet.tables, draws)
        self.post_message(self.Planned(case))

    @on(Planned)
    def _take_visit(self) -> None:
        self.planning = False
        self.show_visit()

    def action_next_check(self) -> None:
        """Go to the next check of the visit; again, to the one after it."""
        sheet = self.worksheet
        valuation = sheet.valuation
        if not valuation.next_checks:
            self.say("Every check has been made")
            return
        sheet.guide.plan(sheet.case, sheet.tables, valuation.draws)
        found = sheet.guide.following(sheet.case)
        if found is None:
            self.say("No check that is left fits the minutes; Ctrl+G changes them")
            return
        self.walk_to(found.station, found.check)
        self.query_one(CheckForm).focus()

    def action_skip_check(self) -> None:
        """Leave the check under the cursor out of the visit for the rest of the session."""
        row = self.query_one(CheckForm).current
        if row is None or row.check is None:
            self.say("A part, not a check: ↓ goes to its checks")
            return
        self.worksheet.guide.skip(row.check.key)
        self.say(f"{row.check.label}: left out of this visit")
        self.action_next_check()
        self.show_visit()

    def action_visit_minutes(self) -> None:
        """Ask how many minutes are left."""

        def parse(text: str) -> object:
            try:
                minutes = float(text.strip().removesuffix("min").replace(",", "."))
            except ValueError:
                minutes = -1.0
            if not 1.0 <= minutes <= LONGEST:
                raise Refused(f"found {quoted(text)}, expected minutes from 1 to {LONGEST:.0f}")
            return minutes

        def take(entry: tuple[object] | None) -> None:
            if entry is not None and isinstance(entry[0], float):
                self.worksheet.guide.minutes = entry[0]
                self.show_visit()

        left = f"{self.worksheet.guide.minutes:g}"
        self.app.push_screen(EntryScreen("Minutes left for this visit", parse, text=left), take)

    @on(NextChecks.Wanted)
    def _next_wanted(self, message: NextChecks.Wanted) -> None:
        self.walk_to(self.worksheet.tables.checks[message.check].station, message.check)
        self.query_one(CheckForm).focus()
