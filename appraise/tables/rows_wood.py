"""The rows of the tables about wood, climate and strings, and of what their readings can be."""

from __future__ import annotations

from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell
from appraise.tables.row import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood(Row):
    """How far a species moves across the grain, between 6 and 14 % moisture content."""

    label: str = cell(read.filled)
    radial: float = cell(read.above_zero)
    """Coefficient across a quarter-sawn face [1 per % of moisture content]."""
    tangential: float = cell(read.above_zero)
    """Coefficient across a flat-sawn face [1 per % of moisture content]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SorptionTerm(Row):
    """One term of the equation of equilibrium moisture content, a parabola in temperature [°C]."""

    label: str = cell(read.filled)
    constant: float = cell(read.number)
    linear: float = cell(read.number)
    quadratic: float = cell(read.number)


@dataclass(frozen=True, slots=True, kw_only=True)
class WireGridPoint(Row):
    """Tensile strength of music wire at one diameter, in the units of the standard."""

    diameter_in: float = cell(read.above_zero)
    """Diameter [in]."""
    low_ksi: float = cell(read.above_zero)
    """Least tensile strength [ksi]."""
    high_ksi: float = cell(read.above_zero)
    """Most tensile strength [ksi]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireStrength(Row):
    """One tensile strength that a percentage can be taken of."""

    label: str = cell(read.filled)
    method: str = cell(read.filled)
    """grid_low | grid_high (the table wire_grid) | fit (a_mpa / d^exponent)."""
    a_mpa: float | None = cell(read.above_zero, None)
    """Fit: A [MPa·mm^m]."""
    exponent: float | None = cell(read.above_zero, None)
    """Fit: m [–]."""
    from_mm: float | None = cell(read.above_zero, None)
    """Fit: least diameter it holds for [mm]."""
    to_mm: float | None = cell(read.above_zero, None)
    """Fit: greatest diameter it holds for [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireMaterial(Row):
    """What a string or its winding is made of."""

    label: str = cell(read.filled)
    density: float = cell(read.above_zero)
    """Density [kg/m³]."""
    modulus: float | None = cell(read.above_zero, None)
    """Young's modulus [GPa], of the wire that bears the tension."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TensionCeiling(Row):
    """One view of how far a string may be loaded."""

    label: str = cell(read.filled)
    usual_pct: float = cell(read.between(0.0, 100.0))
    """What the view calls safe [% of tensile strength]."""
    ceiling_pct: float = cell(read.between(0.0, 100.0))
    """What it calls the ceiling [% of tensile strength]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchRaise(Row):
    """What is done when the pitch is so far off."""

    above_cents: float = cell(read.not_negative)
    """More than this [cents]."""
    up_to_cents: float = cell(read.above_zero)
    """At most this [cents]."""
    action: str = cell(read.filled)
    passes_low: float = cell(read.not_negative)
    """Fewest passes before the tuning [1]."""
    passes_high: float = cell(read.not_negative)
    follow_up: str = cell(read.text, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Overpull(Row):
    """How far above the wanted pitch a string is drawn in a raise."""

    label: str = cell(read.filled)
    usual_cents: float = cell(read.not_negative)
    most_cents: float = cell(read.above_zero)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClimateLimit(Row):
    """Relative humidity between which the words of the row hold."""

    label: str = cell(read.filled)
    rh_low: float = cell(read.between(0.0, 100.0))
    """[% RH]."""
    rh_high: float = cell(read.between(0.0, 100.0))
    """[% RH]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SettlingTime(Row):
    """How long an instrument is left alone after a move."""

    label: str = cell(read.filled)
    days_low: float = cell(read.not_negative)
    """[days]."""
    days_high: float = cell(read.not_negative)
    """[days]."""
    advice: str = cell(read.filled)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingRange(Row):
    """What a reading can be, and what it usually is."""

    label: str = cell(read.filled)
    unit: str = cell(read.filled)
    """Base unit of the bounds, as `model.quantities` names it; "1" for a count."""
    low: float = cell(read.number)
    """Less is refused."""
    usual_low: float = cell(read.number)
    """Less is remarked on."""
    usual_high: float = cell(read.number)
    high: float = cell(read.number)
