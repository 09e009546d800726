"""Candidates as a table for people, and what its reader must know."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from rich import box
from rich.cells import cell_len
from rich.table import Table
from rich.text import Text

from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.message import message
from appraise.model.ranking import COSTS, COURSES
from appraise.report.ranking import apart, called, from_tables, named, unstated
from appraise.report.ranking_explanation import converted, is_converted, marks

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    Row = dict[str, Any]

HEADINGS = {
    "offer": message("Offer up to"),
    "resale": message("Resale"),
    "work": message("Work"),
    "carriage": message("Carriage"),
    "preparation": message("Preparation"),
    "guarantee": message("Guarantee"),
    "holding": message("Holding"),
    "margin": message("Margin"),
    "share_of_retail": message("Usual share"),
    "loss_risk_pct": message("Risk"),
    "next_intervention_months": message("Months to\nlarge job"),
    "course": message("Course"),
}
"""Of the columns of the table for people."""

_TOGETHER = (
    ("offer", "margin", "course"),
    ("resale", "work", "share_of_retail"),
    ("carriage", "preparation", "guarantee"),
    ("holding", "loss_risk_pct", "next_intervention_months"),
)
"""Figures that stand under one another where a line has no room for a column each."""

_NAME = 24
"""Least cells for the name of a candidate where every figure has a column of its own."""
_APART, _CLOSE = 3, 2
"""Cells between columns of one figure, and of several under one another."""
HARDLY_PCT = 50.0
"""An instrument of which less has been inspected is named below the table [% of what can be checked]."""
_NAMED = 3
_MONEY = ("resale", "work", "carriage", "preparation", "guarantee", "holding", "margin", "share_of_retail")


def table(rows: Sequence[Row], manner: Formatter = PLAIN, *, width: int) -> Table:
    """Return the ranking for people, best first as it comes; files by name alone where that tells them apart.

    Where a line has no room for every column, three figures stand under one another in each.

    Args:
        rows: As from `flat`.
        manner: How the reader gets figures and words.
        width: Cells of a line.
    """
    single = _figures(rows, [(key,) for key in HEADINGS], manner)
    if width >= _NAME + _taken(single, _APART):
        return _table(rows, single, manner, _APART, width)
    return _table(rows, _figures(rows, _TOGETHER, manner), manner, _CLOSE, width)


def _table(rows: Sequence[Row], columns: Sequence[Sequence[Text]], manner: Formatter, gap: int, width: int) -> Table:
    names = Counter(named(row) for row in rows)
    shown = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, gap - 2))
    shown.add_column("", justify="right", no_wrap=True)
    room = max(1, width - _taken(columns, gap))
    whole = max(
        (cell_len(part) for row in rows for part in (called(row, manner), _where(row, names, manner))), default=0
    )
    shown.add_column(manner.say("Candidate"), overflow="fold", width=min(room, max(_NAME, whole)))
    for heading, *figures in columns:
        words = heading.plain == manner.say(HEADINGS["course"])
        shown.add_column(heading, justify="left" if words else "right", width=_widest((heading, *figures)))
    for at, row in enumerate(rows):
        name = Text.assemble((called(row, manner), "bold"), "\n", (_where(row, names, manner), "dim"))
        if rate := converted(row, manner):
            name.append(f"\n{rate}", "dim")
        shown.add_row(Text(str(at + 1)), name, *(column[at + 1] for column in columns))
    return shown


def _figures(rows: Sequence[Row], columns: Sequence[Sequence[str]], manner: Formatter) -> list[list[Text]]:
    """Return each column, its heading first; of several keys, one under another."""
    below = Text("\n")
    return [
        [
            below.join(Text(manner.say(HEADINGS[key])) for key in keys),
            *(below.join(_figure(row, key, manner) for key in keys) for row in rows),
        ]
        for keys in columns
    ]


def _taken(columns: Sequence[Sequence[Text]], gap: int) -> int:
    """Return the cells of a line that the candidate's name does not get."""
    place = len(str(max(0, len(columns[0]) - 1)))
    return place + gap + sum(gap + _widest(column) for column in columns)


def _widest(texts: Iterable[Text]) -> int:
    return max(cell_len(line) for text in texts for line in text.plain.split("\n"))


def _where(row: Row, names: Counter[str], manner: Formatter) -> str:
    place = named(row) if names[named(row)] == 1 else str(row["file"])
    return " · ".join([*marks(row, manner), place])


def _figure(row: Row, key: str, manner: Formatter) -> Text:
    value = row[key]
    if key == "offer":
        return Text(manner.coin(value, row["currency"], 0), style="bold")
    if key in _MONEY:
        return Text("–" if value is None or unstated(row, key) else manner.whole(value))
    if key == "loss_risk_pct":
        return Text(manner.percentage(value, 1))
    if key == "course":
        return Text(manner.say(COURSES[value]))
    return Text("–" if value is None else manner.number(value, 0))


def footnotes(rows: Sequence[Row], manner: Formatter = PLAIN) -> list[str]:
    """Return what a reader of the ranking must know, a sentence or two each; at least one row."""
    notes = [
        manner.say(
            "Offer up to: the highest that keeps the minimum margin in {share} of the draws. Risk: the draws in "
            "which it loses money. In every row offer = resale − work − carriage − preparation − guarantee − holding − "
            "margin.",
            share=manner.percentage(rows[0]["probability_pct"], 1),
        )
    ]
    if any(unstated(row, "work") for row in rows):
        notes.append(manner.say("Work –: the case states no rate to cost it by, so no work is counted."))
    notes += [note for note in (_taken_from_tables(rows, manner), _parted(rows, manner)) if note]
    if unseen := [row for row in rows if row["inspected_pct"] < HARDLY_PCT]:
        notes.append(
            manner.say(
                "Less than half inspected, by share of replacement cost: {candidates}. Parts not inspected are "
                "valued at the grade expected for their age.",
                candidates=_some([(row, row["inspected_pct"]) for row in unseen], manner),
            )
        )
    if early := [(row, None) for row in rows if row["preliminary"]]:
        notes.append(
            manner.say(
                "Preliminary, graded in part at a quick look: {candidates}. A full inspection may change the offer.",
                candidates=_some(early, manner),
            )
        )
    if twins := [named(row) for row in rows if row["twins"]]:
        notes.append(
            manner.say(
                "Twin: another file here has the same maker and serial number, or the same content: {files}. One "
                "instrument is bought once.",
                files=_first(twins, manner),
            )
        )
    if unlike := [(row, None) for row in rows if row["unlike"]]:
        notes.append(
            manner.say(
                "Unlike most here in the kind of value asked for, or valued before or after a loss: {candidates}. "
                "Their offers are on the same terms nevertheless.",
                candidates=_some(unlike, manner),
            )
        )
    if any(map(is_converted, rows)):
        notes.append(
            manner.say(
                "Amounts stay in the currency of each case; the order goes by what they convert to in {currency}.",
                currency=rows[0]["reference_currency"],
            )
        )
    if any(row["offer"] < 0 for row in rows):
        notes.append(manner.say("A negative offer: the owner would have to pay to have it taken away."))
    return notes


def _taken_from_tables(rows: Sequence[Row], manner: Formatter) -> str:
    """Say which costs the tables state in place of the cases; empty where the cases state all of them."""
    counts = Counter(key for row in rows for key in from_tables(row))
    if not counts:
        return ""
    costs = manner.listed(
        manner.several(
            "{cost} from the tables ({count} candidate)",
            "{cost} from the tables ({count} candidates)",
            counts[key],
            cost=manner.say(label),
            count=counts[key],
        )
        for key, label in COSTS.items()
        if counts[key]
    )
    return manner.say("Not stated in the cases: {costs}.", costs=costs)


def _parted(rows: Sequence[Row], manner: Formatter) -> str:
    """Say where offer and usual share of the retail price part by more than a third; empty where they nowhere do."""
    if not any(row["share_of_retail"] is not None for row in rows):
        return ""
    text = manner.say("Usual share: the offer by the dealer’s usual share of the retail price, for comparison.")
    if far := [row for row in rows if apart(row)]:
        more = manner.say(
            "More than a third away from the offer: {candidates}. Check their price new, work and margin.",
            candidates=_some([(row, None) for row in far], manner),
        )
        text = f"{text} {more}"
    return text


def _some(rows: Sequence[tuple[Row, float | None]], manner: Formatter) -> str:
    """Name the first few candidates, each with its percentage where it has one, and count the rest."""
    names = [
        called(row, manner) if pct is None else f"{called(row, manner)} ({manner.percentage(pct, 0)})"
        for row, pct in rows[:_NAMED]
    ]
    return _first(names, manner, len(rows))


def _first(names: Sequence[str], manner: Formatter, count: int | None = None) -> str:
    """Name the first few, and count the rest of them, or of so many."""
    rest = (len(names) if count is None else count) - _NAMED
    more = manner.say(" and {count} more", count=rest) if rest > 0 else ""
    return f"{manner.listed(names[:_NAMED])}{more}"
