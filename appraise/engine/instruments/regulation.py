"""A regulation sheet and damper felts: notes out of tolerance, the hours of putting them right, how far a felt goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.grade import anchored
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence


@dataclass(frozen=True, slots=True)
class Adjustment:
    """The work that putting one adjustment right takes: minutes a note, hours to set up."""

    key: str
    minutes_per_note: float
    setup_hours: float
    disturbs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Job:
    """The work on one adjustment: notes, a mean where they come from a sample, and hours."""

    key: str
    notes: float
    hours: float
    follows: tuple[str, ...]
    """Adjustments that disturb it and are therefore the reason for some of it."""


def jobs_of(
    adjustments: Mapping[str, Adjustment], out: Mapping[str, float], population: int, whole_from: float
) -> tuple[Job, ...]:
    """Return the work that shares out of tolerance [–] ask for, in the order of the sheet; the set from `whole_from`.

    Notes of an adjustment that disturbs another are gone through again there: as many notes as the greater of the two,
    so that hours never fall when more is out.
    """
    notes: dict[str, float] = {}
    follows: dict[str, list[str]] = {}
    for key, share in out.items():
        if key in adjustments:
            notes[key] = float(population) if share >= whole_from else share * population
    for key in _in_order(adjustments):
        for after in adjustments[key].disturbs:
            if after in adjustments and notes.get(key, 0.0) > 0.0:
                follows.setdefault(after, []).append(key)
                notes[after] = max(notes.get(after, 0.0), notes[key])
    found = []
    for key, one in adjustments.items():
        count = notes.get(key, 0.0)
        if count > 0.0:
            hours = one.setup_hours + count * one.minutes_per_note / 60.0
            found.append(Job(key, count, hours, tuple(follows.get(key, ()))))
    return tuple(found)


def _in_order(adjustments: Mapping[str, Adjustment]) -> list[str]:
    """Return the keys so that what disturbs comes before what it disturbs, as far as there is no circle."""
    order: list[str] = []
    waiting = list(adjustments)
    while waiting:
        free = [
            key for key in waiting if not any(key in adjustments[other].disturbs for other in waiting if other != key)
        ]
        taken = free or waiting[:1]
        order += taken
        waiting = [key for key in waiting if key not in taken]
    return order


@dataclass(frozen=True, slots=True)
class Felts:
    """Extent of the felts."""

    last_wedge: int | None
    """Highest note with a wedge felt."""
    last: int | None
    """Highest note with a damper."""
    bare: tuple[int, ...]
    """Notes below the last damper with no felt told of."""
    both: tuple[int, ...]
    """Notes told of as wedge and as flat: one felt of each, as on many bass notes, or a slip."""


def felts_of(wedge: Collection[int], flat: Collection[int]) -> Felts:
    """Return how far the felts reach, from the key numbers with wedge (or half-wedge) and with flat felts."""
    told = set(wedge) | set(flat)
    last = max(told, default=None)
    bare = tuple(note for note in range(min(told), last) if note not in told) if last is not None else ()
    return Felts(max(wedge, default=None), last, bare, tuple(sorted(set(wedge) & set(flat))))


def ringing(seconds: Mapping[int, float], most: Sequence[tuple[float, float]]) -> dict[int, float]:
    """Return by how much notes ring on [s] beyond the (key number, seconds) points of the most allowed, worst first."""
    over = {note: time - anchored(float(note), most) for note, time in seconds.items()}
    return dict(sorted(((n, x) for n, x in over.items() if x > 0.0), key=lambda one: (-one[1], one[0])))
