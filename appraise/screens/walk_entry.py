"""Writing findings down on the walk: grades, quantities, yes and no, readings note by note, overruling."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from textual import on

from appraise.commands import key_of, told
from appraise.model.claim import Finding
from appraise.model.problem import InputError, quoted
from appraise.model.quantities import as_shown, span, unit_shown
from appraise.screens.choose import ChooseScreen
from appraise.screens.entry import EntryScreen
from appraise.screens.revaluing import RevaluingScreen
from appraise.services.answers import probability, value_typed
from appraise.services.quantity_limits import tolerance
from appraise.services.walk import answer_of, answered, grade_given, overruling, readings_of, suspected_told
from appraise.tables.rows import CheckKind
from appraise.widgets.check_detail import grade_choices
from appraise.widgets.check_form import CheckForm
from appraise.widgets.row_list import RowList

if TYPE_CHECKING:
    from appraise.model.quantities import Units
    from appraise.model.result import ComponentResult
    from appraise.services.walk import FormRow
    from appraise.tables.rows import Check


_WORD = re.compile(r"(?<![^\W_])[^\W\d_]{2,}(?![^\W_])")
"""A word: letters alone, two or more."""


class WalkEntryScreen(RevaluingScreen):
    """Answers entered on the form of a station."""

    @on(CheckForm.Graded)
    def _graded(self, message: CheckForm.Graded) -> None:
        if message.row.check is None:
            if self.may_write():
                self._ask_overrule(message.row.component, message.grade)
        else:
            self.worksheet.set_grade(message.row.key, message.grade, joins=message.joins)
            self._say_replaced(message.row, f"{message.grade:g}", replaced=message.replaces)
            self.show_case()

    @on(CheckForm.Answered)
    def _answered(self, message: CheckForm.Answered) -> None:
        likely = message.probability_pct
        self.worksheet.set_answer(message.row.key, message.answer, likely, joins=message.joins)
        self._say_replaced(message.row, str(message.answer), replaced=message.replaces)
        if message.answer is Finding.SUSPECTED and likely is None:
            self.say(f"{message.row.label}: {suspected_told(None, self.worksheet.tables)}; s30 states 30 %")
        self.show_case()

    def _say_replaced(self, row: FormRow, now: str, *, replaced: bool) -> None:
        """Say that an answer replaced the one typed just before: it may have been meant for another row."""
        if replaced:
            before = row.answer if row.grade is None or not row.given else f"{row.grade:g}"
            self.say(f"{row.label}: {now} in place of {before}; {key_of('undo')} takes it back")

    @on(CheckForm.Taken)
    def _taken(self) -> None:
        self.go_on()

    def go_on(self) -> None:
        """Go on to the next check: an answer has been taken."""
        raise NotImplementedError

    @on(CheckForm.Cleared)
    def _cleared(self, message: CheckForm.Cleared) -> None:
        if message.row.check is None:
            self.worksheet.overrule(message.row.component, None)
        else:
            self.worksheet.clear(message.row.key)
        self.show_case()

    @on(CheckForm.NotTaken)
    def _not_taken(self, message: CheckForm.NotTaken) -> None:
        """Say what would be an answer here, rather than nothing."""
        check, units = message.row.check, self.worksheet.case.assignment.units
        if check is None:
            self.say(told("A part, not a check: {overrule} overrules its grade, ↓ goes to its checks"))
        elif check.kind is CheckKind.YES_NO:
            self.say("y, n or s answers this check: yes, no, suspected; s30 is suspected, 30 % likely")
        elif check.kind is CheckKind.GRADED and message.typed[:1].isdecimal() and len(message.typed) > 1:
            self.say(f"{message.typed} is not a grade: 1 to 5 in half steps. {message.row.grade:g} stands")
        elif check.kind is CheckKind.GRADED:
            self.say("1 to 5 grades this check; Enter shows the words of each")
        else:
            unit = unit_shown(check.unit, units)
            self.say(f"A number answers this check{f', in {unit}' if unit else ''}")

    @on(CheckForm.EntryWanted)
    def _entry_wanted(self, message: CheckForm.EntryWanted) -> None:
        if message.row.check is not None and (not message.typed or self.may_write()):
            self._open_entry(message.row.check, message.typed)

    @on(RowList.Chosen, "#form")
    def _row_chosen(self) -> None:
        self.action_open_row()

    def action_open_row(self) -> None:
        """Open the editor of the row under the cursor."""
        row = self.query_one(CheckForm).current
        if row is None:
            return
        if row.check is None:
            self._ask_overruling_grade(row.component)
        elif row.check.kind is CheckKind.GRADED:
            self._choose_grade(row.check)
        elif row.check.kind is CheckKind.YES_NO:
            self._choose_yes_no(row.check)
        else:
            self._open_entry(row.check, "")

    @on(CheckForm.Unchanged)
    def _unchanged(self) -> None:
        self.action_as_before()

    def action_as_before(self) -> None:
        """Write the check under the cursor down as it was before the move, and go on to the next check."""
        form = self.query_one(CheckForm)
        arrival, row = self.remembered(), form.current
        if arrival is None or row is None or self.focused is not form:
            if self.worksheet.case.earlier_state is None:
                self.say(told("No condition before a move is kept: {before-and-after}"))
            return
        try:
            if row.check is not None:
                arrival.confirm(self.worksheet, row.check.key)
            elif arrival.overruled(row.component):
                arrival.confirm_overruling(self.worksheet, row.component)
        except InputError as refused:
            self.say(str(refused))
            if row.check is None:
                return
        else:
            self.show_case()
        # A part is as before when its checks are, unless its grade was an overruling.
        form.go_past(lambda row: row.check is not None or arrival.overruled(row.component))

    def action_overrule(self) -> None:
        """Put a grade of one's own on the component under the cursor."""
        row = self.query_one(CheckForm).current
        if row is not None and self.may_write():
            self._ask_overruling_grade(row.component)

    def _choose_grade(self, check: Check) -> None:
        given = grade_given(self.worksheet.case, check.key)

        def on_result(grade: str) -> None:
            self.worksheet.set_grade(check.key, float(grade))
            self.show_case()
            self.go_on()

        choices = grade_choices(check, self.worksheet.tables)
        now = "" if given is None else f"{given.grade:g}"
        self.ask(ChooseScreen(check.label, choices, now=now, show_keys=True), on_result)

    def _choose_yes_no(self, check: Check) -> None:
        readings = readings_of(self.worksheet.case, check.key)
        now = "" if not readings else answer_of(readings[-1])

        def on_result(answer: str) -> None:
            if answer == Finding.NOT_SEEN:
                self.action_skip_check()
            elif answer == Finding.SUSPECTED:
                self._ask_how_likely(check)
            else:
                self.worksheet.set_answer(check.key, Finding(answer))
                self.show_case()
                self.go_on()

        choices = (
            (Finding.YES, "yes"),
            (Finding.NO, "no"),
            (Finding.SUSPECTED, "suspected, so likely"),
            (Finding.NOT_SEEN, "cannot be seen here"),
        )
        self.ask(ChooseScreen(check.label, choices, now=now), on_result)

    def action_skip_check(self) -> None:
        """Say that the check under the cursor cannot be made here, and why; or that it can be after all."""
        raise NotImplementedError

    def _ask_how_likely(self, check: Check) -> None:
        """Ask how likely a suspected fault is there; nothing typed leaves that to the table."""
        readings = readings_of(self.worksheet.case, check.key)
        stated = readings[-1].probability_pct if readings else None

        def parse(text: str) -> object:
            return probability(text) if text.strip() else None

        def on_result(entry: tuple[object]) -> None:
            likely = entry[0] if isinstance(entry[0], float) else None
            self.worksheet.set_answer(check.key, Finding.SUSPECTED, likely)
            self.show_case()
            self.go_on()

        hint = f"Above 0 and below 100 %; empty: {suspected_told(None, self.worksheet.tables)}"
        asked = f"{check.label}: suspected, likely by [%]"
        text = "" if stated is None else f"{stated:g}"
        line = self.query_one(CheckForm).line_of_cursor()
        self.ask(EntryScreen(asked, parse, text=text, hints=(hint,), line=line), on_result)

    def _open_entry(self, check: Check, typed: str) -> None:
        if check.per_note:
            self.open_screen("readings", self.worksheet, check, typed, then=lambda _: self.show_case())
            return
        readings = readings_of(self.worksheet.case, check.key)
        units = self.worksheet.case.assignment.units
        unit = unit_shown(check.unit, units)
        now = "" if not readings else str(readings[-1].value)
        place = readings[-1].place if readings else ""

        def parse(text: str) -> float | bool | str:
            if text.strip() == now and readings:
                return readings[-1].value  # as it was: turned over and back it might not be
            return value_typed(text, check, units)

        def on_result(entry: tuple[float | bool | str]) -> None:
            self.worksheet.set_reading(check.key, *entry, place=place)
            self.show_case()
            self.go_on()

        if readings and isinstance(readings[-1].value, float):
            now = f"{as_shown(readings[-1].value, check.unit, units):g}"
        self.ask(
            EntryScreen(
                f"{check.label}{f' [{unit}]' if unit else ''}",
                parse,
                text=now,
                typed=typed,
                hints=(tolerance(check, units), _plausible(check, units)),
                line=self.query_one(CheckForm).line_of_cursor(),
            ),
            on_result,
        )

    def _ask_overrule(self, component: str, grade: float) -> None:
        present = overruling(self.worksheet.case, component)
        sheet = self.worksheet
        label = sheet.tables.components[component].label
        checks = (check.key for check in sheet.tables.checks.values() if check.component == component)
        looked_at = not answered(sheet.case).isdisjoint(checks)
        asked = "in place of what the checks say, because" if looked_at else "for the whole part, judged by"

        def parse(text: str) -> str:
            if not text.strip():
                raise InputError("a grade for the whole part needs a reason, or how it was judged")
            if not _WORD.search(text):
                raise InputError(quoted(text), "a reason in words: the report prints it")
            return text.strip()

        def on_result(entry: tuple[str]) -> None:
            self.worksheet.overrule(component, grade, *entry)
            self.show_case()

        self.ask(
            EntryScreen(
                f"{label}: grade {grade:g} {asked}",
                parse,
                text=present.reason if present is not None and present.grade == grade else "",
                hints=(
                    "The worksheet keeps both, and the report gives your reason."
                    if looked_at
                    else "No check of it has been made; the report gives your reason.",
                ),
                line=self.query_one(CheckForm).line_of_cursor(),
            ),
            on_result,
        )

    def valued_part(self, key: str) -> ComponentResult | None:
        """Return a component as it was last valued; none while that is being worked out, or for another kind."""
        valued = self.worksheet.last_valued
        stations = () if valued is None else valued[1].stations
        return next((part for station in stations for part in station.components if part.component == key), None)

    def _ask_overruling_grade(self, component: str) -> None:
        classes = sorted(self.worksheet.tables.condition_classes.values(), key=lambda row: row.grade)
        present, part = overruling(self.worksheet.case, component), self.valued_part(component)
        label = self.worksheet.tables.components[component].label
        grade_now = (
            None if part is None else min((row.grade for row in classes), key=lambda it: abs(it - part.grade.mid))
        )

        self.ask(
            ChooseScreen(
                f"Overrule {label.lower()}",
                [(f"{row.grade:g}", row.label) for row in classes],
                now="" if present is None else f"{present.grade:g}",
                start="" if grade_now is None else f"{grade_now:g}",
                show_keys=True,
            ),
            lambda grade: self._ask_overrule(component, float(grade)),
        )

    # -- leaving -----------------------------------------------------------------------------------

    def action_back(self) -> None:
        """Go back to the cases, asking first when something is not saved."""
        self.ask_before_leaving(self.leave_case)


def _plausible(check: Check, units: Units) -> str:
    return "" if check.plausible is None else f"plausible {span(*check.plausible, check.unit, units)}"
