"""Candidates as flat rows, as CSV cells and as a table for people."""

from __future__ import annotations

import csv
import json
from collections import Counter
from typing import TYPE_CHECKING, Any, TextIO

from rich import box
from rich.table import Table
from rich.text import Text

from appraise.model.manner import PLAIN, Manner, message
from appraise.model.ranking import COURSES, RATES
from appraise.model.unsafe import in_json
from appraise.report.words import literal

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

HEADINGS = (
    message("Offer up to"),
    message("Resale"),
    message("Work"),
    message("Carriage,\nholding"),
    message("Margin"),
    message("Risk"),
    message("Months to\nmajor work"),
)
"""Of the columns of figures in the table for people."""

PROFIT = message("Expected\nprofit")
"""Heading of what the offer can be expected to leave."""


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
        stream.write(in_json(json.dumps(row, ensure_ascii=False, allow_nan=False)) + "\n")


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


def table(rows: Sequence[Row], manner: Manner = PLAIN, *, profit: bool = False) -> Table:
    """Return the ranking for people, best first as it comes; files by name alone where that tells them apart.

    Args:
        rows: As from `flat`.
        manner: How the reader gets figures and words.
        profit: With a column of the profit that can be expected, for an order that goes by it.
    """
    say = manner.say
    keys = ["resale", "work", "carriage_and_holding", "margin", *(["expected_profit"] if profit else [])]
    names = Counter(_name(row) for row in rows)
    shown = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1))
    shown.add_column("", justify="right")
    shown.add_column(say("Candidate"), overflow="fold", min_width=24)
    for heading in (*HEADINGS[:5], *([PROFIT] if profit else []), *HEADINGS[5:]):
        shown.add_column(say(heading), justify="right")
    shown.add_column(say("Course"), overflow="fold")
    for place, row in enumerate(rows, 1):
        months = row["next_intervention_months"]
        where = _name(row) if names[_name(row)] == 1 else row["file"]
        shown.add_row(
            Text(str(place)),
            Text.assemble((called(row, manner), "bold"), "\n", (where, "dim")),
            Text(manner.coin(row["offer"], row["currency"], 0), style="bold"),
            *(Text("–" if unstated(row, key) else manner.whole(rounded(row[key]))) for key in keys),
            Text(manner.percentage(row["loss_risk_pct"], 1)),
            Text("–" if months is None else manner.number(months, 0)),
            Text(say(COURSES[row["course"]])),
        )
    return shown


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
    if any(row["offer"] < 0 for row in rows):
        notes.append(manner.say("A negative offer: the owner would have to pay for its being taken."))
    return notes


def called(row: Row, manner: Manner = PLAIN) -> str:
    """Return what a person calls a candidate: maker and model, else its kind."""
    return " ".join(word for word in (row["maker"], row["model"]) if word) or manner.say(str(row["kind"]))


def _name(row: Row) -> str:
    return str(row["file"]).rpartition("/")[2]


def rounded(amount: float) -> float:
    """Return an amount as a person weighs it: to three figures, never finer than one unit."""
    size = len(str(int(abs(amount))))
    return round(amount, min(0, 3 - size)) + 0.0


def amount(money: float) -> str:
    """Return an amount as a person weighs it, in the house's manner: to three figures."""
    return PLAIN.whole(rounded(money))
