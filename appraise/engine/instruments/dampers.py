"""Dampers: notes that ring on, and how far up each kind of felt goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.grade import anchored
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence


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
