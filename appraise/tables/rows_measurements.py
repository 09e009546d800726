"""The rows of the tables that measurements rest on: norms by note, wood, climate, strings, and the clues to drying."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell
from appraise.tables.rows import Row

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.model.case import Kind


class Sense(StrEnum):
    """On which side of its line a reading is as expected."""

    ABOUT = "about"
    LEAST = "least"
    MOST = "most"


VERDICTS = ("steady", "seasonal", "drifting_flat", "drifting_sharp", "not_enough")
"""Verdicts of a pitch log."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteNorm(Row):
    """Reading that a check is expected to give, note by note."""

    check: str = cell(read.filled, of="checks")
    """The check whose readings it speaks of, in that check's unit."""
    sense: Sense = cell(read.choice(Sense))
    points: tuple[tuple[float, float], ...] = cell(read.points)
    """(key number, value) points, linear between, flat beyond."""
    departure: float = cell(read.not_negative, 0.0)
    """How far beyond the line a note is still as expected, in the unit of the check."""
    even: float = cell(read.not_negative, 0.0)
    """How far a note may stand from its neighbours, in the same unit; 0: not looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RegulationTarget(Row):
    """One adjustment of a regulation sheet; its tolerance is a check's, or its own where no check measures it."""

    label: str = cell(read.filled)
    sheet: str = cell(read.filled, of=("action", "dampers"))
    """action | dampers."""
    kinds: tuple[Kind, ...] = cell(read.some_kinds)
    check: str = cell(read.text, "", of="checks")
    unit: str = cell(read.text, "")
    anchors: tuple[tuple[float, float], ...] = cell(read.points, ())
    """(value, grade) points where there is no check."""
    plausible: tuple[float, float] | None = cell(read.pair, None)
    how: str = cell(read.text, "")
    minutes_per_note: float = cell(read.not_negative)
    """Time to put one note right [min]."""
    setup_hours: float = cell(read.not_negative)
    """Time before the first note [h]."""
    disturbs: tuple[str, ...] = cell(read.names, (), of="regulation_targets")
    """Adjustments to be gone through again on the same notes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DamperReach(Row):
    """How far up damper felts commonly go."""

    felt: str = cell(read.filled, of=("wedge", "any"))
    """wedge | any."""
    label: str = cell(read.filled)
    note_low: float = cell(read.between(1.0, 88.0))
    """[key number]."""
    note_high: float = cell(read.between(1.0, 88.0))
    """[key number]."""


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
    method: str = cell(read.filled, of=("grid_low", "grid_high", "fit"))
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
    """Material of a string or its winding."""

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
    """Share that the view calls safe [% of tensile strength]."""
    ceiling_pct: float = cell(read.between(0.0, 100.0))
    """Share that it calls the ceiling [% of tensile strength]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchRaise(Row):
    """Action by how far the pitch is off."""

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
    """Range that a reading can have, and its usual one."""

    label: str = cell(read.filled)
    unit: str = cell(read.filled)
    """Base unit of the bounds, as `model.quantities` names it; "1" for a count."""
    low: float = cell(read.number)
    """Less is refused."""
    usual_low: float = cell(read.number)
    """Less is remarked on."""
    usual_high: float = cell(read.number)
    high: float = cell(read.number)


DRIED_OUT = "dried_out"
"""The story of `drying_stories` that every other is weighed against."""


class ClueRole(StrEnum):
    """Explanation that a clue to drying speaks of."""

    DAMAGE = "damage"
    """Effect of drying on wood and glue."""
    HISTORY = "history"
    """That the air was dry for long: the cause, not the damage."""
    CONTEXT = "context"
    """Condition that makes dry air likely."""
    DAMP = "damp"
    """The opposite: signs of damp."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingStory(Row):
    """One of the stories that compete to explain what is seen."""

    label: str = cell(read.filled)
    odds: float = cell(read.between(1e-06, 1000000.0))
    """Before any clue, relative to the other stories [–]."""
    means: str = cell(read.filled)
    """Meaning for the owner."""
    advice: str = cell(read.filled)
    """Advice where it leads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingClue(Row):
    """Something to look for that speaks for or against drying out."""

    label: str = cell(read.filled)
    section: str = cell(read.filled)
    """Section where it is seen; clues of one section are not independent witnesses."""
    role: ClueRole = cell(read.choice(ClueRole))
    strength: float = cell(read.between(1.0, 5.0))
    """1 weak to 5 strong, as practitioners weigh it."""
    seen_if_dried: float = cell(read.between(0.001, 0.999))
    """How often it is seen in an instrument that has dried out [–]."""
    ratios: Mapping[str, float] = cell(read.factors, factory=dict, required=True)
    """Rival story → likelihood ratio of seeing the clue, dried out against that rival [–]."""
    checks: tuple[str, ...] = cell(read.names, (), of="checks")
    """Checks of the walk that tell of it."""
    from_grade: float | None = cell(read.grade, None)
    """Seen when one of the checks grades this or worse."""
    above: float | None = cell(read.number, None)
    """And its reading is not below this, in the check's unit."""
    below: float | None = cell(read.number, None)
    """And its reading is not above this, in the check's unit."""
    climates: tuple[str, ...] = cell(read.names, (), of="climates")
    """Seen where the case states one of these climates."""
    verdict: str = cell(read.text, "", of=VERDICTS)
    """Seen when the pitch log comes to this verdict."""
    other: str = cell(read.text, "")
    """Other explanations, in words."""
