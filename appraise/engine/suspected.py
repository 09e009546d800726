"""A fault that is suspected: how likely it is there, and what its check counts for if it is."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from appraise.engine.condition import ComponentDraws
    from appraise.engine.grade import Judged
    from appraise.engine.sampler import Sampler
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]


def suspected_share(probability_pct: float | None, tables: Tables) -> float:
    """Return how likely a suspected fault is there [–]: as stated [%], else the table's."""
    return (tables.setting("suspected_pct") if probability_pct is None else probability_pct) / 100.0


def settled(judged: Judged) -> Judged:
    """Return the result of a suspected fault as if it were there."""
    found = judged.result
    if found.grade_there is None:
        return judged
    return replace(judged, result=replace(found, grade=found.grade_there, chance=0.0, grade_there=None))


SUSPECTED = "suspected."
"""Start of the names of the inputs that suspected faults are."""


@lru_cache(maxsize=64)
def drawn_in_doubt(
    absent: ComponentDraws, there: ComponentDraws, check: str, chance: float, source: Sampler
) -> ComponentDraws:
    """Return a component without a suspected fault, and with it in the draws where it is there; kept.

    Args:
        absent: The component without it.
        there: The same with it.
        check: That the fault is suspected by.
        chance: How likely it is there [–].
        source: The draws of both.
    """
    return in_doubt(absent, there, struck_by(check, chance, source))


def struck_by(check: str, chance: float, source: Sampler) -> NDArray[np.bool_]:
    """Tell in which draws a suspected fault is there, shape (n,); at the central figures where that is likelier.

    Notes:
        The fault is there where its own column lies below the chance, so that a greater chance only adds draws and
        never takes one away.
    """
    at = np.array([0.5]) if source.central else draws.rectangular(source.seed, f"{SUSPECTED}{check}", source.n)
    found: NDArray[np.bool_] = at < chance
    return found


def in_doubt(absent: ComponentDraws, there: ComponentDraws, struck: NDArray[np.bool_]) -> ComponentDraws:
    """Return a component as it is without a fault, and as it is with it where `struck` says so, shape (n,)."""

    def mixed(one: Array, other: Array) -> Array:
        found: Array = np.where(struck, other, one)
        found.flags.writeable = False
        return found

    def each(ones: Mapping[str, Array], others: Mapping[str, Array]) -> Mapping[str, Array]:
        return {job: mixed(one, others[job]) for job, one in ones.items()}

    return replace(
        absent,
        left=mixed(absent.left, there.left),
        kept=mixed(absent.kept, there.kept),
        kept_after=each(absent.kept_after, there.kept_after),
        gate=None if absent.gate is None or there.gate is None else mixed(absent.gate, there.gate),
        gate_after=each(absent.gate_after, there.gate_after),
        look=None if absent.look is None or there.look is None else mixed(absent.look, there.look),
        look_after=each(absent.look_after, there.look_after),
    )
