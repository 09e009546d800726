"""Rows of what bears on a move: rules of carriage, signs of fresh damage, what is done before and after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell
from appraise.tables.rows import Row

if TYPE_CHECKING:
    from appraise.model.case import Kind


TOPICS = ("scope", "limit", "notice", "suit", "measure")

STAGES = ("before", "arrival", "later")
"""When a step of a move is done, in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriageRule(Row):
    """One rule of a convention, a law or a tariff; information only, the current edition and the policy decide."""

    regime: str = cell(read.filled)
    """The convention, law or tariff, as people call it."""
    topic: str = cell(read.filled, of=TOPICS)
    """scope | limit | notice | suit | measure."""
    text: str = cell(read.filled)
    """Its rule, in our words."""
    unit: str = cell(read.text, "")
    """ISO 4217 code, or SDR for special drawing rights, of the amounts below."""
    per_kg: float | None = cell(read.above_zero, None)
    """Most that is owed for a kilogram of gross weight [unit/kg]."""
    per_lb: float | None = cell(read.above_zero, None)
    """The same for a pound [unit/lb]."""
    per_m3: float | None = cell(read.above_zero, None)
    """The same for a cubic metre of load space [unit/m³]."""
    per_package: float | None = cell(read.above_zero, None)
    """The same for a package; the higher of this and the amount by weight counts [unit]."""
    days_apparent: float | None = cell(read.between(0.0, 3660.0), None)
    """Notice of damage that shows, counted from the day after delivery [days]; 0: at delivery."""
    days: float | None = cell(read.between(0.0, 3660.0), None)
    """Notice of damage that does not show, counted alike [days]."""
    days_delay: float | None = cell(read.between(0.0, 3660.0), None)
    """Notice of delay, counted from the day after the goods were placed at the consignee's disposal [days]."""
    months: float | None = cell(read.between(0.0, 3660.0), None)
    """Time for a claim or an action from the delivery [months]."""
    least: bool = cell(read.flag, False)
    """The period is the least that must be allowed."""
    no_sundays: bool = cell(read.flag, False)
    """Sundays are not counted, nor public holidays, which are not known here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DamageSign(Row):
    """How fresh damage tells itself from old."""

    label: str = cell(read.filled)
    kinds: tuple[Kind, ...] = cell(read.some_kinds)
    places: tuple[str, ...] = cell(read.names, of="components")
    """Components it is looked for at."""
    typical: str = cell(read.filled)
    """Its effect in a move."""
    fresh: str = cell(read.filled)
    old: str = cell(read.filled)


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveStep(Row):
    """Something done before a move or after it, so that a claim can rest on it."""

    when: str = cell(read.filled, of=STAGES)
    """before | arrival | later."""
    text: str = cell(read.filled)
