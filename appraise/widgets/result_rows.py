"""The result as rows: value and where it comes from, work, approaches, comparables, reasons, what was not seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from appraise.commands import key_of
from appraise.explain.terms import APPROACHES, FEATURES, driver_label, missing_cost, weighting
from appraise.model.locale_format import PLAIN
from appraise.model.result import WorkList
from appraise.report.value_texts import (
    COURSES,
    first_costs_text,
    job_text,
    list_title,
    market_sentences,
    no_work_text,
    option_text,
    outlying_text,
    total,
    work_lists,
)
from appraise.widgets.marks import string_bar, years_left
from appraise.widgets.plain import fit, plain, wrapped
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from appraise.model.case import Case
    from appraise.model.reason import Sentence
    from appraise.model.result import Range, Valuation, WorkItem
    from appraise.tables.rows import Tables


WIDEST = 92
"""Cells beyond which a line is tiring to read."""


_STYLES = {WorkList.NEEDED: "$text-warning", WorkList.PAYS: "$text-success", WorkList.PLAYER: "$foreground"}
"""Colours of the three lists of work."""


class ResultRows(RowList):
    """Every figure of the result, each with its address, so that “why?” can be asked of it."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._about: tuple[Case, Tables, Valuation] | None = None
        self._sentences: Sequence[Sentence] = ()
        self._cautions: Sequence[str] = ()
        self._figures: dict[str, str] = {}
        self._known: frozenset[str] = frozenset()

    def show(
        self,
        case: Case,
        tables: Tables,
        valuation: Valuation,
        sentences: Sequence[Sentence],
        cautions: Sequence[str],
        known: frozenset[str],
    ) -> None:
        """Show a result.

        Args:
            case: The case.
            tables: The reference tables.
            valuation: What the engine made of it.
            sentences: Why, in words.
            cautions: Those that apply.
            known: Addresses of the figures that have a reason.
        """
        self._known = known
        self._about, self._sentences, self._cautions = (case, tables, valuation), sentences, cautions
        self.rebuild()

    @property
    def figure(self) -> str | None:
        """Address of the figure under the cursor."""
        return None if self.key is None else self._figures.get(self.key)

    def rows(self, width: int) -> Sequence[Row]:
        """Return every section."""
        if self._about is None:
            return ()
        self._figures = {}
        width = min(width - 2, WIDEST)
        case, tables, valuation = self._about
        rows: list[Row] = []
        rows += self._value(case, tables, valuation, width)
        rows += self._work(case, valuation, width)
        rows += self._sentence_rows(width)
        rows += self._approaches(valuation, width)
        rows += self._grid(valuation, width)
        rows += self._drivers(case, tables, valuation, width)
        rows += self._unseen(valuation, width)
        rows += self._caution_rows(width)
        return rows

    # -- sections ------------------------------------------------------------------------------------

    def _value(self, case: Case, tables: Tables, valuation: Valuation, width: int) -> Iterable[Row]:
        basis = tables.bases.get(valuation.basis)
        yield _heading("Value", width)
        if valuation.value is None:
            yield self._row(
                "no-value",
                wrapped(f"No value: {missing_cost(case, PLAIN)} ({key_of('particulars')}).", width, "$text-warning"),
            )
        else:
            yield self._big(case, valuation, width)
        if basis is not None:
            yield self._row(
                "basis", wrapped(f"Basis: {basis.label}. {basis.definition}", width, "$quiet"), "basis_factor"
            )
        for figure, label in COURSES.items():
            money: Range | None = getattr(valuation, figure)
            if money is not None:
                mark = "◆ " if valuation.best == figure else "  "
                yield self._pair(figure, mark + label, _money(money, valuation), width, strong=valuation.best == figure)
        yield self._pair("share_of_new", "  Share of cost new left", _percents(valuation.share_of_new), width)
        source = "comparables" if valuation.market_factor_from == "comparables" else "the table"
        factor = valuation.market_factor
        yield self._pair(
            "market_factor",
            f"  Market factor, from {source}",
            f"{factor.mid:.2f} ({factor.low:.2f}–{factor.high:.2f})",
            width,
        )
        if valuation.value is not None:
            yield self._pair("market_age", "  Market age", PLAIN.years(valuation.market_age), width)
        for address, name, share in (
            ("renewal", "  Renewals, on the market factor", valuation.renewal),
            ("appearance", "  Appearance", valuation.appearance),
            ("usability", "  Usability of the whole", valuation.usability),
        ):
            if address == "usability" or round(share, 2) != 1.0:
                yield self._pair(address, name, f"{share:.2f}", width)
        coming = valuation.next_intervention
        if coming is not None:
            text = years_left(coming.years)
            yield self._pair("next_intervention", f"  Next large job, likely {coming.label.lower()}", text, width)
        result = market_sentences(case, tables, valuation, PLAIN)
        addresses = {first_costs_text(tables, valuation, PLAIN): "taking", option_text(valuation, PLAIN): "option"}
        for at, text in enumerate(result):
            address = addresses.get(text, "market_factor")
            yield self._row(f"market.{at}", _set_in(text, width, 2), address)

    def _big(self, case: Case, valuation: Valuation, width: int) -> Row:
        value = valuation.value
        assert value is not None  # noqa: S101 - asked only when there is a value
        top = max(case.market.cost_new or 0.0, value.high) or 1.0
        first = Content.assemble(
            (f"{valuation.currency} {PLAIN.whole(value.low)} – {PLAIN.whole(value.high)}", "bold $primary"),
            (f"   best estimate {PLAIN.whole(value.mid)}", "bold"),
        )
        bar = string_bar(min(width, 72), value.low, value.mid, value.high, (min(0.0, value.low), top))
        return self._row("value", [first, bar], "value")

    def _work(self, case: Case, valuation: Valuation, width: int) -> Iterable[Row]:
        yield _heading("Work", width)
        none = no_work_text(case, valuation, PLAIN)
        if none:
            yield self._row("no-work", wrapped(none, width, "$quiet"))
            return
        head = _columns("", "hours", "cost", "adds", width)[max(0, width - 36) :]
        for group, items in work_lists(valuation).items():
            if not items:
                continue
            line = Content.assemble((fit(list_title(valuation, group), max(0, width - 36)), "bold"), (head, "$quiet"))
            yield Row(f"group.{group}", (line,), stop=False)
            for item in items:
                yield self._work_row(item, width)
            if len(items) > 1:
                together = fit(PLAIN.about(total(items)), 12, right=True)
                text = fit("  Together", max(0, width - 24)) + together
                yield Row(f"together.{group}", (Content.styled(text, "bold"),), stop=False)
        if valuation.plan_cost is not None:
            whole = _money(valuation.plan_cost, valuation)
            yield self._pair("plan_cost", "  Work counted in the value after work (✓)", whole, width)

    def _work_row(self, item: WorkItem, width: int) -> Row:
        mark = "▲" if item.safety else "✓" if item.chosen else "·"
        text = _columns(
            f"{mark} {job_text(item, PLAIN)}",
            f"{item.hours.mid:.1f}",
            PLAIN.about(item.cost.mid),
            "a step" if item.step else PLAIN.about(item.value_added),
            width,
        )
        lines = [Content.styled(text, _STYLES[item.group])]
        if item.group is WorkList.NEEDED and item.if_left:
            lines += _set_in(f"If not done: {PLAIN.small(item.if_left)}", width, 4)
        return self._row(f"work.{item.remedy}", lines, f"work.{item.remedy}.value_added")

    def _sentence_rows(self, width: int) -> Iterable[Row]:
        yield _heading("Reasons", width)
        for at, sentence in enumerate(self._sentences):
            style = "$text-warning" if sentence.topic == "caution" else "$foreground"
            figures = sentence.figures
            yield self._row(f"sentence.{at}", wrapped(sentence.text, width, style), figures[0] if figures else None)

    def _approaches(self, valuation: Valuation, width: int) -> Iterable[Row]:
        yield _heading("Approaches", width)
        for approach in valuation.approaches:
            figure = f"approach.{approach.approach}"
            if approach.used:
                text = f"{_money(approach.value, valuation)}  weight {approach.weight:.0%}"
                yield self._pair(figure, f"  {APPROACHES[approach.approach]}", text, width)
            else:
                yield self._pair(figure, f"  {APPROACHES[approach.approach]}", "not used", width)
            if reason := weighting(approach):
                yield self._row(f"{figure}.reason", wrapped(f"    {reason}", width, "$quiet", indent=4), figure)

    def _grid(self, valuation: Valuation, width: int) -> Iterable[Row]:
        if not valuation.grid:
            return
        yield _heading("Comparables", width)
        head = _columns("", "price", "adjusted", "weight", width)
        yield Row("grid.head", (Content.styled(head, "$quiet"),), stop=False)
        for at, line in enumerate(valuation.grid, 1):
            doubted = line.flagged or line.outlying is not None
            mark = "▲" if doubted else " "
            text = _columns(
                f"{mark} {line.label}", PLAIN.whole(line.price), PLAIN.about(line.adjusted), f"{line.weight:.0%}", width
            )
            lines = [Content.styled(text, "$text-warning" if doubted else "$foreground")]
            steps = " · ".join(f"{FEATURES[name]} {money:+,.0f}" for name, money in line.steps)
            note = f"    gross {line.gross_pct:.0f}%, net {line.net_pct:+.0f}%" + (f": {steps}" if steps else "")
            lines += wrapped(note + ("  over the stated limit" if line.flagged else ""), width, "$quiet", indent=4)
            if line.outlying is not None:
                lines += wrapped(f"    {outlying_text(line.outlying, PLAIN)}", width, "$text-warning", indent=4)
            yield self._row(f"comparable.{at}", lines, f"comparable.{at}")

    def _drivers(self, case: Case, tables: Tables, valuation: Valuation, width: int) -> Iterable[Row]:
        yield _heading("Causes of the width of the range", width)
        for driver in valuation.drivers[:8]:
            bar = "▬" * max(1, round(driver.share * 20))
            label = fit(f"  {driver_label(driver.input, case, tables)}", max(0, width - 28))
            line = Content.assemble(label, (fit(bar, 21), "$primary"), (f"{driver.share:5.0%}", "bold"))
            yield self._row(driver.address, [line], driver.address)

    def _unseen(self, valuation: Valuation, width: int) -> Iterable[Row]:
        unseen = [part for station in valuation.stations for part in station.components if part.inspected <= 0]
        looked = 0 if self._about is None else len(self._about[0].preliminary)
        yield _heading("Not inspected", width)
        if not unseen:
            result, style = "Every component has been inspected.", "$text-success"
            if looked:
                result, style = f"{looked} parts were graded at a quick look only.", "$text-warning"
            yield self._row("all-seen", wrapped(result, width, style))
        for part in unseen:
            text = f"expected {part.expected_grade:.1f} for its age"
            yield self._pair(f"{part.component}.grade", f"  {part.label}", text, width)

    def _caution_rows(self, width: int) -> Iterable[Row]:
        if self._cautions:
            yield _heading("Cautions", width)
        for at, text in enumerate(self._cautions):
            yield self._row(f"caution.{at}", wrapped(f"▲ {text}", width, "$text-warning", indent=2))

    # -- pieces --------------------------------------------------------------------------------------

    def _row(self, key: str, lines: Iterable[Content], figure: str | None = None) -> Row:
        if figure is not None and figure in self._known:
            self._figures[key] = figure
        return Row(key, tuple(lines))

    def _pair(self, figure: str, label: str, text: str, width: int, *, strong: bool = False) -> Row:
        label = plain(label)
        style = "bold" if strong else "$foreground"
        room = min(width, 76)
        if cell_len(label) + cell_len(text) + 1 <= room:
            gap = " " * (room - cell_len(label) - cell_len(text))
            return self._row(figure, [Content.assemble((label, style), gap, (text, style))], figure)
        return self._row(
            figure, [*wrapped(label, width, style), Content.styled(fit(text, room, right=True), style)], figure
        )


def _set_in(text: str, width: int, cells: int) -> list[Content]:
    """Return a paragraph in quiet letters, every line of it set in."""
    return [Content.assemble(" " * cells, line) for line in wrapped(text, width - cells, "$quiet")]


def _heading(title: str, width: int) -> Row:
    rule = "─" * max(0, width - cell_len(title) - 1)
    line = Content.assemble((title, "bold $secondary"), " ", (rule, "$faint"))
    return Row(f"heading.{title}", (Content(""), line) if title != "Value" else (line,), stop=False)


def _columns(label: str, first: str, second: str, third: str, width: int) -> str:
    return (
        fit(label, max(0, width - 36))
        + fit(first, 12, right=True)
        + fit(second, 12, right=True)
        + fit(third, 12, right=True)
    )


def _money(money: Range, valuation: Valuation) -> str:
    return f"{valuation.currency} {PLAIN.about(money.mid)} ({PLAIN.about(money.low)} – {PLAIN.about(money.high)})"


def _percents(share: Range) -> str:
    return f"{share.mid:.0%} ({share.low:.0%}–{share.high:.0%})"
