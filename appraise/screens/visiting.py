"""The visit on the walk: the next check and the ones after it, checks that cannot be made here, minutes left."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from textual import on, work
from textual.message import Message

from appraise.commands import key_of, told
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, quoted
from appraise.screens.entry import EntryScreen
from appraise.screens.walk_entry import WalkEntryScreen
from appraise.services.walk import answered
from appraise.widgets.check_form import CheckForm
from appraise.widgets.next_checks import NextChecks

if TYPE_CHECKING:
    from appraise.model.case import Case

LONGEST = 1440.0
"""Of a visit [min]."""

TICK: Final = 15.0
"""After which the minutes left are shown anew [s]."""


class VisitScreen(WalkEntryScreen):
    """Next checks, computed in a thread once the valuation is ready."""

    @dataclass
    class Planned(Message):
        """A visit has been worked out in the background."""

        case: Case

    planning = False
    """True while a visit is being worked out."""

    def on_mount(self) -> None:
        """Let the minutes left be seen to run."""
        self.set_interval(TICK, self._run)

    def _run(self) -> None:
        if self.worksheet.guide.timed and self.is_current:
            self.show_visit()

    def walk_to(self, station: str, check: str | None = None) -> None:
        """Go to a station, and there to a check or to the first row."""
        raise NotImplementedError

    def show_visit(self) -> None:
        """Show what to look at next, and work it out where it is not that of the case as it stands."""
        sheet = self.worksheet
        valuation = sheet.known_valuation
        if valuation is None:
            return
        shown, guide = self.query_one(NextChecks), sheet.guide
        if not self._open:
            shown.show(())
            return
        shown.show(
            guide.left(sheet.case),
            minutes=guide.minutes,
            timed=guide.timed,
            comparable=guide.comparable(sheet.case),
        )
        if not self.planning and not sheet.guide.fresh(sheet.case):
            self.planning = True
            self._plan(sheet.case, valuation.draws)

    @property
    def _open(self) -> bool:
        """True while a check is left to be made."""
        valuation = self.worksheet.known_valuation
        return bool(self.worksheet.case.preliminary) or valuation is None or bool(valuation.next_checks)

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
        if not self._open:
            self.say("Every check has been made")
            return
        sheet.guide.plan(sheet.case, sheet.tables, valuation.draws)
        if not self._go_to_following():
            more = sheet.guide.comparable(sheet.case)
            find = "" if more is None else told("; another comparable sale narrows the range most: {particulars}")
            self.say(f"None of the checks left fits the minutes; {key_of('visit-minutes')} changes them{find}")

    def _go_to_following(self, *, first: bool = False) -> bool:
        """Go to the next check of the visit as far as it is known; False where there is none."""
        row = self.query_one(CheckForm).current
        here = "" if row is None or row.check is None else row.check.key
        result = self.worksheet.guide.following(self.worksheet.case, first=first, here=here)
        if result is not None:
            self.walk_to(result.station, result.check)
            self.query_one(CheckForm).focus()
        return result is not None

    def action_skip_check(self) -> None:
        """Say that the check under the cursor cannot be made here, and why; or that it can be after all."""
        form, sheet = self.query_one(CheckForm), self.worksheet
        row = form.current
        if row is None or row.check is None:
            self.say("A part, not a check: ↓ goes to its checks")
            return
        check = row.check
        if check.key in answered(sheet.case):
            self.say(f"{check.label}: it has been made")
            return
        if any(left.check == check.key for left in sheet.case.left_out):
            sheet.leave_out(check.key, out=False)
            self.say(f"{check.label}: can be made after all")
            self.show_case()
            return
        if not self.may_write():
            return

        def on_result(entry: tuple[str]) -> None:
            sheet.leave_out(check.key, *entry)
            self.show_case()
            self._go_to_following(first=True)

        asked = f"{check.label}: cannot be made here, because"
        hint = "May be left empty. The reports list it."
        self.ask(EntryScreen(asked, str.strip, hints=(hint,), line=form.line_of_cursor()), on_result)

    def action_visit_minutes(self) -> None:
        """Ask how many minutes are left."""

        def parse(text: str) -> float:
            try:
                minutes = float(text.strip().removesuffix("min").replace(",", "."))
            except ValueError:
                minutes = -1.0
            if not 1.0 <= minutes <= LONGEST:
                raise InputError(quoted(text), f"minutes from 1 to {LONGEST:.0f}")
            return minutes

        def on_result(entry: tuple[float]) -> None:
            self.worksheet.guide.set_minutes(*entry)
            self.show_visit()

        left = f"{self.worksheet.guide.minutes:.0f}"
        self.ask(EntryScreen("Minutes left for this visit", parse, text=left), on_result)

    @on(NextChecks.ComparableWanted)
    def _comparable_wanted(self) -> None:
        self.action_particulars()

    @on(NextChecks.Wanted)
    def _next_wanted(self, message: NextChecks.Wanted) -> None:
        self.walk_to(self.worksheet.tables.checks[message.check].station, message.check)
        self.query_one(CheckForm).focus()
