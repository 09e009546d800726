"""Two case files compared: refused where they are not one instrument, with limits of carriage and warnings."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from appraise.engine.loss.arithmetic import carriage_limit
from appraise.engine.loss.compare import compare_states
from appraise.engine.loss.compare import in_manner as said_in_manner
from appraise.engine.loss.matching import mismatches
from appraise.engine.valuation import value_case
from appraise.model.manner import PLAIN
from appraise.report.cautions import applicable
from appraise.report.loss.compared import Compared
from appraise.services.instruments.amounts import amount, quoted
from appraise.services.quantity import Refused, money

if TYPE_CHECKING:
    from decimal import Decimal

    from appraise.model.loss import CarriageLimit, Terms
    from appraise.model.manner import Manner
    from appraise.report.loss.compared import StateFile
    from appraise.tables.rows import Tables

WEIGHT_KG = (20.0, 2000.0)
"""Gross weights of an instrument with its packing that are believed [kg]."""

VOLUME_M3 = (0.1, 150.0)
"""Load spaces that are believed [m³], up to a whole trailer."""


MOST = 1_000_000_000_000
"""No amount of a claim is greater [money]."""


@dataclass(frozen=True, slots=True)
class Consignment:
    """What the carrier took over."""

    weight_kg: float | None = None
    volume_m3: float | None = None


def compared(
    before: StateFile,
    after: StateFile,
    tables: Tables,
    *,
    terms: Terms,
    consignment: Consignment,
    draws: int | None = None,
    seed: int | None = None,
) -> Compared:
    """Compare two states and gather what every writer needs.

    Args:
        before: The file of the state before.
        after: Of the state after.
        tables: The reference tables.
        terms: What the policy asks for.
        consignment: Weight and volume for the limits of carriage.
        draws: Number of draws behind the ranges; none: the tables' setting.
        seed: Of the draws; none: the tables' setting.

    Raises:
        Refused: The two are not one instrument, or cannot be subtracted; the text is one line.
    """
    for found in mismatches(before.case, after.case):
        raise Refused(_not_one(before.file, after.file, found.what, found.before, found.after))
    loss = compare_states(before.case, after.case, tables, terms=terms, draws=draws, seed=seed)
    limits = _limits(tables, consignment.weight_kg, consignment.volume_m3, PLAIN)
    standing = value_case(after.case, tables, draws=draws, seed=seed)
    cautions = applicable(after.case, tables, standing)
    load = consignment.weight_kg, consignment.volume_m3
    return Compared(before, after, loss, tables, limits, *load, cautions)


def in_manner(item: Compared, manner: Manner) -> Compared:
    """Return the same comparison said in another manner."""
    if item.manner is manner:
        return item
    loss = said_in_manner(item.loss, item.before.case, item.after.case, item.tables, manner)
    limits = _limits(item.tables, item.weight_kg, item.volume_m3, manner)
    return replace(item, loss=loss, limits=limits, manner=manner)


def _limits(
    tables: Tables, weight_kg: float | None, volume_m3: float | None, manner: Manner
) -> tuple[CarriageLimit, ...]:
    return tuple(
        carriage_limit(rule, weight_kg, volume_m3, manner)
        for rule in tables.carriage_rules.values()
        if rule.topic == "limit"
    )


def _not_one(before: str, after: str, what: str, first: str, second: str) -> str:
    if what == "currency":
        mend = "bring both files to one currency"
    elif what == "day of inspection":
        return f"{after}: inspected on {second}, expected a day from {first} on; is {before} the state before?"
    else:
        mend = "these are not one instrument, or one of the files has it wrong"
    return f"{after}: found the {what} {quoted(second)}, expected {quoted(first)} as in {before}; {mend}"


def weight(text: str) -> float:
    """Read a gross weight [kg]: "480 kg", "1058 lb".

    Raises:
        Refused: It is none, or cannot be that of an instrument.
    """
    return amount(text, "kg", "the weight", *WEIGHT_KG)


def volume(text: str) -> float:
    """Read a load space [m³]: "4 m³", "4 m3", "141 cu ft".

    Raises:
        Refused: It is none, or cannot be that of a removal.
    """
    return amount(text, "m³", "the volume", *VOLUME_M3)


def above_zero(text: str) -> Decimal:
    """Read an amount of money above zero.

    Raises:
        Refused: It is no such amount.
    """
    found = not_negative(text)
    if found == 0:
        raise Refused(f"found {quoted(text)}, expected an amount above 0")
    return found


def not_negative(text: str) -> Decimal:
    """Read an amount of money, zero or more.

    Raises:
        Refused: It is no such amount, or none of ordinary size.
    """
    found = money(text)
    if not 0 <= found <= MOST:
        raise Refused(f"found {quoted(text)}, expected an amount from 0 to {MOST:,}")
    return found
