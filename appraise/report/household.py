"""The words of a household for what the trade names otherwise: stations, kinds of value, how much was inspected."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.case import Kind
from appraise.model.message import message
from appraise.report.preliminary import inspected_text
from appraise.report.rationale.checks import class_label
from appraise.report.words import literal, said

if TYPE_CHECKING:
    from appraise.model.result import StationResult
    from appraise.report.appraisal import Appraisal
    from appraise.tables.rows import Caution

STATIONS = {
    "structure": message("Frame and rim"),
    "soundboard": message("Soundboard, which carries the tone"),
    "pin_block": message("Tuning pins, which hold it in tune"),
    "strings": message("Strings and tuning"),
    "action": message("Hammers and the mechanism behind the keys"),
    "dampers": message("Dampers and pedals"),
    "keys": message("Keys"),
    "case": message("Outside: case, lid, legs"),
}
"""Everyday name of each station."""

FRAME_OF_UPRIGHT = message("Frame and back")
"""An upright has back posts where a grand has a rim."""

BASES = {
    "replacement_new": message("the cost today of the same or the nearest new piano, delivered and set up"),
    "like_for_like": message("the cost of a new one, less depreciation for age and wear"),
    "retail": message("the price in a dealer’s showroom, prepared and with a warranty"),
    "used_replacement": message(
        "the price of a similar used piano in playing order at a dealer’s, delivered and tuned"
    ),
    "private_sale": message("the price between private people, as is, without delivery or warranty"),
    "trade_in": message("the price that a dealer who means to resell it can pay"),
    "auction": message("the price at a general auction, before the buyer’s premium"),
    "auction_specialist": message("the price at an auction of instruments, before the buyer’s premium"),
    "forced_sale": message("the price when it must be sold at once, where it stands"),
    "orderly_sale": message("the price when it must be sold, but there are weeks or months to find a buyer"),
}
"""Everyday words for each kind of value; the full report has the definition."""

INSURED = frozenset({"replacement_new", "like_for_like", "used_replacement"})
"""Kinds of value that are asked for to insure an instrument."""

_INSPECTED = (
    (0.95, message("yes")),
    (0.5, message("mostly")),
    (0.001, message("in part")),
    (0.0, message("no")),
)
"""Share that was inspected from which it is said so [–]."""


def named(item: Appraisal, component: str) -> str:
    """Return what a component is called in the middle of a sentence; a key that no table has, as it is."""
    row = item.tables.components.get(component)
    return (
        literal(component) if row is None else item.manner.small(said(item.manner, row.named(item.case.identity.kind)))
    )


def station(item: Appraisal, key: str) -> str:
    """Return what an owner calls a station of this instrument."""
    upright = key == "structure" and item.case.identity.kind == Kind.UPRIGHT
    return item.manner.say(FRAME_OF_UPRIGHT if upright else STATIONS[key])


def condition(item: Appraisal, station: StationResult) -> str:
    """Return how a station is, by the condition class nearest to its grade."""
    return said(item.manner, class_label(item.tables, station.grade.mid))


def inspected(item: Appraisal, station: StationResult) -> str:
    """Return whether a station was inspected; what was only looked at quickly is not told as inspected."""
    if any(part.component in item.case.preliminary for part in station.components):
        return inspected_text(item, station)
    return item.manner.say(next(text for least, text in _INSPECTED if station.inspected >= least))


def basis(item: Appraisal) -> str:
    """Return what kind of value was asked for: in plain words, or as a table of the user's own defines it."""
    key = item.valuation.basis
    row = item.tables.bases[key]
    return item.manner.say(BASES[key]) if key in BASES and not row.yours else literal(row.definition)


def of_the_household(rows: tuple[Caution, ...]) -> tuple[Caution, ...]:
    """Return the cautions that concern whoever lives with the instrument."""
    return tuple(row for row in rows if not row.workshop)
