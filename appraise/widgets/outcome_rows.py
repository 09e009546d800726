"""Loss as one list: damage, loss, claim, carriage, time limits, timeline."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from appraise.commands import told
from appraise.explain.terms import PERIODS, limit_text
from appraise.model.claim import Finding
from appraise.model.locale_format import PLAIN
from appraise.model.loss import RemarkClass
from appraise.report.loss import doubt, parts
from appraise.report.loss.compared import DEFER, MEASURES, NO_LOSS, NOT_KNOWN
from appraise.report.preliminary import compared_notes
from appraise.report.words import capital, day
from appraise.widgets.plain import fit, plain, wrapped
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.model.loss import RemarkLine
    from appraise.report.loss.compared import Compared

WIDEST = 92
"""Cells beyond which a line is tiring to read."""

_CLASS, _ORIGIN = 9, 9
"""Cells for what became of a remark, and for its origin."""

_WHEN = 12
"""Cells for a date."""

ABSENT = "absent"

_MARKS = {
    RemarkClass.NEW: ("+", "$text-error"),
    RemarkClass.WORSE: ("▼", "$text-error"),
    RemarkClass.KEPT: ("=", "$quiet"),
    RemarkClass.MENDED: ("✓", "$text-success"),
}


_UNCOUNTED = "Attributed to the move, not counted:"
_UNGRADED = (
    "No check of these parts made both before and after is worse: grade or measure them. If nobody graded them "
    "before, enter what a photo or paper shows into a copy of the earlier state, and compare the two files: appraise "
    "loss BEFORE AFTER."
)
"""Advice for defects that are not counted."""


class OutcomeRows(RowList):
    """Every conclusion of a comparison in rows; the cursor only walks through them."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._item: Compared | None = None
        self._words = ""

    def show(self, item: Compared | None, words: str = "") -> None:
        """Show an outcome, or words where there is none."""
        self._item, self._words = item, words
        self.rebuild()

    def rows(self, width: int) -> Sequence[Row]:
        """Return every section."""
        width = min(width - 2, WIDEST)
        if self._item is None:
            return [Row("words", tuple(wrapped(self._words, width, "$text-warning")))] if self._words else []
        item = self._item
        return [
            *self._proposed(item, width),
            *self._remarks(item, width),
            *self._parts(item, width),
            *self._measures(item, width),
            *self._doubtful(item, width),
            *self._claim(item, width),
            *self._carriage(item, width),
            *self._timeline(item, width),
            *self._cautions(item, width),
        ]

    def _proposed(self, item: Compared, width: int) -> Iterator[Row]:
        first, second = (day(state.case.assignment.inspected) for state in (item.before, item.after))
        yield _heading("What the move did", width, first=True)
        yield Row("days", tuple(wrapped(f"{first} → {second}, both valued on the later day", width, "$quiet")))
        for words in compared_notes(item):
            yield Row("preliminary", tuple(wrapped(words, width, "$text-warning")))
        result = item.proposed
        if not result.counts:
            yield Row("loss", tuple(wrapped(NO_LOSS, width, "bold")))
        elif result.loss is None:
            text = "No loss in money can be stated: it needs a replacement cost new or a labour rate "
            text += told("({particulars} on the walk).")
            yield Row("loss", tuple(wrapped(text, width, "$text-warning")))
        else:
            yield _pair("loss", "Loss attributable to the move", item.spread(result.loss), width, "bold $primary")
            yield _pair("measure", "  measured by", MEASURES[result.measure], width)
            yield _pair("payable", "Payable", item.spread(result.payable), width, "bold")
        left_out = parts.uncounted(item)
        if left_out:
            text = f"{_UNCOUNTED} {'; '.join(left_out)}. {_UNGRADED}"
            yield Row("ungraded", tuple(wrapped(text, width, "$text-warning")))
        for other in item.loss.scenarios[1:]:
            yield _pair("wider", "With all of unknown origin counted", item.spread(other.loss), width)
            yield _pair("wider.measure", "  measured by", MEASURES[other.measure], width)

    def _remarks(self, item: Compared, width: int) -> Iterator[Row]:
        words = [_shown(line)[1] for line in item.loss.remarks if line.defect]
        counts = [f"{words.count(word)} {word}" for word in (*RemarkClass, ABSENT) if word != ABSENT or word in words]
        yield _heading(f"Defects: {', '.join(counts)}", width)
        order = list(_MARKS)
        lines = sorted(
            enumerate(item.loss.remarks), key=lambda pair: (not pair[1].defect, order.index(pair[1].outcome))
        )
        for at, line in lines:
            mark, word, style = _shown(line)
            suspected = line.latest.finding is Finding.SUSPECTED
            origin = ("suspected" if suspected else line.origin.value if line.defect else "").rjust(_ORIGIN)
            text = f"{item.place(line.latest.place)}: {line.latest.text}"
            body = wrapped(text, max(10, width - _CLASS - _ORIGIN - 1), "$foreground")
            head = (f"{mark} {word}".ljust(_CLASS), style)
            gap = " " * max(1, width - _CLASS - body[0].cell_length - _ORIGIN)
            more = (Content.assemble(" " * _CLASS, each) for each in body[1:])
            yield Row(f"remark.{at}", (Content.assemble(head, body[0], gap, (origin, "$quiet")), *more))

    def _parts(self, item: Compared, width: int) -> Iterator[Row]:
        yield _heading("Parts that got worse", width)
        if not item.loss.components:
            yield Row("no-part", tuple(wrapped("None.", width, "$quiet")))
        for part, (*_, checks, _origin) in zip(item.loss.components, parts.component_rows(item), strict=True):
            grades = f"{part.grade_before:.1f} → {part.grade_after:.1f}"
            tail = f"{grades}{part.origin.value.rjust(_ORIGIN)}"
            label = fit(f"▼ {part.label}", max(4, width - cell_len(tail) - 1))
            first = Content.assemble(label, " ", (grades, "bold"), (tail[len(grades) :], "$quiet"))
            by = wrapped(checks, max(10, width - _CLASS), "$quiet")
            yield Row(f"part.{part.component}", (first, *(Content.assemble("  ", each) for each in by)))
        yield Row("same", tuple(wrapped(parts.checks_text(item), width, "$quiet")))

    def _measures(self, item: Compared, width: int) -> Iterator[Row]:
        yield _heading("Repair against diminution", width)
        names = ("established", "all unknown")[: len(item.loss.scenarios)]
        for at, name in enumerate(names):
            if len(names) > 1:
                yield Row(f"counting.{name}", (Content.styled(capital(name), "bold"),), stop=False)
            for row, cells in enumerate(parts.alternative_rows(item)):
                if cells[at + 1] != NOT_KNOWN:
                    yield _pair(f"measure.{name}.{row}", f"  {cells[0]}", cells[at + 1], width)

    def _doubtful(self, item: Compared, width: int) -> Iterator[Row]:
        if not item.loss.doubtful:
            return
        yield _heading("Defects in doubt: payable without and with each", width)
        for at, (place, text, why, without, counted) in enumerate(doubt.doubt_rows(item)):
            said = wrapped(f"{place}: {text} ({why})", width, "$foreground")
            sides = wrapped(f"  {without} → {counted}", width, "bold")
            yield Row(f"doubt.{at}", (*said, *sides))

    def _claim(self, item: Compared, width: int) -> Iterator[Row]:
        yield _heading("From the loss to the amount payable", width)
        for at, (label, text) in enumerate(parts.claim_rows(item)):
            yield _pair(f"claim.{at}", label, text, width)

    def _carriage(self, item: Compared, width: int) -> Iterator[Row]:
        yield _heading("Carriage: where a rule applies", width)
        for limit in item.limits:
            rule = item.tables.carriage_rules[limit.rule]
            text = limit_text(limit, PLAIN) if limit.amount is None else f"{limit.unit} {limit.amount:,.2f} at most"
            yield _pair(f"limit.{limit.rule}", f"{rule.regime} ({rule.standing.value})", text, width)
        if item.delivered is None:
            text = "The day of delivery is not stated, so no time limit is counted."
            yield Row("no-delivery", tuple(wrapped(text, width, "$quiet")))
        for at, each in enumerate(item.deadlines):
            rule = item.tables.carriage_rules[each.rule]
            state = "✗ passed" if each.passed else "open to"
            style = "$text-error" if each.passed else "$text-success"
            label = f"{rule.regime}: {PERIODS[each.concerns]} ({rule.standing.value})"
            yield _pair(f"period.{at}", label, f"{state} {each.last.isoformat()}", width, style)
        yield Row("defer", tuple(wrapped(capital(DEFER) + ".", width, "$text-warning")))

    def _timeline(self, item: Compared, width: int) -> Iterator[Row]:
        yield _heading("Timeline", width)
        for at, line in enumerate(item.timeline):
            text = wrapped(line.what, max(10, width - _WHEN), "$foreground")
            first = Content.assemble((fit(line.when, _WHEN), "$quiet"), text[0])
            yield Row(f"time.{at}", (first, *(Content.assemble(" " * _WHEN, each) for each in text[1:])))

    def _cautions(self, item: Compared, width: int) -> Iterator[Row]:
        yield _heading("Mind", width)
        for at, text in enumerate((*item.limitations, *item.assumptions)):
            yield Row(f"mind.{at}", tuple(wrapped(f"· {text}", width, "$foreground", indent=2)))


def _shown(line: RemarkLine) -> tuple[str, str, str]:
    """Return mark, word and colour for what became of a remark; one not noted again was not seen to be mended."""
    if not line.defect:
        return "·", "none", "$quiet"
    if line.outcome is RemarkClass.MENDED and not line.ticked:
        return "?", ABSENT, "$text-warning"
    mark, style = _MARKS[line.outcome]
    return mark, line.outcome.value, style


def _heading(title: str, width: int, *, first: bool = False) -> Row:
    rule = "─" * max(0, width - cell_len(title) - 1)
    line = Content.assemble((title, "bold $secondary"), " ", (rule, "$faint"))
    return Row(f"heading.{title}", (line,) if first else (Content(""), line), stop=False)


def _pair(key: str, label: str, text: str, width: int, style: str = "$foreground") -> Row:
    """Return a label with what belongs to it at the right, below it where there is no room."""
    label, text = plain(label), plain(text)
    gap = width - cell_len(label) - cell_len(text)
    if gap >= 1:
        return Row(key, (Content.assemble((label, "$foreground"), " " * gap, (text, style)),))
    below = [Content.assemble(" " * max(0, width - each.cell_length), each) for each in wrapped(text, width, style)]
    return Row(key, (*wrapped(label, width, "$foreground", indent=2), *below))
