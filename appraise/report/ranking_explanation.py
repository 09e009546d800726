"""Why one trade-in candidate beats another, and what stands beside a candidate's figures: rate, twins, outliers."""

from __future__ import annotations

from datetime import date
from math import floor
from typing import TYPE_CHECKING, Any

from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.message import message
from appraise.report.ranking import TAKEN, called
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    Row = dict[str, Any]


_STEPS = (
    ("resale", message("it resells for {amount} more"), message("it resells for {amount} less"), 1.0),
    ("work", message("its work costs {amount} more"), message("its work costs {amount} less"), -1.0),
    ("carriage", message("its carriage costs {amount} more"), message("its carriage costs {amount} less"), -1.0),
    (
        "preparation",
        message("its preparation costs {amount} more"),
        message("its preparation costs {amount} less"),
        -1.0,
    ),
    ("guarantee", message("its guarantee costs {amount} more"), message("its guarantee costs {amount} less"), -1.0),
    ("holding", message("its holding costs {amount} more"), message("its holding costs {amount} less"), -1.0),
    ("margin", message("its margin takes {amount} more"), message("its margin takes {amount} less"), -1.0),
)
"""Key of a row, what is said of more and of less of it, and its sign in the residual."""


def why(first: Row, second: Row, manner: Formatter = PLAIN) -> tuple[str, ...]:
    """Say in two sentences why the first beats the second, or that it does not; in a third what of it is preliminary.

    Args:
        first: A row as from `flat`.
        second: Another; in another currency both need a rate.
        manner: How the reader gets figures and words.

    Returns:
        What the offers come to and where the difference comes from; and what speaks the other way, or that nothing
        does; risk and time to the next large job of both stand behind it, for they may speak either way. A third
        where the offer for either rests on a quick look, and the rates where amounts were converted.

    Raises:
        ValueError: The currencies differ and there is no rate, so that no amount can be set against another.
    """
    say = manner.say
    rates: tuple[str, ...] = ()
    if first["currency"] != second["currency"]:
        if first["rate"] is None or second["rate"] is None:
            raise ValueError(f"{first['currency']} and {second['currency']} cannot be compared without a rate")
        lines = [rate_text(row, manner) for row in (first, second) if is_converted(row)]
        rates = (say("Converted at {rates}.", rates=manner.listed(lines)),)
        first, second = in_reference(first), in_reference(second)
    gap = first["offer"] - second["offer"]
    steps = [(text, size) for text, size in _steps(first, second, manner) if size != 0.0]
    ahead = [text for text, size in sorted(steps, key=lambda step: -abs(step[1])) if (size > 0.0) == (gap >= 0.0)]
    behind = [text for text, size in sorted(steps, key=lambda step: -abs(step[1])) if (size > 0.0) != (gap >= 0.0)]
    opening = _opening(first, second, gap, manner)
    if ahead and gap:
        opening = say("{opening}, for {reasons}", opening=opening, reasons=manner.listed(ahead[:2]))
    other = say("No figure in money speaks for the other")
    if behind:
        other = say("Against that, {reasons}", reasons=manner.listed(behind[:2]))
    last = (*_preliminary(first, second, manner), *rates)
    return f"{opening}.", f"{other}; {_risks(first, second, manner)}.", *last


def _preliminary(first: Row, second: Row, manner: Formatter) -> tuple[str, ...]:
    results = [
        name for row, name in zip((first, second), _names(first, second, manner), strict=True) if row["preliminary"]
    ]
    if not results:
        return ()
    text = manner.several(
        "Preliminary: the offer for {candidates} rests on a quick look.",
        "Preliminary: the offers for {candidates} rest on a quick look.",
        len(results),
        candidates=manner.listed(results),
    )
    return (text,)


def _opening(first: Row, second: Row, gap: float, manner: Formatter) -> str:
    one, two = _names(first, second, manner)
    offer, more = _coin(first["offer"], first, manner), _coin(abs(gap), first, manner)
    sure = manner.percentage(first["probability_pct"], 1)
    if gap == 0.0:
        return manner.say(
            "{first} does not beat {second} by its offer: both support {offer}", first=one, second=two, offer=offer
        )
    text = message("{first} supports an offer of {offer}, {amount} more than {second} at the same {share} confidence")
    if gap < 0.0:
        text = message(
            "{first} does not beat {second}: it supports an offer of {offer}, {amount} less at the same {share} "
            "confidence"
        )
    return manner.say(text, first=one, second=two, offer=offer, amount=more, share=sure)


def _coin(money: float, row: Row, manner: Formatter) -> str:
    return manner.coin(money, row["currency"], 0)


def _names(first: Row, second: Row, manner: Formatter) -> tuple[str, str]:
    one, two = called(first, manner), called(second, manner)
    if one == two:
        one, two = f"{one} ({first['file']})", f"{two} ({second['file']})"
    return literal(one), literal(two)


def _steps(first: Row, second: Row, manner: Formatter) -> Iterator[tuple[str, float]]:
    """Return each step of the residual with what it does for the first [money], the first named as "it"."""
    for key, more, less, sign in _STEPS:
        change = first[key] - second[key]
        text = manner.say(more if change > 0 else less, amount=_coin(abs(change), first, manner))
        yield (text, sign * change)


def _risks(first: Row, second: Row, manner: Formatter) -> str:
    risk = manner.say(
        "as to risk, it loses money in {first} of the draws, the other in {second}",
        first=manner.percentage(first["loss_risk_pct"], 1),
        second=manner.percentage(second["loss_risk_pct"], 1),
    )
    ends = [row["next_intervention_months"] for row in (first, second)]
    if None in ends:
        return risk
    return manner.say(
        "{risk}, and a large job ({part}) is due in about {first} months against {second}",
        risk=risk,
        part=manner.small(str(first["next_intervention_part"])),
        first=manner.number(ends[0], 0),
        second=manner.number(ends[1], 0),
    )


_AMOUNTS = ("resale_low", "resale", "resale_high", "work_low", "work", "work_high", *TAKEN[1:])
_DIGITS = 10
_SLACK = 1e-6


def is_converted(row: Row) -> bool:
    """Tell whether a row has a rate and is in another currency than the one it is converted to."""
    return row["rate"] is not None and row["currency"] != row["reference_currency"]


def rate_text(row: Row, manner: Formatter = PLAIN) -> str:
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
    return manner.say("{offer} at {rate}", offer=offer, rate=rate_text(row, manner))


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


def twins_text(row: Row, manner: Formatter = PLAIN) -> str:
    """Say which other files of the ranking are the same instrument; empty where none is known.

    Args:
        row: As a ranking gives it.
        manner: How the reader gets figures and words.
    """
    if not row["twins"]:
        return ""
    files = [literal(file.rpartition("/")[2]) for file in row["twins"].split("; ")]
    return manner.say("Same maker and serial number, or the same content, as {files}.", files=manner.listed(files))


def unlike_text(row: Row, manner: Formatter = PLAIN) -> str:
    """Say in what a candidate's case is unlike most others of the ranking; empty where it is not.

    Args:
        row: As a ranking gives it.
        manner: How the reader gets figures and words.
    """
    results = []
    unlike = row["unlike"].split("; ")
    if "basis" in unlike:
        basis = literal(row["basis"].replace("_", " "))
        results.append(
            manner.say(
                "Its case asks for another kind of value than most here ({basis}); the offer is on the same terms.",
                basis=basis,
            )
        )
    if "after_loss" in unlike:
        after = manner.say("It is valued in its condition after a move or another loss; most here are not.")
        before = manner.say("It is not valued in its condition after a move or another loss; most here are.")
        results.append(after if row["after_loss"] else before)
    return " ".join(results)


def marks(row: Row, manner: Formatter = PLAIN) -> list[str]:
    """Return what a row is marked with, a word each: "twin", "another basis".

    Args:
        row: As a ranking gives it.
        manner: How the reader gets figures and words.
    """
    unlike = row["unlike"].split("; ")
    result = [manner.say("preliminary")] if row["preliminary"] else []
    result += [manner.say("twin")] if row["twins"] else []
    result += [manner.say("another basis")] if "basis" in unlike else []
    if "after_loss" in unlike:
        result.append(manner.say("after a loss") if row["after_loss"] else manner.say("before a loss"))
    return result
