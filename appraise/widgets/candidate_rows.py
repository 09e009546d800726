"""Trade-in candidates as a table: a heading that takes clicks, a line for each, the files left out below."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from rich.cells import cell_len
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN
from appraise.model.ranking import COURSES
from appraise.report.ranking import amount, called, named, unstated
from appraise.report.ranking_explanation import marks
from appraise.widgets.plain import fit, plain
from appraise.widgets.row_list import Later, Row, RowList

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from textual import events

    from appraise.services.ordering import Ordered

_MARK = 2
_NAME = 12
"""Cells that the name keeps however narrow the screen."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the table."""

    order: str
    """Word of `ordering.SORTS` that puts by it; empty where none does."""
    heading: str
    width: int
    least: int = 0
    """Cells of a screen from which it is shown."""


_WIDE, _WIDEST = 100, 112

COLUMNS: tuple[Column, ...] = (
    Column("offer", "Offer", 11),
    Column("resale", "Resale", 8),
    Column("work", "Work", 8),
    Column("carriage", "Carriage", 9, _WIDEST),
    Column("preparation", "Prep.", 8, _WIDEST),
    Column("guarantee", "Guarantee", 10, _WIDEST),
    Column("holding", "Holding", 8, _WIDEST),
    Column("margin", "Margin", 8),
    Column("risk", "Risk", 6),
    Column("months", "Months", 7),
    Column("", "Course", 12, _WIDE),
)
"""The columns behind the name, from left to right."""

NAME = Column("file", "Candidate", 0)
"""The first, as wide as there is room; in its order stand the files."""

_FIRST_TO_GO = ("work", "margin", "months")
"""Columns that make room on a narrow screen, one after the other: the lines below the table say them."""


def shown_columns(width: int) -> tuple[Column, ...]:
    """Return the columns for a width, the name first; where there is no room for all, what is cut off is chosen."""
    rest = [column for column in COLUMNS if width >= column.least]
    for order in _FIRST_TO_GO:
        if width - _MARK - sum(column.width for column in rest) < _NAME:
            rest = [column for column in rest if column.order != order]
    room = width - _MARK - sum(column.width for column in rest)
    return (Column(NAME.order, NAME.heading, max(_NAME, room)), *rest)


class CandidateHeading(Widget):
    """The names of the columns; the one that the order goes by is marked, a click takes another."""

    DEFAULT_CSS = """
    CandidateHeading { height: 1; color: $quiet; }
    """

    @dataclass
    class Picked(Message):
        """A person clicked on a column."""

        order: str

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._order, self._down = "", True

    def show(self, order: str, *, down: bool) -> None:
        """Mark the column of an order, and whether the greatest stands first."""
        self._order, self._down = order, down
        self.refresh()

    def _columns(self) -> tuple[Column, ...]:
        # One cell for the cursor's mark at the left, one for the scroll bar at the right, as the rows have them.
        return shown_columns(max(1, self.content_size.width - 2))

    def render(self) -> Content:
        """Draw the names."""
        pieces: list[str | Content | tuple[str, str]] = [" " * (_MARK + 1)]
        for at, column in enumerate(self._columns()):
            here = bool(column.order) and column.order == self._order
            text = f"{('▼' if self._down else '▲') if here else ''}{column.heading}"
            style = "bold $primary" if here else "$quiet"
            pieces.append((fit(text, column.width) if not at else _right(text, column), style))
        return Content.assemble(*pieces)

    def on_click(self, event: events.Click) -> None:
        """Say which column was meant."""
        at = event.x - _MARK - 1
        for column in self._columns():
            if 0 <= at < column.width and column.order:
                self.post_message(self.Picked(column.order))
                return
            at -= column.width


def _right(text: str, column: Column) -> str:
    return fit(text, column.width, right=True) if column.order else "  " + fit(text, column.width - 2)


class CandidateRows(RowList):
    """Candidates in order; each line is made when it is drawn, so that thousands are as quick as ten."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._ranking: Ordered | None = None
        self._places: Sequence[int] = ()
        self._marks: Mapping[int, str] = {}
        self._left_out: Mapping[int, str] = {}
        self._groups: Sequence[tuple[str, int]] = ()

    def show(
        self,
        ranking: Ordered,
        places: Sequence[int],
        marks: Mapping[int, str],
        left_out: Mapping[int, str],
        *,
        groups: Sequence[tuple[str, int]] = (),
        keep: str | None = None,
    ) -> None:
        """Show candidates.

        Args:
            ranking: Where they are.
            places: Their places in it, in order.
            marks: A letter for those that are chosen, by place.
            left_out: Why a file was left out, by place.
            groups: What each group of them is headed with, and how many are in it; none: they are one.
            keep: The row that the cursor goes to; none: it stays on its own.
        """
        self._ranking, self._places, self._marks, self._left_out = ranking, places, marks, left_out
        self._groups = groups
        self.rebuild(keep=keep)

    @property
    def place(self) -> int | None:
        """Place of the candidate or the file under the cursor."""
        return int(self.key) if self.key is not None and self.key.isdigit() else None

    def rows(self, width: int) -> Sequence[Row]:
        """Return a line for each candidate, then those for the files left out."""
        columns = shown_columns(width - 1)
        results = [Row(str(place), Later(partial(self._line, place, columns))) for place in self._places]
        at = len(results)
        for name, count in reversed(self._groups):
            at -= count
            words = Content.styled(fit(f"In {name}: {PLAIN.number(count, 0)}", width - 1), "bold $secondary")
            results.insert(max(0, at), Row(f"group {name}", (words,), stop=False))
        if self._left_out:
            title = f"Left out: {PLAIN.number(len(self._left_out), 0)}"
            gap = [Row("gap", (Content(""),), stop=False)] if results else []
            heading = Row("left out", (Content.styled(fit(title, width - 1), "bold $secondary"),), stop=False)
            wrong = [Row(str(place), Later(partial(self._wrong, place, columns))) for place in sorted(self._left_out)]
            results += [*gap, heading, *wrong]
        return results

    def _wrong(self, place: int, columns: Sequence[Column]) -> Content:
        room = sum(column.width for column in columns)
        return Content.assemble(("✗ ", "$text-error"), (fit(self._left_out.get(place, ""), room), "$text-error"))

    def _line(self, place: int, columns: Sequence[Column]) -> Content:
        row = None if self._ranking is None else self._ranking.row(place)
        if row is None:
            return Content("")
        letter = self._marks.get(place, "")
        pieces: list[str | Content | tuple[str, str]] = [(fit(letter, _MARK), "bold $secondary")]
        for column in columns:
            if column.order == NAME.order:
                pieces += _named(row, column.width)
                continue
            text, style = _cell(row, column)
            pieces.append((_right(text, column), style))
        return Content.assemble(*pieces)


def _named(row: Mapping[str, Any], width: int) -> list[tuple[str, str]]:
    """Return what a candidate is called, the mark of a quick look, and the file where there is room for all of it."""
    name, mark = called(dict(row)), ""
    if words := marks(dict(row)):
        least = f" {_LEAST.get(words[0], _SHORT.get(words[0], words[0]))}"
        texts = (f" {' · '.join(words)}", "".join(f" {_SHORT.get(word, word)}" for word in words), least)
        # Where there is room for one mark alone it is the gravest; the lines below the table say all of them.
        mark = next((text for text in texts if cell_len(name) + cell_len(text) <= width), least)
    file = f"  {plain(named(dict(row)))}"
    room = width - cell_len(mark)
    if cell_len(name) + cell_len(file) > room:
        return [(fit(name, max(1, room)), "$foreground"), (mark, "$text-warning")]
    return [(plain(name), "$foreground"), (mark, "$text-warning"), (fit(file, room - cell_len(name)), "$quiet")]


_SHORT = {
    "preliminary": "prelim.",
    "another basis": "basis≠",
    "after a loss": "after loss",
    "before a loss": "no loss",
}
_LEAST = {"another basis": "≠", "after a loss": "≠", "before a loss": "≠"}
"""Marks of a row that has no room for the short ones."""
_COSTS = ("carriage", "preparation", "guarantee", "holding")


def _cell(row: Mapping[str, Any], column: Column) -> tuple[str, str]:
    match column.order:
        case "offer":
            offer = f"{row['currency']} {amount(row['offer'])}"
            return offer, "bold $primary" if row["offer"] >= 0 else "bold $text-error"
        case "risk":
            return f"{PLAIN.number(row['loss_risk_pct'])}%", "$foreground"
        case "months":
            months = row["next_intervention_months"]
            return "–" if months is None else PLAIN.number(months, 0), "$foreground"
        case "":
            return COURSES[row["course"]], "$quiet"
        case key:
            if unstated(dict(row), key):
                return "–", "$quiet"
            return amount(row[key]), "$quiet" if key in _COSTS else "$foreground"
