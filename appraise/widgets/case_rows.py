"""The rows of the cases: two lines each, what it is with its value, and how far the work has come."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from appraise.model.case import STATIONS
from appraise.model.locale_format import PLAIN
from appraise.widgets.marks import progress_mark
from appraise.widgets.plain import fit
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.services.case_folder import CaseEntry
    from appraise.tables.rows import Tables


class CaseRows(RowList):
    """Every case file of the folder; those that cannot be read say why."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._entries: Sequence[CaseEntry] = ()
        self._values: Mapping[Path, Valuation] = {}
        self._tables: Tables | None = None

    def show(self, entries: Sequence[CaseEntry], values: Mapping[Path, Valuation], tables: Tables) -> None:
        """Show these files, with the values worked out so far."""
        self._entries, self._values, self._tables = entries, values, tables
        self.rebuild()

    @property
    def current(self) -> CaseEntry | None:
        """The file under the cursor."""
        return next((entry for entry in self._entries if entry.path.name == self.key), None)

    def rows(self, width: int) -> Sequence[Row]:
        """Return two lines and a gap for each file."""
        return [self._row(entry, width - 2) for entry in self._entries]

    def _row(self, entry: CaseEntry, width: int) -> Row:
        changed = f"{entry.modified:%Y-%m-%d %H:%M}"
        name_width = max(0, width - len(changed) - 22)
        if entry.case is None or self._tables is None:
            problem = entry.problems[0] if entry.problems else None
            count = len(entry.problems)
            where = "" if problem is None or problem.line is None else f"line {problem.line}: "
            key = "" if problem is None or not problem.key else f"{problem.key}: "
            why = "cannot be read" if problem is None else f"found {problem.found}, expected {problem.expected}"
            more = f"  (and {count - 1} more)" if count > 1 else ""
            first = Content.assemble(("✗ ", "$text-error"), (fit(entry.path.name, max(0, width - 2)), "bold"))
            text = fit(f"{where}{key}{why}{more}", max(0, width - 2))
            return Row(entry.path.name, (first, Content.assemble("  ", (text, "$text-error")), Content("")))
        from appraise.services.walk import progress

        value, style = self._value(entry)
        room = max(0, width - len(value) - 4)
        first = Content.assemble("  ", (fit(_name(entry.case), room), "bold $foreground"), "  ", (value, style))
        walked = progress(entry.case, self._tables)
        marks = "".join(progress_mark(walked[key].done, walked[key].total) for key in STATIONS)
        done = f"{entry.stations_done} of {entry.stations_total} stations"
        lacks = f"{entry.missing} missing  " if entry.missing else ""
        early = "preliminary  " if entry.case.preliminary else ""
        name_width = max(0, name_width - len(lacks) - len(early))
        second = Content.assemble(
            "  ",
            (marks, "$text-success" if entry.stations_done == entry.stations_total else "$primary"),
            (f" {done}  ", "$quiet"),
            (early, "$text-warning"),
            (lacks, "$text-warning"),
            (fit(entry.path.name, name_width), "$quiet"),
            (f" {changed}", "$quiet"),
        )
        if not entry.waiting:
            return Row(entry.path.name, (first, second, Content("")))
        steps = "1 step was" if entry.waiting == 1 else f"{entry.waiting} steps were"
        text = f"⚠ not saved: {steps} left; Enter offers them"
        waits = Content.assemble("  ", (fit(text, width - 2), "$text-warning"))
        return Row(entry.path.name, (first, second, waits, Content("")))

    def _value(self, entry: CaseEntry) -> tuple[str, str]:
        valuation = self._values.get(entry.path)
        if valuation is None:
            return "…", "$quiet"
        if valuation.value is None:
            share = valuation.share_of_new
            return f"{share.low:.0%}–{share.high:.0%} of cost new", "$quiet"
        return (
            f"{valuation.currency} {PLAIN.whole(valuation.value.low)} – {PLAIN.whole(valuation.value.high)}",
            "bold $primary",
        )


def _name(case: Case) -> str:
    identity = case.identity
    size = "" if identity.size_cm is None else f"{identity.size_cm:g} cm"
    made = "" if identity.made is None else str(identity.made)
    words = [identity.maker or "Unnamed maker", identity.model, identity.kind.value, size, made]
    return " ".join(word for word in words if word)
