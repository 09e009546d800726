"""The walk in lines: a question, an answer, the next question; what is typed and what is said are plain lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import STATION_LABELS, STATIONS
from appraise.model.problem import InputError, Unreadable, quoted
from appraise.report.words import literal
from appraise.services.answers import allowed, means, write_answer
from appraise.services.guide import before_start, cautions_of_check
from appraise.services.walk import answer_text, answered, checks_of, first_unfinished, grade_given, progress
from appraise.store.findings import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from appraise.services.case_session import CaseSession
    from appraise.tables.rows import Check

COMMANDS = (
    ("?", "what the answers mean, how to look, and these commands"),
    ("back", "the check before"),
    ("go STATION or CHECK", "go there: a number from 1 to 8, a name, or a key such as soundboard/crown"),
    ("next", "the check that would narrow the range most; again, the one after it"),
    ("value", "the value as the findings stand"),
    ("clear", "clear the answer to this check"),
    ("skip WHY", "it cannot be seen here, and why; the reports list it"),
    ("undo", "take the last answer back"),
    ("save", "write the case file"),
    ("quit", "leave; what is not saved is asked about"),
    ("= WORDS", "an answer that reads like one of these commands"),
)
"""Commands that may be typed beside an answer, with their help."""


class LineWalk:
    """The place of a person on the walk, and the effect of each line typed."""

    def __init__(self, sheet: CaseSession) -> None:
        self.sheet = sheet
        self.done = False
        """True once the walk has been left."""
        self._checks = [
            check for station in STATIONS for check in checks_of(sheet.tables, sheet.case.identity.kind, station)
        ]
        self._at = self._first(first_unfinished(sheet.case, sheet.tables))
        self._station = ""
        self._leaving = False
        self._warned = False
        """True once it was said what to mind before an instrument is opened."""
        self._again = False
        """True when a reading was just written down of a check that takes one a note."""
        self._doing: dict[str, Callable[[str], Iterator[str]]] = {
            "?": self._help,
            "help": self._help,
            "back": self._back,
            "go": self._go,
            "next": self._next,
            "value": self._value,
            "clear": self._clear,
            "skip": self._skip,
            "undo": self._undo,
            "save": self._save,
            "quit": self._quit,
        }

    @property
    def check(self) -> Check:
        """The check that is asked."""
        return self._checks[self._at]

    def question(self) -> Iterator[str]:
        """Yield what is asked now, the station before it where that is another one."""
        if self._leaving:
            yield "There are answers that are not saved. Type save, drop or stay."
            return
        check, case, tables = self.check, self.sheet.case, self.sheet.tables
        if not self._warned:
            self._warned = True
            yield from (f"Before you start: {literal(text)}" for text in before_start(case, tables))
        if self._again:
            yield f"{literal(check.label)}: another note and number, or Enter alone goes on."
            return
        if check.station != self._station:
            self._station = check.station
            walked = progress(case, tables)[check.station]
            number = STATIONS.index(check.station) + 1
            made = f"{walked.done} of {walked.total} checks made"
            yield f"Station {number} of {len(STATIONS)}: {self._name(check.station)}, {made}."
        part = tables.components[check.component].named(case.identity.kind)
        now = self._answer(check)
        asked = f"{literal(check.label)} ({literal(part).lower()}): {allowed(check, case.assignment.units)}."
        yield f"{asked} Now: {now}." if now else asked
        if check.caution:
            yield f"Caution: {literal(check.caution)}"

    def take(self, line: str) -> Iterator[str]:
        """Do what a line asks and yield what is said to it; a line that cannot be taken gets one line."""
        text = line.strip()
        self._again = False
        word, _, rest = text.partition(" ")
        try:
            if self._leaving:
                yield from self._leave(text.casefold())
            elif not text:
                yield from self._on()
            elif text.startswith("="):
                yield from self._write(text[1:].strip())
            elif word.casefold() in self._doing and (not rest or word.casefold() in ("go", "skip")):
                yield from self._doing[word.casefold()](rest.strip())
            else:
                yield from self._write(text)
        except InputError as refused:
            yield f"Not taken: {refused}"
        except Unreadable as unreadable:
            yield f"Not saved: {unreadable.problems[0]}"

    def _write(self, text: str) -> Iterator[str]:
        check = self.check
        write_answer(self.sheet, check, text)
        yield f"Written down: {literal(check.label)}, {self._answer(check)}."
        if self.sheet.trouble:
            yield f"In memory only: {self.sheet.trouble}"
        if check.per_note:
            self._again = True
        else:
            yield from self._on()

    def _on(self) -> Iterator[str]:
        if self._at + 1 < len(self._checks):
            self._at += 1
        else:
            yield "That was the last check. Type value, save or quit, or go to another station."

    def _back(self, _: str) -> Iterator[str]:
        if self._at:
            self._at -= 1
        else:
            yield "This is the first check."

    def _go(self, where: str) -> Iterator[str]:
        self._at = self._found(where)
        self._station = ""
        yield from ()

    def _found(self, where: str) -> int:
        """Return the place of the check that somebody names, or of the first open one of the station."""
        sought = where.casefold().strip("/ ")
        station, _, check = sought.rpartition("/")
        for key in STATIONS:
            if not station and sought in (key, self._name(key).casefold(), str(STATIONS.index(key) + 1)):
                return self._first(key)
        for at, row in enumerate(self._checks):
            if check in (row.key, row.label.casefold()) and station in ("", row.station):
                return at
        names = [*STATIONS, *(row.key for row in self._checks)]
        near = did_you_mean(check, names) if len(check) < 60 else ""
        raise InputError(quoted(where), f"a station or a check{f'; {near}' if near else ''}")

    def _first(self, station: str) -> int:
        made = answered(self.sheet.case)
        places = [at for at, row in enumerate(self._checks) if row.station == station]
        return next((at for at in places if self._checks[at].key not in made), places[0])

    def _next(self, _: str) -> Iterator[str]:
        sheet = self.sheet
        sheet.guide.plan(sheet.case, sheet.tables, sheet.valuation.draws)
        found = sheet.guide.following(sheet.case, here=self._checks[self._at].key)
        if found is None:
            yield "No check that is left would narrow the range in this visit."
            return
        self._at = next(at for at, row in enumerate(self._checks) if row.key == found.check)
        self._station = ""
        minutes = "1 minute" if found.minutes == 1 else f"{found.minutes:g} minutes"
        narrows = f"narrows the range by {found.narrows_pct:.1f} % in {minutes}"
        yield f"Most telling: {literal(found.label)}, {narrows}."

    def _value(self, _: str) -> Iterator[str]:
        from appraise.report.appraisal import assembled
        from appraise.report.terminal import range_lines

        sheet = self.sheet
        yield from range_lines(assembled(sheet.case, sheet.tables, sheet.valuation, sheet.reasons))

    def _help(self, _: str) -> Iterator[str]:
        check, case = self.check, self.sheet.case
        yield f"{literal(check.label)}: {literal(check.how)}" if check.how else literal(check.label)
        yield from (literal(line) for line in means(check, case.assignment.units))
        if check.disputed:
            yield f"Practitioners disagree: {literal(check.disputed)}"
        yield from (f"Caution: {literal(text)}" for text in cautions_of_check(check, case, self.sheet.tables))
        yield "Enter alone goes on to the next check. Commands:"
        yield from (f"{name}: {does}" for name, does in COMMANDS)

    def _clear(self, _: str) -> Iterator[str]:
        self.sheet.clear(self.check.key)
        yield f"Struck out: {literal(self.check.label)}."

    def _skip(self, why: str) -> Iterator[str]:
        if self.check.key in answered(self.sheet.case):
            raise InputError("it has been made; clear strikes its answer out")
        self.sheet.leave_out(self.check.key, why)
        yield f"Cannot be made here: {literal(self.check.label)}."
        yield from self._on()

    def _undo(self, _: str) -> Iterator[str]:
        what = self.sheet.undo()
        yield "Nothing to undo." if what is None else f"Undone: {literal(what)}."

    def _save(self, _: str) -> Iterator[str]:
        self.sheet.save()
        yield f"Saved {literal(self.sheet.path.name)}."

    def _quit(self, _: str) -> Iterator[str]:
        if self.sheet.dirty:
            self._leaving = True
        else:
            self.sheet.close()
            self.done = True
        yield from ()

    def _leave(self, answer: str) -> Iterator[str]:
        if answer == "save":
            self._leaving = False  # where it cannot be saved the walk goes on
            yield from self._save("")
        elif answer == "stay":
            self._leaving = False
            return
        elif answer != "drop":
            raise InputError(quoted(answer), "save, drop or stay")
        self.sheet.close()
        self.done = True

    def _answer(self, check: Check) -> str:
        """Return what was found for a check, and the grade that was given."""
        case, tables = self.sheet.case, self.sheet.tables
        text = literal(answer_text(case, tables, check, None, case.assignment.units))
        given = grade_given(case, check.key)
        return text if given is None else f"grade {given.grade:g}{f', {text.lower()}' if text else ''}"

    @staticmethod
    def _name(station: str) -> str:
        return str(STATION_LABELS[station])
