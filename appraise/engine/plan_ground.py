"""What a search for the best plan finds before it looks at the price level, so that many levels can share it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.plan import Prices, Space

    Array = NDArray[np.float64]

_Asked = tuple[str, frozenset[str], str]
"""A component, the jobs of a bundle that work on it, and one more job or none."""

SLACK = 1e-12
"""Difference of two usabilities below which they are one [–]."""


@dataclass(frozen=True, eq=False)
class Ground:
    """What a search finds before it looks at the price level: the same for every level of one condition."""

    before: Array
    """Σ share · (1 − D) as it stands [–], shape (n,)."""
    lowest: Array
    higher: list[tuple[NDArray[np.intp], Array, Array]]
    """Batches of (draws, level of each, the least that opening it costs), see `_levels` and `_openers`."""
    most: Array | float
    """Σ share · (1 − D) with every part mended [–]."""
    helpful: frozenset[str]
    """Jobs that mend anything in any draw, with the jobs those need."""
    rises: Rises
    """At the lowest level, which every plan reaches."""


def ground_of(plans: Space, prices: Prices) -> Ground:
    """Return what depends on condition and costs, and not on the price level."""
    lowest, batches = _levels(prices)
    helpful = helpful_jobs(plans, prices)
    higher = _openers(plans, helpful, prices, batches)
    most = _most(helpful, prices) if higher else 0.0
    return Ground(prices.before, lowest, higher, most, helpful, Rises(plans, prices))


class Rises:
    """What sets of jobs give back of a component's depreciation [–], each worked out once."""

    def __init__(self, plans: Space, prices: Prices) -> None:
        self._plans, self._prices = plans, prices
        self._known: dict[_Asked, Array] = {}

    def of(self, part: str, bundle: frozenset[str]) -> Array | None:
        """Return what the jobs of a bundle give back, shape (n,); none where none of them works on the part."""
        doing = self._doing(part, bundle)
        return self._given_back((part, doing, "")) if doing else None

    def with_job(self, part: str, bundle: frozenset[str], key: str) -> Array:
        """Return what they give back with one more job that works on the part, shape (n,)."""
        return self._given_back((part, self._doing(part, bundle), key))

    def at(self, places: NDArray[np.intp]) -> Rises:
        """Return the same in some of the draws, repeated or left out."""
        return _RisesAt(self._plans, self._prices, self, places)

    def _doing(self, part: str, bundle: frozenset[str]) -> frozenset[str]:
        return frozenset(key for key in bundle if part in self._plans.jobs[key].improves)

    def _given_back(self, asked: _Asked) -> Array:
        found = self._known.get(asked)
        if found is None:
            found = self._known[asked] = self._worked_out(asked)
        return found

    def _worked_out(self, asked: _Asked) -> Array:
        part, doing, key = asked
        left = mended = self._prices.left[part]
        for job in (*doing, key) if key else doing:
            mended = np.minimum(mended, self._prices.after[job, part])
        return left - mended


class _RisesAt(Rises):
    """Those of all the draws, taken at some of them."""

    def __init__(self, plans: Space, prices: Prices, whole: Rises, places: NDArray[np.intp]) -> None:
        super().__init__(plans, prices)
        self._whole, self._places = whole, places

    def _worked_out(self, asked: _Asked) -> Array:
        return self._whole._given_back(asked)[self._places]


def _levels(prices: Prices) -> tuple[Array, list[tuple[NDArray[np.intp], Array]]]:
    """Return the usability that each draw has as it stands, and the greater ones that work can bring it to.

    Returns:
        The least level, shape (n,); and batches of (draws, level of each), no draw twice in a batch. Levels below the
        first are left out, for every plan reaches that; so are those that some critical component cannot reach.
    """
    ones = np.ones(prices.level.size)
    if not prices.gates:
        return ones, []
    lowest = np.minimum.reduce([ones, *prices.gates.values()])
    reach = dict(prices.gates)
    for (_, part), gate in prices.gates_after.items():
        reach[part] = np.maximum(reach[part], gate)
    greatest = np.minimum.reduce([ones, *reach.values()])
    open_ = np.flatnonzero(greatest > lowest + SLACK)
    if not open_.size:
        return lowest, []
    gates = {id(gate): gate for gate in (*prices.gates.values(), *prices.gates_after.values())}
    rows = {column.tobytes(): column for column in (gate[open_] for gate in gates.values())}
    levels = np.sort(np.minimum(np.stack([*rows.values(), np.ones(open_.size)]), 1.0), axis=0)
    wanted = (levels > lowest[open_] + SLACK) & (levels <= greatest[open_] + SLACK)
    wanted[1:] &= np.diff(levels, axis=0) > SLACK
    return lowest, [(open_[take], row[take]) for row, take in zip(levels, wanted, strict=True) if take.any()]


def _most(helpful: frozenset[str], prices: Prices) -> Array | float:
    """Return Σ share · (1 − D) with every part mended as far as any job goes [–]."""
    least = dict(prices.left)
    for (key, part), loss in prices.after.items():
        if key in helpful:
            least[part] = np.minimum(least[part], loss)
    return sum(prices.shares[part] * (1.0 - loss) for part, loss in least.items())


def _openers(
    plans: Space, helpful: frozenset[str], prices: Prices, batches: list[tuple[NDArray[np.intp], Array]]
) -> list[tuple[NDArray[np.intp], Array, Array]]:
    """Put beside each batch of `_levels` the cost of the one job that none of its plans can spare [money]."""
    openers = [
        (part, gate, sum((prices.costs[need] for need in sorted(plans.jobs[key].requires)), prices.costs[key]))
        for (key, part), gate in prices.gates_after.items()
        if key in helpful
    ]
    found = []
    for draws, level in batches:
        enough = level - SLACK
        dearest = np.zeros(draws.size)
        for part, gate in prices.gates.items():
            shut = gate[draws] < enough
            if not shut.any():
                continue
            cheapest = np.full(draws.size, np.inf)
            for opened, reached, cost in openers:
                if opened == part:
                    cheapest = np.where(reached[draws] >= enough, np.minimum(cheapest, cost[draws]), cheapest)
            dearest = np.where(shut, np.maximum(dearest, cheapest), dearest)
        found.append((draws, level, dearest))
    return found


def helpful_jobs(plans: Space, prices: Prices) -> frozenset[str]:
    """Return the jobs that mend anything in any draw, with the jobs those need."""
    found: set[str] = set()
    for key, job in plans.jobs.items():
        for part in job.improves:
            mended = _rises(prices.after[key, part], prices.left[part])
            if mended or (part in prices.gates and _rises(prices.gates[part], prices.gates_after[key, part])):
                found |= {key, *job.requires}
                break
    return frozenset(found)


def _rises(before: Array, after: Array) -> bool:
    """Return whether a figure is greater after than before in any draw; a figure left alone is the same array."""
    return after is not before and bool((after > before).any())
