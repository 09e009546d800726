"""The book of sales: the newest sales, what they teach of the tables, how past valuations did."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from textual import on, work
from textual.message import Message

from appraise import commands
from appraise.commands import told
from appraise.evidence.overlay import sales_rows
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, Unreadable
from appraise.screens.entry import EntryScreen
from appraise.screens.list_detail import ListDetailScreen
from appraise.services.learning import BookView, take, view, withdraw
from appraise.services.sales import usual_book
from appraise.widgets.book_rows import LEARNED, BookRows, valued
from appraise.widgets.plain import wrapped
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from appraise.evidence.sale import Sale
    from appraise.tables.rows import Tables


class SalesBookScreen(ListDetailScreen[None]):
    """The book as one list of three parts, and the row under the cursor in full."""

    SCOPE = commands.BOOK
    AUTO_FOCUS = "#book"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012 - declared so by Textual

    @dataclass
    class Seen(Message):
        """The book has been read."""

        found: BookView

    def __init__(self, tables: Tables) -> None:
        """Make the screen.

        Args:
            tables: In force; what is learned is shown beside them.
        """
        super().__init__()
        self._tables = tables
        self._found: BookView | None = None
        self._shown = False
        self._where = ""

    @property
    def settled(self) -> bool:
        """True when what the book says is on the screen."""
        return self._found is not None

    def compose(self) -> ComposeResult:
        """The rows, and one of them in full."""
        yield TitleBar("Sales book")
        yield BookRows(id="book")
        yield from self.compose_below()

    def on_mount(self) -> None:
        """Read the book, aside: it values every sale the first time."""
        self.write()
        try:
            path = usual_book()
        except RuntimeError:
            self._take_seen(self.Seen(BookView(self._tables, wrong="There is no home folder to look for a book in.")))
        except Unreadable as error:
            self._take_seen(self.Seen(BookView(self._tables, wrong=str(error.problems[0]))))
        else:
            self._where = path.name
            self._look(path)

    @work(thread=True, exclusive=True, group="book")
    def _look(self, path: Path) -> None:
        self.post_message(self.Seen(view(path, self._tables)))

    @on(Seen)
    def _take_seen(self, message: Seen) -> None:
        self._found = message.found
        self.query_one(TitleBar).show("Sales book", self._where, f"{message.found.count:,} sales")
        self.query_one(BookRows).show(message.found)
        self.write()

    def write(self) -> None:
        """Say all that is known of the row under the cursor."""
        rows = self.query_one(BookRows)
        self._shown = self._shown or rows.part == LEARNED
        sale, row, width = rows.sale, rows.learned, self.line_width
        if sale is not None:
            basis = self._tables.bases.get(sale.sale)
            parts = (
                sale.sale if basis is None else basis.label,
                sale.maker_class and f"class {sale.maker_class}",
                "" if sale.size_cm is None else f"{sale.size_cm:g} cm",
                "" if sale.grade is None else f"grade {sale.grade:g}",
                sale.withdrawn and f"struck out: {sale.withdrawn}",
                "" if sale.price_new is None else f"new {sale.price_new:,.0f} {sale.currency}",
                f"valued at {valued(sale)}" if valued(sale) else "no valuation",
                sale.case_file or (f"{sale.file}, line {sale.line}" if sale.file else "typed"),
                sale.note,
            )
            self.show_whole(wrapped(" · ".join(filter(None, parts)), width))
        elif row is not None and self._found is not None and self._found.learned is not None:
            learned = self._found.learned
            words = (
                f"{learned.n:,} sales to {learned.until}. Prices against prices new drift by "
                f"{100 * learned.drift:+.1f} ± {100 * learned.drift_sd:.1f} % a year; a sale scatters by "
                f"{100 * learned.sd:.0f} % about its level."
            )
            if learned.assumed:
                words += f" {learned.assumed:,} state no price new and count less."
            points = getattr(row.row, "by_age", ())
            both = [(age, f"{old:.2f}", f"{new:.2f}") for (age, old), (_, new) in zip(points, row.curve, strict=False)]
            curve = ", ".join(f"{age:g} y {old} → {new}" for age, old, new in both if old != new)
            by_age = wrapped(f"Factor by age, where it changes: {curve}", width) if curve else []
            self.show_whole([*wrapped(words, width), *by_age])
        else:
            self.show_whole(
                wrapped(
                    told(
                        "{part-before} and {part-after} go from part to part; "
                        "{take-rows} writes the rows learned from your sales into a folder of tables."
                    ),
                    width,
                    "$quiet",
                )
            )

    def action_part_before(self) -> None:
        """Go to the part before."""
        self.query_one(BookRows).go_part(-1)

    def action_part_after(self) -> None:
        """Go to the part after."""
        self.query_one(BookRows).go_part(1)

    def action_withdraw_sale(self) -> None:
        """Strike the sale under the cursor out, or let it count again."""
        sale = self.query_one(BookRows).sale
        if sale is None:
            self._say("Go to a sale: only a sale can be struck out.", wrong=True)
        elif sale.withdrawn:
            self._withdraw(sale, "")
        else:
            hint = "It stays in the book and counts for nothing; the same key lets it count again."
            line = self.query_one(BookRows).line_of_cursor()
            entry = EntryScreen("Why is it struck out?", _reason, hints=(hint,), line=line)
            self.ask(entry, lambda entered: self._withdraw(sale, *entered))

    def _withdraw(self, sale: Sale, why: str) -> None:
        try:
            path = usual_book()
            withdraw(path, sale, why)
        except (InputError, Unreadable) as error:
            self._say(str(error.problems[0] if isinstance(error, Unreadable) else error), wrong=True)
            return
        self._say(f"Struck out: {sale.date}, {sale.kind}." if why else f"Counts again: {sale.date}, {sale.kind}.")
        self._look(path)

    def action_take_rows(self) -> None:
        """Write the learned rows into a folder of tables, once they have been shown."""
        if self._found is None or self._found.learned is None:
            self._say("There is nothing to take yet: no row was learned.", wrong=True)
            return
        if not self._shown:
            self.query_one(BookRows).go(f"{LEARNED}.0")
            self.write()
            self._say(told("These are the rows; {take-rows} again takes them."))
            return

        def parse(text: str) -> Path:
            if not text.strip():
                raise InputError("nothing", "a folder")
            return Path(text.strip()).expanduser()

        known = self.application.own_tables
        hint = "Made where there is none. Rows of your own in it stay, and win."
        line = self.query_one(BookRows).line_of_cursor()
        text = "" if known is None else str(known)
        entry = EntryScreen("Folder of tables", parse, text=text, hints=(hint,), line=line)
        self.ask(entry, lambda entered: self._take(*entered))

    def _take(self, folder: Path) -> None:
        if self._found is None or self._found.learned is None:
            return
        try:
            left = take(*sales_rows(self._found.learned), folder)
        except Unreadable as error:
            self._say(str(error.problems[0]), wrong=True)
            return
        more = f"; your own rows stay: {', '.join(left)}" if left else ""
        self._say(
            f"Taken into {folder}{more}. "
            f"Cases here go on with the rows they were opened with: open the worksheet again with --tables {folder}."
        )

    def _say(self, words: str, *, wrong: bool = False) -> None:
        self.notify(words, severity="error" if wrong else "information", timeout=8, markup=False)

    def action_back(self) -> None:
        """Close the book."""
        self.dismiss(None)


def _reason(text: str) -> str:
    if not text.strip():
        raise InputError("nothing", "a reason, such as: entered twice")
    return text
