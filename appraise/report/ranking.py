"""Candidates as flat rows whose figures add up to the unit, and as CSV cells and JSON lines."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING, Any, TextIO

from appraise.model.locale_format import MINUS, PLAIN, Formatter
from appraise.model.message import message
from appraise.model.ranking import COSTS, RATES
from appraise.report import json_text
from appraise.report.outputs.rank import KEYS, RANK_ROW, Priced
from appraise.report.words import make_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.currency import Rates
    from appraise.model.ranking import Candidate

    Row = dict[str, Any]

TAKEN = ("work", "carriage", "preparation", "guarantee", "holding")
"""Keys of what comes off the resale before the margin, in this order."""

PARTED = 1.0 / 3.0
"""The offer and the usual share of the retail price are told apart where they differ by more of that share [–]."""

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
"""Characters that make a spreadsheet read a cell as a formula, with their wide East Asian forms."""


def flat(candidate: Candidate, rates: Rates | None = None) -> Row:
    """Return a candidate as one flat row of plain values, keys as in `KEYS`: it adds up as it is printed.

    Args:
        candidate: What is shown.
        rates: By which its offer is turned into another currency; none: it is not.
    """
    row: Row = RANK_ROW.dump(Priced(candidate, rates))
    return row


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
    """Return a value as a cell; true and false in the words of XML Schema."""
    if value is None:
        return ""
    text = str(value).lower() if isinstance(value, bool) else str(value)
    return f"'{text}" if isinstance(value, str) and text.startswith(_FORMULA) else text


def unstated(row: Row, key: str) -> bool:
    """Tell whether a column of costs is empty because the case states nothing to reckon it from.

    Args:
        row: As from `flat`.
        key: One of `KEYS`.
    """
    return key == "work" and not RATES.isdisjoint(row["not_stated"].split("; "))


def from_tables(row: Row) -> list[str]:
    """Return what the tables state in place of the case, of what comes off this candidate's resale: keys of `COSTS`."""
    if row["course"] == "part_out":
        return []
    return [key for key in row["not_stated"].split("; ") if key in COSTS and key not in RATES]


def apart(row: Row, manner: Formatter = PLAIN) -> str:
    """Say that the offer and the usual share of the retail price part by more than a third; empty where they do not.

    Args:
        row: As from `flat`.
        manner: How the reader gets figures and words.
    """
    share = row["share_of_retail"]
    if share is None or abs(row["offer"] - share) <= PARTED * abs(share):
        return ""
    return manner.say(
        "The usual share of the retail price would be {amount}, more than a third {way} the offer: check the price "
        "new, the work and the margin.",
        amount=manner.coin(share, row["currency"], 0),
        way=manner.say("above") if share > row["offer"] else manner.say("below"),
    )


def adds_up(row: Row, manner: Formatter = PLAIN) -> str:
    """Return the offer as the sum that it is: "EUR 9,000 = resale 20,000 − work 4,000 − margin 7,000".

    Args:
        row: As from `flat`; what takes nothing off is left out.
        manner: How the reader gets figures and words.
    """
    say = manner.say
    words = {
        "work": message("work"),
        "carriage": message("carriage"),
        "preparation": message("preparation"),
        "guarantee": message("guarantee"),
        "holding": message("holding"),
        "margin": message("margin"),
    }
    first = message("resale") if row["course"] != "part_out" else message("parts less disposal")
    text = f"{manner.coin(row['offer'], row['currency'], 0)} = {say(first)} {manner.whole(row['resale'])}"
    for key, word in words.items():
        if row[key]:
            sign = MINUS if row[key] > 0 else "+"
            text += f" {sign} {say(word)} {manner.whole(abs(row[key]))}"
    return text


def called(row: Row, manner: Formatter = PLAIN) -> str:
    """Return what a person calls a candidate: maker and model, else its kind."""
    return make_of(row["maker"], row["model"]) or manner.say(str(row["kind"]))


def named(row: Row) -> str:
    """Return the name of a candidate's file, without its folder."""
    return str(row["file"]).rpartition("/")[2]


def amount(money: float) -> str:
    """Return an amount to the unit, in the house's manner."""
    return PLAIN.whole(money)
