"""Like sales of the book as rows: ticked to be taken or struck out, the nearest first, and what does not count."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from appraise.services.like_sales import SHOWN, unused_lines
from appraise.widgets.plain import fit, wrapped
from appraise.widgets.row_list import Row, RowList

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.evidence.like import Like, Likes
    from appraise.tables.rows import Tables

_WIDE = 100
"""Cells from which a sale shows its size and kind of sale as well."""


class LikeRows(RowList):
    """A line a sale, and below them a line for each reason why others do not count."""

    def __init__(self, tables: Tables, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._tables = tables
        self._found: Likes | None = None
        self._wrong = ""
        self._taken: set[int] = set()

    def show(self, likes: Likes | None, wrong: str = "") -> None:
        """Show what was found, the proposed ones ticked; or why nothing can be."""
        self._found, self._wrong = likes, wrong
        self._taken = set(range(likes.proposed)) if likes is not None else set()
        self.rebuild()

    @property
    def _at(self) -> int:
        tail = (self.key or "").partition(".")[2]
        return int(tail) if tail.isdigit() else -1

    @property
    def current(self) -> Like | None:
        """The sale under the cursor."""
        return self._found.found[self._at] if self._found is not None and self._at >= 0 else None

    @property
    def taken(self) -> list[Like]:
        """The sales that are ticked, the nearest first."""
        return [] if self._found is None else [self._found.found[at] for at in sorted(self._taken)]

    @property
    def changed(self) -> bool:
        """True if the ticks differ from the proposal."""
        return self._found is not None and self._taken != set(range(self._found.proposed))

    def turn_over(self) -> None:
        """Strike out the sale under the cursor, or tick it again."""
        if self._at >= 0:
            self._taken ^= {self._at}
            self.rebuild()

    def rows(self, width: int) -> Sequence[Row]:
        """Return the rows at this width."""
        if self._wrong:
            return [Row("wrong", tuple(wrapped(self._wrong, width - 1, "$text-error")), stop=False)]
        if self._found is None:
            return [Row("wait", (Content.styled("Comparing with the book …", "$quiet"),), stop=False)]
        return list(self._proposed(self._found, width - 1))

    def _proposed(self, likes: Likes, width: int) -> Iterator[Row]:
        wide = width >= _WIDE
        room = width - (79 if wide else 51)
        heads = f"    {'distance':>8}  {'day':10} {fit('maker', room)} {'made':5} {'grade':>5} "
        heads += f"{'size':>6} {'kind of sale':20} " if wide else ""
        yield Row("heads", (Content.styled(fit(f"{heads}{'price':>13}", width), "$quiet"),), stop=False)
        limit = self._tables.setting("gross_limit_pct") / 100.0
        for at, one in enumerate(likes.found[:SHOWN]):
            sale, basis = one.sale, self._tables.bases.get(one.sale.sale)
            size = "" if sale.size_cm is None else f"{sale.size_cm:g}"
            more = f"{size:>6} {fit(sale.sale if basis is None else basis.label, 20)} " if wide else ""
            grade = "" if sale.grade is None else f"{sale.grade:g}"
            ticked = at in self._taken
            mark = "▲ " if one.outlying is not None else "  "
            line = Content.assemble(
                ("[x] " if ticked else "[ ] ", "$text-success" if ticked else "$faint"),
                (f"{100 * one.distance:6.0f} %", "$text-warning" if one.distance > limit else "$foreground"),
                (mark, "$text-warning"),
                (f"{sale.date} {fit(sale.maker or '—', room)} {fit(sale.made, 5)} {grade:>5} {more}", "$foreground"),
                (fit(f"{sale.price:,.0f} {sale.currency}", 13, right=True), "bold $foreground"),
            )
            yield Row(f"like.{at}", (line,))
        if not likes.found:
            words = "No sale of the book can stand beside this instrument."
            yield Row("none", tuple(wrapped(words, width, "$text-warning")), stop=False)
        notes = [f"{likes.there:,} are comparables of the case already."] if likes.there else []
        if len(likes.found) > SHOWN:
            notes.append(f"The nearest {SHOWN} of {len(likes.found):,} are shown.")
        for at, words in enumerate([*notes, *unused_lines(likes.unused)]):
            lines = wrapped(words, width, "$quiet", indent=2)
            yield Row(f"note.{at}.", tuple([Content(""), *lines] if at == 0 else lines))
