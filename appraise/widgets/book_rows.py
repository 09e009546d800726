"""The book of sales as rows: the newest sales, the tables beside own sales, the score of past valuations."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from appraise.commands import told
from appraise.evidence.score import FEW, advice
from appraise.report.charts.text import WIDEST, body
from appraise.report.sales import calibrated, moved, three
from appraise.widgets.plain import fit, wrapped
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.evidence.learn import LearnedRow
    from appraise.evidence.sale import Sale
    from appraise.evidence.score import Group
    from appraise.services.learning import BookView
    from appraise.tables.rows import Tables

SALES, LEARNED, SCORE = "sales", "learned", "score"
PARTS = (SALES, LEARNED, SCORE)
"""Parts of the list, in its order; the key of a row begins with that of its part."""
_WIDE = 100
"""Cells from which a sale shows its kind of sale and the grade as well."""


class BookRows(RowList):
    """Three parts, a heading each."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._view: BookView | None = None

    def show(self, view: BookView) -> None:
        """Show what the book says."""
        self._view = view
        self.rebuild()

    @property
    def part(self) -> str:
        """The part under the cursor."""
        return (self.key or SALES).partition(".")[0]

    def go_part(self, step: int) -> None:
        """Go to the first row of the part so many after this one, or of the first or the last part."""
        goal = PARTS[min(len(PARTS) - 1, max(0, PARTS.index(self.part) + step))]
        self.go(f"{goal}.0")
        self.call_after_refresh(self._show_from, f"heading.{goal}")

    def _show_from(self, key: str) -> None:
        """Scroll until a heading stands on top."""
        at = next((at for at, row in enumerate(self._rows) if row.key == key), 0)
        self.scroll_to(y=self._starts[at] + len(self._rows[at].lines) - 1, animate=False)

    @property
    def sale(self) -> Sale | None:
        """The sale under the cursor."""
        return self._view.newest[self._at] if self._view is not None and self.part == SALES and self._at >= 0 else None

    @property
    def learned(self) -> LearnedRow | None:
        """The learned row under the cursor."""
        result = None if self._view is None else self._view.learned
        return result.rows[self._at] if result is not None and self.part == LEARNED and self._at >= 0 else None

    @property
    def _at(self) -> int:
        tail = (self.key or "").partition(".")[2]
        return int(tail) if tail.isdigit() else -1

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        if self._view is None:
            return [Row("wait", (Content.styled("Reading the book …", "$quiet"),), stop=False)]
        width -= 1
        if self._view.wrong:
            return [Row("wrong", tuple(wrapped(self._view.wrong, width, "$text-error")), stop=False)]
        return [
            *self._sales(self._view, width),
            *self._learned(self._view, width),
            *self._score(self._view, width),
        ]

    def _sales(self, view: BookView, width: int) -> Iterator[Row]:
        counted = sum(not sale.withdrawn for sale in view.newest)
        struck = f", {len(view.newest) - counted:,} struck out" if counted < len(view.newest) else ""
        yield _heading(SALES, f"Newest sales: {counted:,} of {view.count:,}{struck}", width)
        wide = width >= _WIDE
        room = width - (88 if wide else 61)
        maker = min(28, room)
        more = f"{'sale':20} {'grade':>5} " if wide else ""
        heads = f"{'date':10} {'kind':8} {'made':5} {fit('maker', maker)} {more}{'price':>14} {'valued at':>19}"
        yield Row("sales.heads", (Content.styled(fit(heads, width), "$quiet"),), stop=False)
        for at, sale in enumerate(view.newest):
            basis = view.tables.bases.get(sale.sale)
            grade = "" if sale.grade is None else f"{sale.grade:g}"
            kind = f"{fit(sale.sale if basis is None else basis.label, 20)} {grade:>5} " if wide else ""
            outside = sale.low is not None and sale.high is not None and not sale.low <= sale.price <= sale.high
            head = f"{sale.date} {fit(sale.kind, 8)} {fit(sale.made, 5)} {fit(sale.maker or '—', maker)} {kind}"
            worth = fit(f"{sale.price:,.0f} {sale.currency}", 14, right=True)
            beside, style = valued(sale) or "—", "$text-warning" if outside else "$quiet"
            if sale.withdrawn:
                beside, style = "struck out", "$text-warning"
            line = Content.assemble(
                (head, "$faint" if sale.withdrawn else "$foreground"),
                (worth, "$faint strike" if sale.withdrawn else "bold $foreground"),
                " ",
                (fit(beside, 19, right=True), style),
            )
            yield Row(f"{SALES}.{at}", (line,))

    def _learned(self, view: BookView, width: int) -> Iterator[Row]:
        yield _heading(LEARNED, "Tables beside your sales", width, gap=True)
        if view.learned is None:
            why = view.not_learned or "No sale tells anything about the market yet."
            yield Row(f"{LEARNED}.0", tuple(wrapped(why, width, "$text-warning")))
            yield from _unused(view, width)
            return
        label = min(34, width - 50)
        heads = f"{fit('row', label)} {'sales':>5}  {'tables':16} {'own sales':16} {'middle':>7}"
        yield Row("learned.heads", (Content.styled(fit(heads, width), "$quiet"),), stop=False)
        for at, row in enumerate(view.learned.rows):
            line = Content.assemble(
                (f"{fit(row.row.label, label)} {row.n:>5,}  ", "$foreground"),
                (fit(three(row.before), 17), "$quiet"),
                (fit(three(row.after), 16), "bold $foreground"),
                (f" {moved(row):>7}", "$secondary"),
            )
            yield Row(f"{LEARNED}.{at}", (line,))
        yield from _unused(view, width)

    def _score(self, view: BookView, width: int) -> Iterator[Row]:
        yield _heading(SCORE, "How past valuations did", width, gap=True)
        groups = view.groups
        if not groups:
            yield Row(f"{SCORE}.0", tuple(wrapped("No sale has the range of its valuation beside its price.", width)))
            return
        for at, line in enumerate(advice(groups[0])):
            yield Row(f"{SCORE}.{at}", tuple(_said(line, width, "$text-success")))
        name = min(30, width - 48)
        heads = f"{fit('sales of', name)} {'n':>6} {'within':>13} {'below':>6} {'above':>6} {'÷ middle':>9}"
        yield Row("score.heads", (Content(""), Content.styled(fit(heads, width), "$quiet")), stop=False)
        for at, group in enumerate(groups):
            within = f"{group.within:,} ({100 * group.within / group.n:.0f} %)"
            counts = f"{group.n:>6,} {within:>13} {group.below:>6,} {group.above:>6,} {group.ratio:>9.2f}"
            lines = [Content.styled(f"{fit(_name(group, view.tables), name)} {counts}", "$foreground")]
            if at and group.n >= FEW:
                lines += [Content.assemble("  ", one) for said in advice(group) for one in _said(said, width - 2)]
            yield Row(f"{SCORE}.group.{at}", tuple(lines))
        drawing = calibrated(groups[0])
        yield Row("score.title", (Content(""), Content.styled(drawing.chart.title, "bold $secondary")), stop=False)
        for at, (line, _) in enumerate(body(drawing, min(width - 1, WIDEST))):
            yield Row(f"{SCORE}.chart.{at}", (Content(line or " "),))
        yield Row("score.caption", tuple(wrapped(drawing.caption, width, "$quiet")), stop=False)


def _said(text: str, width: int, style: str = "$quiet") -> list[Content]:
    return wrapped(text.replace("`appraise sales learn` moves", told("{take-rows} moves")), width, style)


def _name(group: Group, tables: Tables) -> str:
    row = tables.bases.get(group.name) or tables.market_factors.get(group.name)
    return group.name.capitalize() if row is None else row.label


def _unused(view: BookView, width: int) -> Iterator[Row]:
    for at, one in enumerate(view.unused):
        words = f"{one.count:,} sales tell nothing: {one.reason}."
        yield Row(f"{LEARNED}.unused.{at}", tuple(wrapped(words, width, "$quiet")))


def valued(sale: Sale) -> str:
    """Return the range that a sale was valued at, empty where none is known."""
    return "" if sale.low is None or sale.high is None else f"{sale.low:,.0f} – {sale.high:,.0f}"


def _heading(part: str, words: str, width: int, *, gap: bool = False) -> Row:
    rule = "─" * max(0, width - len(words) - 1)
    line = Content.assemble((words, "bold $secondary"), " ", (rule, "$faint"))
    return Row(f"heading.{part}", (Content(""), line) if gap else (line,), stop=False)
