"""A regulation sheet: which notes are out of tolerance, and the hours that putting them right takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping


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
