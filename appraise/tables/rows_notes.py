"""The rows of the tables about what is expected note by note, and how it is regulated."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell
from appraise.tables.row import Row

if TYPE_CHECKING:
    from appraise.model.case import Kind


class Sense(StrEnum):
    """On which side of its line a reading is as expected."""

    ABOUT = "about"
    LEAST = "least"
    MOST = "most"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteNorm(Row):
    """What a check is expected to read, note by note."""

    check: str = cell(read.filled)
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
    sheet: str = cell(read.filled)
    """action | dampers."""
    kinds: tuple[Kind, ...] = cell(read.some_kinds)
    check: str = cell(read.text, "")
    unit: str = cell(read.text, "")
    anchors: tuple[tuple[float, float], ...] = cell(read.points, ())
    """(value, grade) points where there is no check."""
    plausible: tuple[float, float] | None = cell(read.pair, None)
    how: str = cell(read.text, "")
    minutes_per_note: float = cell(read.not_negative)
    """Time to put one note right [min]."""
    setup_hours: float = cell(read.not_negative)
    """Time before the first note [h]."""
    disturbs: tuple[str, ...] = cell(read.names, ())
    """Adjustments to be gone through again on the same notes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DamperReach(Row):
    """How far up damper felts commonly go."""

    felt: str = cell(read.filled)
    """wedge | any."""
    label: str = cell(read.filled)
    note_low: float = cell(read.between(1.0, 88.0))
    """[key number]."""
    note_high: float = cell(read.between(1.0, 88.0))
    """[key number]."""
