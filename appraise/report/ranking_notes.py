"""What stands beside a candidate's figures: the rate it is converted at, its twins, what is unlike its neighbours."""

from __future__ import annotations

from datetime import date
from math import floor
from typing import TYPE_CHECKING, Any

from appraise.model.locale_format import PLAIN, Formatter
from appraise.report.ranking import TAKEN
from appraise.report.words import literal

if TYPE_CHECKING:
    Row = dict[str, Any]

_AMOUNTS = ("resale_low", "resale", "resale_high", "work_low", "work", "work_high", *TAKEN[1:])
_DIGITS = 10
_SLACK = 1e-6


def is_converted(row: Row) -> bool:
    """Tell whether a row has a rate and is in another currency than the one it is converted to."""
    return row["rate"] is not None and row["currency"] != row["reference_currency"]


def rate_told(row: Row, manner: Formatter = PLAIN) -> str:
    """Return the rate of a row with its day and source: "USD 1 = EUR 0.92 of 27 November 2026, Central Bank".

    Args:
        row: As from `flat`, converted.
        manner: How the reader gets figures and words.
    """
    return manner.say(
        "{currency} 1 = {reference} {rate} of {day}, {source}",
        reference=row["reference_currency"],
        currency=row["currency"],
        rate=manner.decimal(row["rate"], _DIGITS),
        day=manner.day(date.fromisoformat(row["rate_date"])),
        source=literal(str(row["rate_source"])),
    )


def converted(row: Row, manner: Formatter = PLAIN) -> str:
    """Return what the offer converts to, with the rate; empty where it is not converted.

    Args:
        row: As from `flat`.
        manner: How the reader gets figures and words.
    """
    if not is_converted(row):
        return ""
    offer = manner.coin(row["offer_converted"], row["reference_currency"], 0)
    return manner.say("{offer} at {rate}", offer=offer, rate=rate_told(row, manner))


def in_reference(row: Row) -> Row:
    """Return a row with its money in the currency that it is converted to, adding up to the unit as before.

    Args:
        row: As from `flat`, with a rate.
    """
    rate = row["rate"]
    money = {key: round(row[key] * rate) for key in _AMOUNTS}
    offer = floor(row["offer"] * rate + _SLACK)
    margin = money["resale"] - sum(money[key] for key in TAKEN) - offer
    more = {"offer": offer, "margin": margin, "expected_profit": margin, "currency": row["reference_currency"]}
    return {**row, **money, **more}


def twins_told(row: Row, manner: Formatter = PLAIN) -> str:
    """Say which other files of the ranking are the same instrument; empty where none is known.

    Args:
        row: As a ranking gives it.
        manner: How the reader gets figures and words.
    """
    if not row["twins"]:
        return ""
    files = [literal(file.rpartition("/")[2]) for file in row["twins"].split("; ")]
    return manner.say("Same maker and serial number, or the same content, as {files}.", files=manner.listed(files))


def unlike_told(row: Row, manner: Formatter = PLAIN) -> str:
    """Say in what a candidate's case is unlike most others of the ranking; empty where it is not.

    Args:
        row: As a ranking gives it.
        manner: How the reader gets figures and words.
    """
    found = []
    unlike = row["unlike"].split("; ")
    if "basis" in unlike:
        basis = literal(row["basis"].replace("_", " "))
        found.append(
            manner.say(
                "Its case asks for another kind of value than most here ({basis}); the offer is on the same terms.",
                basis=basis,
            )
        )
    if "after_loss" in unlike:
        after = manner.say("It is valued in its state after a move or another loss; most here are not.")
        before = manner.say("It is not valued in a state after a move or another loss; most here are.")
        found.append(after if row["after_loss"] else before)
    return " ".join(found)


def marks(row: Row, manner: Formatter = PLAIN) -> list[str]:
    """Return what a row is marked with, a word each: "twin", "another basis".

    Args:
        row: As a ranking gives it.
        manner: How the reader gets figures and words.
    """
    unlike = row["unlike"].split("; ")
    found = [manner.say("preliminary")] if row["preliminary"] else []
    found += [manner.say("twin")] if row["twins"] else []
    found += [manner.say("another basis")] if "basis" in unlike else []
    if "after_loss" in unlike:
        found.append(manner.say("after a loss") if row["after_loss"] else manner.say("before a loss"))
    return found
