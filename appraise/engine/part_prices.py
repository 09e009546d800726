"""Condition, price level and costs joined for the search of plans."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.belief import SOUND_ENOUGH
from appraise.engine.identity_cache import IdentityCache
from appraise.engine.plan import Prices
from appraise.engine.points import along_at
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.condition import ComponentDraws, Condition
    from appraise.engine.subject import Instrument, Part

    Array = NDArray[np.float64]


def priced(state: Condition, subject: Instrument, level: Array, costs: Mapping[str, Array]) -> Prices:
    """Join condition, price level and costs for the search of plans.

    What a component is worth is its share of cost times what is left of it, its market age's factor included, less what
    its looks take off the whole: (1 − share of the value that they leave) of what the whole would come to with every
    part sound. Taken off the sound whole and not off what the other parts happen to leave, the looks of one part and
    the wear of another add up, and the best plan can be found part by part.
    """
    worn = [state.worn[part.key] for part in subject.parts]
    sounds = [one.sound for one in worn]
    shares = {part.key: part.share for part in subject.parts}
    whole = _WHOLE.of(sounds, tuple(shares.values()), partial(_weighed, tuple(shares.values()), sounds))
    room: dict[str, Array] = {}
    left: dict[str, Array] = {}
    after: dict[tuple[str, str], Array] = {}
    for part, one in zip(subject.parts, worn, strict=True):
        key = part.key
        told = _LOST.of((one, whole, part.row), part.share, partial(_lost, part, one, whole))
        left[key], room[key] = told.left, told.room
        for job, column in told.after.items():
            after[job, key] = column
    return Prices(level, shares, left, after, costs, state.gates, state.gates_after, room)


@dataclass(frozen=True, eq=False)
class _Lost:
    """What one component has lost of its share, its looks included; see `priced` [–], arrays of shape (n,)."""

    left: Array
    room: Array
    after: Mapping[str, Array]


_WHOLE: IdentityCache[Array] = IdentityCache(16, for_changes=True)
_LOST: IdentityCache[_Lost] = IdentityCache(192, for_changes=True)


def _weighed(shares: Sequence[float], columns: Sequence[Array]) -> Array:
    found: Array = np.asarray(sum(share * column for share, column in zip(shares, columns, strict=True)))
    return found


def _lost(part: Part, one: ComponentDraws, whole: Array) -> _Lost:
    if one.look is None:
        left = 1.0 - one.kept
        after = {job: left if kept is one.kept else 1.0 - kept for job, kept in one.kept_after.items()}
        return _Lost(left, np.maximum(0.0, one.sound - one.kept), after)
    taken = whole / part.share
    left = 1.0 - one.kept + taken * (1.0 - one.look)
    looks = along_at(part.row.appearance, SOUND_ENOUGH)
    room = np.maximum(0.0, one.sound - one.kept) + taken * np.maximum(0.0, looks - one.look)
    after = {}
    for job, kept in one.kept_after.items():
        look = one.look_after[job]
        same = kept is one.kept and look is one.look
        after[job] = left if same else 1.0 - kept + taken * (1.0 - look)
    return _Lost(left, room, after)
