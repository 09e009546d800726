"""Like sales of the book for a case: proposed, struck out one by one, taken as comparables at a key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on, work
from textual.message import Message

from appraise.commands import LIKE, key_of, told
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN
from appraise.model.problem import InputError, Unreadable
from appraise.report.value_texts import outlying_text
from appraise.screens.ask import ask_what_becomes
from appraise.screens.list_detail import ListDetailScreen
from appraise.services.like_sales import adjustments, likes, with_comparables
from appraise.services.sales import usual_book
from appraise.widgets.like_rows import LikeRows
from appraise.widgets.plain import wrapped
from appraise.widgets.row_list import RowList
from appraise.widgets.title_bar import TitleBar

if TYPE_CHECKING:
    from textual.app import ComposeResult

    from appraise.evidence.like import Likes
    from appraise.model.case import Case
    from appraise.services.case_session import CaseSession


class LikeSalesScreen(ListDetailScreen[None]):
    """The sales nearest to the case, and the one under the cursor in full."""

    SCOPE = LIKE
    AUTO_FOCUS = "#likes"

    @dataclass
    class Seen(Message):
        """The book has been compared with the case."""

        found: Likes | None
        wrong: str

    def __init__(self, worksheet: CaseSession) -> None:
        """Make the screen.

        Args:
            worksheet: Whose case takes the sales that are ticked, as one edit.
        """
        super().__init__()
        self._worksheet = worksheet
        self._found: Likes | None = None
        self._done = False

    @property
    def settled(self) -> bool:
        """True when what the book has is on the screen."""
        return self._done

    def compose(self) -> ComposeResult:
        """The rows, and one of them in full."""
        yield TitleBar("Like sales")
        yield LikeRows(self._worksheet.tables, id="likes")
        yield from self.compose_below()

    def on_mount(self) -> None:
        """Compare, aside: the case is valued first where it has not been."""
        self.write()
        self._look(self._worksheet.case)

    @work(thread=True, exclusive=True, group="likes")
    def _look(self, case: Case) -> None:
        sheet, result, wrong = self._worksheet, None, ""
        try:
            result = likes(case, sheet.valuation, sheet.path, usual_book(), sheet.tables)
        except RuntimeError:
            wrong = "There is no home folder to look for a book in."
        except (InputError, Unreadable) as error:
            wrong = str(error.problems[0] if isinstance(error, Unreadable) else error)
        self.post_message(self.Seen(result, wrong))

    @on(Seen)
    def _take_seen(self, message: Seen) -> None:
        self._found, self._done = message.found, True
        count = "" if message.found is None else f"{len(message.found.found):,} like sales"
        book = "" if message.found is None else message.found.book
        self.query_one(TitleBar).show("Like sales", book, count)
        self.query_one(LikeRows).show(message.found, message.wrong)
        self.write()

    def write(self) -> None:
        """Say what the sale under the cursor would be adjusted for."""
        one, width = self.query_one(LikeRows).current, self.line_width
        if one is None:
            words = told(
                "{strike-out} strikes a sale out or ticks it; "
                "{take-sales} makes the ticked ones comparables of the case."
            )
            self.show_whole(wrapped(words, width, "$quiet"))
            return
        sale = one.sale
        basis = self._worksheet.tables.bases.get(sale.sale)
        parts = (
            sale.sale if basis is None else basis.label,
            sale.maker_class and f"class {sale.maker_class}",
            "" if sale.size_cm is None else f"{sale.size_cm:g} cm",
            "" if sale.price_new is None else f"new {sale.price_new:,.0f} {sale.currency}",
            sale.case_file or (f"{sale.file}, line {sale.line}" if sale.file else "typed"),
            sale.note,
        )
        adjusted = f"Adjusted for: {adjustments(one)}."
        odd = [] if one.outlying is None else wrapped(outlying_text(one.outlying, PLAIN), width, "$text-warning")
        self.show_whole([*odd, *wrapped(adjusted, width), *wrapped(" · ".join(filter(None, parts)), width, "$quiet")])

    @on(RowList.Chosen)
    def _chosen(self) -> None:
        self.action_strike_out()

    def action_strike_out(self) -> None:
        """Strike out the sale under the cursor, or tick it again."""
        self.query_one(LikeRows).turn_over()

    def action_take_sales(self) -> None:
        """Make the ticked sales comparables of the case, and close."""
        taken, sheet = self.query_one(LikeRows).taken, self._worksheet
        if self._found is None or not taken:
            self.say("No sale is ticked: Space ticks the one under the cursor.", wrong=True)
            return
        try:
            sheet.change(with_comparables(sheet.case, taken, self._found.book), "comparables from the sales book")
        except InputError as refused:
            self.say(str(refused), wrong=True)
            return
        if sheet.read_only:
            return
        count = f"{len(taken)} sale{'' if len(taken) == 1 else 's'}"
        self.say(f"{count} of the book among the comparables; {key_of('undo')} takes them back.")
        self.dismiss(None)

    @property
    def unfinished(self) -> bool:
        """True while other sales are ticked than were proposed."""
        return self.query_one(LikeRows).changed

    def ask_unfinished(self) -> None:
        """Ask what becomes of the ticks."""
        ask_what_becomes(
            self, "The sales you ticked are not taken yet.", "Take them", self.action_take_sales, stay="Tick on"
        )

    def action_back(self) -> None:
        """Close; nothing is taken. Other ticks than the proposed ones are asked about."""
        if self.unfinished:
            self.ask_unfinished()
        else:
            self.dismiss(None)
