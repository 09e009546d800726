"""Candidates as flat rows, as CSV cells and as a table for people."""

from __future__ import annotations

import csv
from collections import Counter
from typing import TYPE_CHECKING, Any, TextIO

from rich import box
from rich.cells import cell_len
from rich.table import Table
from rich.text import Text

from appraise.model.manner import PLAIN, Manner
from appraise.model.message import message
from appraise.model.ranking import COURSES, RATES
from appraise.report import json_text
from appraise.report.words import literal, make_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from appraise.model.ranking import Candidate

    Row = dict[str, Any]

SCHEMA = 1
"""Version of a row's layout; raised when a key changes its meaning or goes."""

KEYS = (
    "file",
    "kind",
    "maker",
    "model",
    "size_cm",
    "made",
    "currency",
    "offer",
    "resale_low",
    "resale",
    "resale_high",
    "work_low",
    "work",
    "work_high",
    "carriage_and_holding",
    "margin_pct",
    "margin",
    "expected_profit",
    "margin_kept_pct",
    "loss_risk_pct",
    "next_intervention_months",
    "next_intervention_part",
    "looked_at_pct",
    "course",
    "plan",
    "not_stated",
    "resale_basis",
    "probability_pct",
    "case_sha256",
    "tables_version",
    "seed",
    "draws",
    "program_version",
)
"""Keys of a row, in the order of the columns. Money is a number in `currency`."""

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
"""What a spreadsheet takes for a formula at the head of a cell, the wide forms of East Asian keyboards among them."""

HEADINGS = {
    "offer": message("Offer up to"),
    "resale": message("Resale"),
    "work": message("Work"),
    "carriage_and_holding": message("Carriage,\nholding"),
    "margin": message("Margin"),
    "expected_profit": message("Expected\nprofit"),
    "loss_risk_pct": message("Risk"),
    "next_intervention_months": message("Months to\nmajor work"),
    "course": message("Course"),
}
"""Of the columns of the table for people."""

_NAME = 24
"""Least cells for the name of a candidate where every figure has a column of its own."""
_APART, _PAIRED = 3, 2
"""Cells between columns of one figure, and of two under one another."""
HARDLY_PCT = 50.0
"""An instrument of which less has been looked at is said to be hardly looked at [% of what can be checked]."""
_NAMED = 3
_COSTS = ("resale", "work", "carriage_and_holding", "margin", "expected_profit")


def flat(candidate: Candidate) -> Row:
    """Return a candidate as one flat row of plain values, keys as in `KEYS`."""
    trade = candidate.trade
    values = (
        literal(candidate.file),
        candidate.kind,
        literal(candidate.maker),
        literal(candidate.model),
        candidate.size_cm,
        candidate.made or None,
        trade.currency,
        _money(trade.offer),
        *map(_money, (trade.resale.low, trade.resale.mid, trade.resale.high)),
        *map(_money, (trade.work.low, trade.work.mid, trade.work.high)),
        _money(trade.carriage_and_holding),
        _pct(trade.margin_share),
        _money(trade.margin),
        _money(trade.profit),
        _pct(trade.margin_kept),
        _pct(trade.risk),
        None if trade.next_months is None else round(trade.next_months, 1),
        literal(trade.next_part) or None,
        _pct(trade.looked_at),
        trade.course,
        "; ".join(map(literal, trade.plan)),
        "; ".join(trade.not_stated),
        trade.resale_basis,
        _pct(trade.probability),
        candidate.sha256,
        trade.tables_version,
        trade.seed,
        trade.draws,
        candidate.program,
    )
    return dict(zip(KEYS, values, strict=True))


def _money(amount: float) -> float:
    return round(amount, 2) + 0.0


def _pct(share: float) -> float:
    return round(100.0 * share, 2)


def cells(row: Row) -> list[str]:
    """Return a row as CSV cells: text that a spreadsheet would take for a formula begins with an apostrophe."""
    return [_cell(row[key]) for key in KEYS]


def write_csv(stream: TextIO, rows: Iterable[Row]) -> None:
    """Write rows as CSV (RFC 4180, with line feeds), headings first, one after the other."""
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(KEYS)
    writer.writerows(cells(row) for row in rows)


def write_json_lines(stream: TextIO, rows: Iterable[Row]) -> None:
    """Write one JSON object a line."""
    for row in rows:
        stream.write(json_text.line(row) + "\n")


def _cell(value: object) -> str:
    if value is None:
        return ""
    text = str(value)
    return f"'{text}" if isinstance(value, str) and text.startswith(_FORMULA) else text


def unstated(row: Row, key: str) -> bool:
    """Tell whether a column of costs is empty because the case states nothing to reckon it from.

    Args:
        row: As from `flat`.
        key: One of `KEYS`.
    """
    missing = row["not_stated"].split("; ")
    if key == "work":
        return not RATES.isdisjoint(missing)
    return key == "carriage_and_holding" and row["course"] != "break_up" and {"carriage", "holding"} <= {*missing}


def table(rows: Sequence[Row], manner: Manner = PLAIN, *, width: int, profit: bool = False) -> Table:
    """Return the ranking for people, best first as it comes; files by name alone where that tells them apart.

    Where a line has no room for every column, two figures stand under one another in each.

    Args:
        rows: As from `flat`.
        manner: How the reader gets figures and words.
        width: Cells of a line.
        profit: With the profit that can be expected, for an order that goes by it.
    """
    apart = [(key,) for key in HEADINGS if profit or key != "expected_profit"]
    paired = [
        ("offer", "expected_profit" if profit else "course"),
        ("resale", "work"),
        ("carriage_and_holding", "margin"),
        ("loss_risk_pct", "next_intervention_months"),
    ]
    wide = _figures(rows, apart, manner)
    if width >= _NAME + _taken(wide, _APART):
        return _table(rows, wide, manner, _APART, width)
    return _table(rows, _figures(rows, paired, manner), manner, _PAIRED, width, third="course" if profit else "")


def _table(
    rows: Sequence[Row], columns: Sequence[Sequence[Text]], manner: Manner, gap: int, width: int, third: str = ""
) -> Table:
    names = Counter(_name(row) for row in rows)
    shown = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, gap - 2))
    shown.add_column("", justify="right", no_wrap=True)
    room = max(1, width - _taken(columns, gap))
    whole = max((cell_len(part) for row in rows for part in (called(row, manner), _where(row, names))), default=0)
    shown.add_column(manner.say("Candidate"), overflow="fold", width=min(room, max(_NAME, whole)))
    for heading, *figures in columns:
        words = heading.plain == manner.say(HEADINGS["course"])
        shown.add_column(heading, justify="left" if words else "right", width=_widest((heading, *figures)))
    for at, row in enumerate(rows):
        name = Text.assemble((called(row, manner), "bold"), "\n", (_where(row, names), "dim"))
        if third:
            name.append("\n").append(_figure(row, third, manner))
        shown.add_row(Text(str(at + 1)), name, *(column[at + 1] for column in columns))
    return shown


def _figures(rows: Sequence[Row], columns: Sequence[Sequence[str]], manner: Manner) -> list[list[Text]]:
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


def _where(row: Row, names: Counter[str]) -> str:
    return _name(row) if names[_name(row)] == 1 else str(row["file"])


def _figure(row: Row, key: str, manner: Manner) -> Text:
    value = row[key]
    if key == "offer":
        return Text(manner.coin(value, row["currency"], 0), style="bold")
    if key in _COSTS:
        return Text("–" if unstated(row, key) else manner.whole(rounded(value)))
    if key == "loss_risk_pct":
        return Text(manner.percentage(value, 1))
    if key == "course":
        return Text(manner.say(COURSES[value]))
    return Text("–" if value is None else manner.number(value, 0))


def footnotes(rows: Sequence[Row], manner: Manner = PLAIN) -> list[str]:
    """Return what a reader of the ranking must know, a sentence or two each; at least one row."""
    notes = [
        manner.say(
            "Offer up to: the highest that keeps the whole margin in {share} of the draws. Risk: the draws in which it "
            "loses money.",
            share=manner.percentage(rows[0]["probability_pct"], 1),
        )
    ]
    if any(unstated(row, key) for row in rows for key in ("work", "carriage_and_holding")):
        notes.append(
            manner.say(
                "–: the case states no rate to cost work by, so no work is reckoned with, or neither carriage nor "
                "holding, so neither is taken off."
            )
        )
    if unseen := [row for row in rows if row["looked_at_pct"] < HARDLY_PCT]:
        named = manner.listed(
            [f"{called(row, manner)} ({manner.percentage(row['looked_at_pct'], 0)})" for row in unseen[:_NAMED]]
        )
        notes.append(
            manner.say(
                "Hardly looked at, by the share of what can be checked that was: {candidates}{more}. What nobody saw "
                "is reckoned at what its age lets expect.",
                candidates=named,
                more=manner.say(" and {count} more", count=len(unseen) - _NAMED) if len(unseen) > _NAMED else "",
            )
        )
    if any(row["offer"] < 0 for row in rows):
        notes.append(manner.say("A negative offer: the owner would have to pay for its being taken."))
    return notes


def called(row: Row, manner: Manner = PLAIN) -> str:
    """Return what a person calls a candidate: maker and model, else its kind."""
    return make_of(row["maker"], row["model"]) or manner.say(str(row["kind"]))


def _name(row: Row) -> str:
    return str(row["file"]).rpartition("/")[2]


def rounded(amount: float) -> float:
    """Return an amount as a person weighs it: to three figures, never finer than one unit."""
    size = len(str(int(abs(amount))))
    return round(amount, min(0, 3 - size)) + 0.0


def amount(money: float) -> str:
    """Return an amount as a person weighs it, in the house's manner: to three figures."""
    return PLAIN.whole(rounded(money))
