"""Before and after a move: keep the state before, begin the inspection on arrival, and what the claim needs."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, TypeVar

from appraise.commands import ARRIVAL, key_of, told
from appraise.model.plausible import YEARS, is_likely
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.report.words import day
from appraise.screens.entry import EntryScreen
from appraise.screens.fields import FieldScreen
from appraise.services.arrival import SETTING, arrival_of, begin, remembering
from appraise.services.particulars import CLAIM
from appraise.store.baseline import freeze
from appraise.widgets.field_rows import FieldRow, FieldRows

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from appraise.services.arrival import Arrival

SET, BEGIN, WALK_ON = "set", "begin", "walk"
T = TypeVar("T")


class ArrivalScreen(FieldScreen):
    """Screen of a move: before, on arrival, the claim."""

    PLACE = "Before and after"
    SCOPE = ARRIVAL

    def field_rows(self) -> Sequence[FieldRow]:
        """Return the state kept, what can be done, the fields of the claim, and what is looked at when."""
        rows = [FieldRow.heading("Condition before the move")]
        try:
            arrival = arrival_of(self.worksheet)
        except Unreadable as error:
            rows.append(FieldRow.saying("problem", str(error.problems[0]), "$text-error"))
            rows.append(FieldRow.doing(SET, "▸ Replace it: the case as it is now"))
            arrival = None
        else:
            rows += self._before() if arrival is None else self._after(arrival)
        if self.worksheet.case.earlier_state is not None:
            rows.append(FieldRow.heading("The claim"))
            rows += [FieldRow.of(field) for field in CLAIM]
        stages = ("before",) if self.worksheet.case.earlier_state is None else ("arrival", "later")
        titles = {"before": "Before the move", "arrival": "On arrival", "later": "Later"}
        for stage in stages:
            rows += self._steps(stage, titles[stage])
        return rows

    def _before(self) -> Iterator[FieldRow]:
        inspected = self.worksheet.case.assignment.inspected
        yield FieldRow.saying(
            "none",
            "None is kept yet. Setting it writes a read-only copy of this case beside it, and its SHA-256 into the "
            "case; on arrival every check shows how it was.",
        )
        yield FieldRow.doing(SET, f"▸ Keep the condition before the move: the case as of {day(inspected)}")

    def _after(self, arrival: Arrival) -> Iterator[FieldRow]:
        case = self.worksheet.case
        earlier = case.earlier_state
        assert earlier is not None  # noqa: S101 - there is an arrival
        purpose = f", for: {earlier.purpose}" if earlier.purpose.strip() else ""
        yield FieldRow.saying("kept", f"Inspected on {day(arrival.day)}{purpose}", "$foreground")
        words = f"{earlier.file}, unaltered: SHA-256 {earlier.sha256[:12]}…"
        yield FieldRow.saying("file", words, "$text-success")
        if not arrival.begun(case):
            yield FieldRow.doing(BEGIN, "▸ Begin the inspection on arrival, the earlier answer beside each check")
            return
        done = sum(arrival.became(case, number) is not None for number in range(1, len(arrival.before.remarks) + 1))
        yield FieldRow.doing(WALK_ON, f"▸ Walk on: the inspection of {day(case.assignment.inspected)}")
        remarks = (
            f"▸ Earlier defects: {done} of {len(arrival.before.remarks)} inspected again ({key_of('earlier-remarks')})"
        )
        yield FieldRow.doing("remarks", remarks)
        yield FieldRow.doing("outcome", told("▸ What the move did: damage, loss, claim, periods ({outcome})"))

    def _steps(self, stage: str, title: str) -> Iterator[FieldRow]:
        yield FieldRow.heading(f"{title} (common practice, no source)")
        for row in self.worksheet.tables.move_steps.values():
            if row.when == stage:
                yield FieldRow.saying(row.key, f"· {row.text}")

    def action_edit(self, typed: str = "") -> None:
        """Do what the row under the cursor says, or fill in its field."""
        row = self.current
        if row is None or not row.does:
            super().action_edit(typed)
        elif row.key == SET:
            self._ask_given_up()
        elif row.key == BEGIN:
            self._ask_day()
        elif row.key == WALK_ON:
            self.dismiss(None)
        elif row.key == "remarks":
            self.action_earlier_remarks()
        else:
            self.action_outcome()

    def action_earlier_remarks(self) -> None:
        """Open the remarks, those of the earlier state first."""
        self.open_screen("remarks", self.worksheet)

    def action_outcome(self) -> None:
        """Open what the move did."""
        if self.remembered() is None:
            if self.worksheet.case.earlier_state is None:
                self.say("Keep the condition before the move first")
            return
        self.open_screen("outcome", self.worksheet)

    def _ask_line(
        self, label: str, parse: Callable[[str], T], on_result: Callable[[T], None], *, text: str = "", hint: str = ""
    ) -> None:
        """Ask for one line and go on with what was typed; leaving it ends the whole question."""
        line = self.query_one(FieldRows).line_of_cursor()
        self.ask(EntryScreen(label, parse, text=text, hints=(hint,), line=line), lambda entry: on_result(*entry))

    def _ask_given_up(self) -> None:
        """Have the day typed of an earlier state that another takes the place of: it is the baseline of the claim."""
        earlier = self.worksheet.case.earlier_state
        if earlier is None:
            self._ask_purpose()
            return
        given_up = earlier.day.isoformat()

        def parse(text: str) -> str:
            if text.strip() != given_up:
                raise InputError(quoted(text), f"{given_up}, its own day")
            return text

        hint = (
            "The case as it stands now, damage and all, becomes the condition before. Better: put the frozen copy back."
        )
        label = f"Give up the condition of {given_up}? Type its day"
        self._ask_line(label, parse, lambda _: self._ask_purpose(), hint=hint)

    def _ask_purpose(self) -> None:
        hint = "The case is saved, then kept as it is now in a read-only copy beside it."
        self._ask_line("Keep the condition before the move, for", str.strip, self._set, text="removal", hint=hint)

    def _set(self, purpose: str) -> None:
        sheet = self.worksheet
        if sheet.dirty and not self.save_now():
            return
        try:
            kept = freeze(sheet.path, sheet.case, purpose, sheet.trail_head())
        except Unreadable as error:
            self.say(f"Not kept. {error.problems[0]}", wrong=True)
            return
        sheet.change(remembering(sheet.case, kept), SETTING)
        if self.save_now():
            self.say(f"Kept as {kept.file}")
        self.show_case()

    def _ask_day(self) -> None:
        earlier = self.worksheet.case.earlier_state
        today = datetime.now(UTC).astimezone().date()
        if earlier is not None:
            today = max(today, earlier.day)

        def parse(text: str) -> date:
            try:
                result = date.fromisoformat(text.strip())
            except ValueError:
                raise InputError(quoted(text), "a day such as 2026-11-20") from None
            if not is_likely(result):
                raise InputError(quoted(text), YEARS)
            if earlier is not None and result < earlier.day:
                raise InputError(f"before {earlier.day.isoformat()}, the day of the earlier inspection")
            return result

        hint = "Grades, readings and defects make room for those of that day; the earlier ones stay in view. " + told(
            "Place and limits of the visit are open again ({particulars} on the inspection)."
        )
        self._ask_line("Inspected on arrival on", parse, self._ask_who, text=today.isoformat(), hint=hint)

    def _ask_who(self, when: date) -> None:
        before = self.worksheet.case.assignment
        was = (
            f"Before the move: {before.assessor}"
            if before.assessor.strip()
            else "No inspector is named before the move"
        )

        def ask_for(who: str) -> None:
            hint = f"Before the move: {before.purpose}" if before.purpose.strip() else ""
            self._ask_line("Purpose of this inspection", str.strip, lambda to: self._begin(when, who, to), hint=hint)

        self._ask_line("Inspected on arrival by", str.strip, ask_for, hint=was)

    def _begin(self, when: date, who: str, purpose: str) -> None:
        begin(self.worksheet, when, who, purpose)
        self.say(told("Begun. {undo} takes it back; Space on a check: inspected again, as before"))
        self.show_case()
