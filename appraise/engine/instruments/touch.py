"""Touchweight: friction and balance from the weights that just sink a key and that it just lifts."""

from __future__ import annotations

from enum import StrEnum
from statistics import median
from typing import TYPE_CHECKING

from appraise.engine.grade import anchored
from appraise.engine.instruments.sampling import OUT_OF_TOLERANCE
from appraise.model.case import Kind
from appraise.model.lazy_dataclass import dataclass
from appraise.tables.rows_measurements import Sense

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from appraise.tables.rows_measurements import NoteNorm

QUANTITIES = {
    Kind.GRAND: {
        "downweight": "downweight_grand",
        "upweight": "upweight",
        "friction": "touch_friction",
        "balance": "balance_weight",
    },
    Kind.UPRIGHT: {"downweight": "downweight_upright"},
}
"""The check that judges each quantity; in an upright the upweight says too little to be judged."""

_REACH = 8
"""Keys on either side that are neighbours."""
_LEAST_NEIGHBOURS = 3


class Fault(StrEnum):
    """Why a note stands out."""

    OUT = "out of tolerance"
    HIGH = "above its place"
    LOW = "below its place"
    UNEVEN = "uneven"


@dataclass(frozen=True, slots=True)
class Line:
    """Values expected across the compass."""

    points: tuple[tuple[float, float], ...]
    """(key number, value)."""
    below: float | None
    """Most that a note may lie under the line; none: any."""
    above: float | None
    even: float
    """Most that it may lie from its neighbours; 0: not judged."""

    def at(self, note: int) -> float:
        """Return what is expected at a note, in the unit of the points."""
        return anchored(float(note), self.points)


def line_of(norm: NoteNorm) -> Line:
    """Return a row of norms as the line it describes."""
    below = None if norm.sense is Sense.MOST else norm.departure
    above = None if norm.sense is Sense.LEAST else norm.departure
    return Line(norm.points, below, above, norm.even)


@dataclass(frozen=True, slots=True)
class Flag:
    """A note that stands out."""

    note: int
    fault: Fault
    value: float
    expected: float
    """At this note, or among its neighbours where it is uneven."""


def friction(down: float, up: float) -> float:
    """Return the friction of a key and its action [g]: (D − U)/2.

    The downweight D is the least that sinks the key slowly, the upweight U the most that it still lifts.

    Raises:
        ValueError: The key lifts more than sinks it.
    """
    if up > down:
        raise ValueError(f"found an upweight of {up:g} g over a downweight of {down:g} g, expected no more than that")
    return 0.5 * (down - up)


def balance(down: float, up: float) -> float:
    """Return the balance weight [g]: (D + U)/2, what would hold the key were there no friction.

    Raises:
        ValueError: The key lifts more than sinks it.
    """
    return down - friction(down, up)


def flags_of(values: Mapping[int, float], line: Line, anchors: Sequence[tuple[float, float]]) -> tuple[Flag, ...]:
    """Return the notes that stand out, lowest first; a note may stand out in more than one way.

    A note is uneven when its departure from the line differs from the median departure of the notes measured up to
    eight keys away on either side, three at least, by more than the line allows: the slope of the compass is no
    unevenness.
    """
    notes = sorted(values)
    departures = [values[note] - line.at(note) for note in notes]
    found: list[Flag] = []
    for place, note in enumerate(notes):
        value, expected, apart = values[note], line.at(note), departures[place]
        if anchored(value, anchors) > OUT_OF_TOLERANCE:
            found.append(Flag(note, Fault.OUT, value, expected))
        if line.above is not None and apart > line.above:
            found.append(Flag(note, Fault.HIGH, value, expected))
        if line.below is not None and -apart > line.below:
            found.append(Flag(note, Fault.LOW, value, expected))
        around = [departures[i] for i, other in enumerate(notes) if i != place and abs(other - note) <= _REACH]
        if line.even and len(around) >= _LEAST_NEIGHBOURS and abs(apart - median(around)) > line.even:
            found.append(Flag(note, Fault.UNEVEN, value, expected + median(around)))
    return tuple(found)


class Cause(StrEnum):
    """Cause of a key that is too heavy or too light."""

    FRICTION = "friction"
    WEIGHT = "weight"
    LOOSE = "loose"
    LIGHT = "light"
    HIDDEN = "hidden friction"
    NONE = "none"


def cause_of(down: float, up: float, expected_down: Line, expected_friction: Line, note: int) -> Cause:
    """Tell friction from weight at one note, all in [g].

    Returns:
        FRICTION: heavy, and friction is high; WEIGHT: heavy without it (hammers, leads, leverage); LOOSE: friction
        below its place (worn or loose centres and bushings); LIGHT: light without that; HIDDEN: friction is high
        though the downweight is as expected, so that leads carry it.
    """
    apart = down - expected_down.at(note)
    rubbing = friction(down, up) - expected_friction.at(note)
    high = expected_friction.above is not None and rubbing > expected_friction.above
    low = expected_friction.below is not None and -rubbing > expected_friction.below
    if expected_down.above is not None and apart > expected_down.above:
        return Cause.FRICTION if high else Cause.WEIGHT
    if high:
        return Cause.HIDDEN
    if low:
        return Cause.LOOSE
    if expected_down.below is not None and -apart > expected_down.below:
        return Cause.LIGHT
    return Cause.NONE
