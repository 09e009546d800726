"""Rows of the rules of carriage: what a carrier owes at most, and when a claim must be made."""

from __future__ import annotations

from dataclasses import dataclass

from appraise.tables.rows import Row


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
