"""Rows of what bears on a move: rules of carriage, signs of fresh damage, what is done before and after."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.tables.rows import Row

if TYPE_CHECKING:
    from appraise.model.case import Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriageRule(Row):
    """One rule of a convention, a law or a tariff; information only, the current edition and the policy decide."""

    regime: str
    """The convention, law or tariff, as people call it."""
    topic: str
    """scope | limit | notice | suit | measure."""
    text: str
    """What it says, in our words."""
    unit: str = ""
    """ISO 4217 code, or SDR for special drawing rights, of the amounts below."""
    per_kg: float | None = None
    """Most that is owed for a kilogram of gross weight [unit/kg]."""
    per_lb: float | None = None
    """The same for a pound [unit/lb]."""
    per_m3: float | None = None
    """The same for a cubic metre of load space [unit/m³]."""
    per_package: float | None = None
    """The same for a package; the higher of this and the amount by weight counts [unit]."""
    days_apparent: float | None = None
    """Notice of damage that shows, counted from the day after delivery [days]; 0: at delivery."""
    days: float | None = None
    """Notice of damage that does not show, counted alike [days]."""
    months: float | None = None
    """Time for a claim or an action from the delivery [months]."""
    least: bool = False
    """The period is the least that must be allowed."""
    no_sundays: bool = False
    """Sundays are not counted, nor public holidays, which are not known here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DamageSign(Row):
    """How fresh damage tells itself from old."""

    label: str
    kinds: tuple[Kind, ...]
    places: tuple[str, ...]
    """Components it is looked for at."""
    typical: str
    """What a move does there."""
    fresh: str
    old: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveStep(Row):
    """Something done before a move or after it, so that a claim can rest on it."""

    when: str
    """before | arrival | later."""
    text: str
