"""The rows of the tables about wood, climate and strings, and of what their readings can be."""

from __future__ import annotations

from dataclasses import dataclass

from appraise.tables.rows import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood(Row):
    """How far a species moves across the grain, between 6 and 14 % moisture content."""

    label: str
    radial: float
    """Coefficient across a quarter-sawn face [1 per % of moisture content]."""
    tangential: float
    """Coefficient across a flat-sawn face [1 per % of moisture content]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SorptionTerm(Row):
    """One term of the equation of equilibrium moisture content, a parabola in temperature [°C]."""

    label: str
    constant: float
    linear: float
    quadratic: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WireGridPoint(Row):
    """Tensile strength of music wire at one diameter, in the units of the standard."""

    diameter_in: float
    """Diameter [in]."""
    low_ksi: float
    """Least tensile strength [ksi]."""
    high_ksi: float
    """Most tensile strength [ksi]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireStrength(Row):
    """One tensile strength that a percentage can be taken of."""

    label: str
    method: str
    """grid_low | grid_high (the table wire_grid) | fit (a_mpa / d^exponent)."""
    a_mpa: float | None = None
    """Fit: A [MPa·mm^m]."""
    exponent: float | None = None
    """Fit: m [–]."""
    from_mm: float | None = None
    """Fit: least diameter it holds for [mm]."""
    to_mm: float | None = None
    """Fit: greatest diameter it holds for [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireMaterial(Row):
    """What a string or its winding is made of."""

    label: str
    density: float
    """Density [kg/m³]."""
    modulus: float | None = None
    """Young's modulus [GPa], of the wire that bears the tension."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TensionCeiling(Row):
    """One view of how far a string may be loaded."""

    label: str
    usual_pct: float
    """What the view calls safe [% of tensile strength]."""
    ceiling_pct: float
    """What it calls the ceiling [% of tensile strength]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchRaise(Row):
    """What is done when the pitch is so far off."""

    above_cents: float
    """More than this [cents]."""
    up_to_cents: float
    """At most this [cents]."""
    action: str
    passes_low: float
    """Fewest passes before the tuning [1]."""
    passes_high: float
    follow_up: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overpull(Row):
    """How far above the wanted pitch a string is drawn in a raise."""

    label: str
    usual_cents: float
    most_cents: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClimateLimit(Row):
    """Relative humidity between which the words of the row hold."""

    label: str
    rh_low: float
    """[% RH]."""
    rh_high: float
    """[% RH]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SettlingTime(Row):
    """How long an instrument is left alone after a move."""

    label: str
    days_low: float
    """[days]."""
    days_high: float
    """[days]."""
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRange(Row):
    """What a reading can be, and what it usually is."""

    label: str
    unit: str
    """Base unit of the bounds, as `model.units` names it; "1" for a count."""
    low: float
    """Less is refused."""
    usual_low: float
    """Less is remarked on."""
    usual_high: float
    high: float
