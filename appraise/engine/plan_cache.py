"""What a search for the best plan finds before it looks at the price level, so that many levels can share it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from appraise.engine.identity_cache import IdentityCache
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from appraise.engine.plan import Prices, Space

Array = NDArray[np.float64]
_Asked = tuple[str, tuple[str, ...], str]
"""A component, jobs that work on it, and one more job or none."""

Batches = list[tuple[NDArray[np.intp], Array]]
"""Batches of (draws, usability of each [–]), no draw twice in a batch."""
_Levels = tuple[Array, Batches]

SLACK = 1e-12
"""Difference of two usabilities below which they are one [–]."""


@dataclass(frozen=True, eq=False)
class Ground:
    """What a search finds before it looks at the price level: the same for every level of one condition."""

    before: Array
    """Σ share · (1 − D) as it stands [–], shape (n,)."""
    lowest: Array
    batches: Batches
    """Draws and the usabilities that work can bring each of them to, see `_levels`."""
    helpful: frozenset[str]
    """Jobs that mend anything in any draw, with the jobs those need."""
    rises: Rises
    offers: Mapping[str, tuple[Offer, ...]]
    """Jobs that work on a component, by component."""
    paying: Mapping[str, Array]
    """Worth, usability times level, from which a job on a component may pay for itself [money], shape (n,); components
    that no job improves are left out."""
    open: frozenset[str]
    """Components whose gate is open in every draw."""


@dataclass(frozen=True, eq=False)
class Offer:
    """One job on one component; arrays of shape (n,)."""

    rise: Array
    """Depreciation given back [–]."""
    part_cost: Array
    """Cost of the job over the number of components that it works on [money]."""
    gate: Array | None
    """Usability after it [–]; none where the component has no gate."""


def ground_of(plans: Space, prices: Prices) -> Ground:
    """Return what depends on condition and costs, and not on the price level."""
    return _GROUND.of((plans, prices), None, partial(_ground_of, plans, prices))


_GROUND: IdentityCache[Ground] = IdentityCache(4)


def _ground_of(plans: Space, prices: Prices) -> Ground:
    helpful = helpful_jobs(plans, prices)
    gates = [*prices.gates.values(), *prices.gates_after.values()]
    named = (tuple(prices.gates), tuple(prices.gates_after))
    lowest, batches = _LEVELS.of(gates, (named, prices.level.size), partial(_levels, prices))
    offers = _offers(plans, helpful, prices)
    return Ground(
        prices.before,
        lowest,
        batches,
        helpful,
        Rises(plans, prices),
        offers,
        _paying(offers, prices),
        frozenset(part for part, gate in prices.gates.items() if float(gate.min()) >= 1.0 - SLACK),
    )


def _offers(plans: Space, helpful: frozenset[str], prices: Prices) -> dict[str, tuple[Offer, ...]]:
    found: dict[str, list[Offer]] = {}
    for (key, part), after in prices.after.items():
        if key in helpful:
            left, gate, cost = prices.left[part], prices.gates_after.get((key, part)), prices.costs[key]
            among = len(plans.jobs[key].improves)
            made_from = (left, after, cost, gate)
            found.setdefault(part, []).append(_OFFERS.of(made_from, among, partial(_offer, *made_from, among)))
    return {part: tuple(offers) for part, offers in found.items()}


def _offer(left: Array, after: Array, cost: Array, gate: Array | None, among: int) -> Offer:
    return Offer(np.maximum(0.0, left - after), cost / among, gate)


_OFFERS: IdentityCache[Offer] = IdentityCache(512, for_changes=True)


def _paying(offers: Mapping[str, tuple[Offer, ...]], prices: Prices) -> dict[str, Array]:
    """Return the worth from which the cheapest rise of each component may pay, its shared jobs paid in part.

    If no component's share of a job's gain exceeds its share of the job's cost, the job does not pay; so a cluster
    none of whose components may gain is best left alone.
    """
    found = {}
    for part, each in offers.items():
        share, room = prices.shares[part], prices.room.get(part)
        found[part] = _PAYING.of((*each, room), share, partial(_least_worth, each, share, room))
    return found


def _least_worth(offers: Sequence[Offer], share: float, room: Array | None) -> Array:
    least = np.full(offers[0].rise.size, np.inf)
    for offer in offers:
        rise = share * offer.rise
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            needed = np.where(rise > 0.0, offer.part_cost / rise, np.inf)
        np.minimum(least, needed, out=least)
    if room is not None:
        least[room <= 0.0] = np.inf
    return least


_PAYING: IdentityCache[Array] = IdentityCache(256, for_changes=True)


class Rises:
    """What sets of jobs give back of a component's depreciation [–], each worked out once."""

    def __init__(self, plans: Space, prices: Prices) -> None:
        self._plans, self._prices = plans, prices
        self._known: dict[_Asked, Array] = {}
        self._working: dict[tuple[str, frozenset[str]], tuple[str, ...]] = {}

    def working(self, part: str, bundle: frozenset[str]) -> tuple[str, ...]:
        """Return the jobs of a bundle that work on a part, in one order."""
        found = self._working.get((part, bundle))
        if found is None:
            found = tuple(key for key in sorted(bundle) if part in self._plans.jobs[key].improves)
            self._working[part, bundle] = found
        return found

    def of(self, part: str, doing: tuple[str, ...]) -> Array | None:
        """Return what jobs that work on a part give back, shape (n,); none where there are none."""
        return self._given_back((part, doing, "")) if doing else None

    def with_job(self, part: str, doing: tuple[str, ...], key: str) -> Array:
        """Return what they give back with one more job that works on the part, shape (n,)."""
        return self._given_back((part, doing, key))

    def _given_back(self, asked: _Asked) -> Array:
        found = self._known.get(asked)
        if found is None:
            found = self._known[asked] = self._worked_out(asked)
        return found

    def _worked_out(self, asked: _Asked) -> Array:
        part, doing, key = asked
        left = self._prices.left[part]
        afters = [self._prices.after[job, part] for job in (*doing, key) if job]
        return _RISES.of((left, *afters), None, partial(_given_back, left, afters))


_LEVELS: IdentityCache[_Levels] = IdentityCache(16, for_changes=True)


def _given_back(left: Array, afters: Iterable[Array]) -> Array:
    mended = left
    for after in afters:
        mended = np.minimum(mended, after)
    return left - mended


_RISES: IdentityCache[Array] = IdentityCache(512, for_changes=True)


def _levels(prices: Prices) -> _Levels:
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
    rows = {column.tobytes(): column for column in (gate[open_] for gate in gates.values()) if column.min() < 1.0}
    levels = np.sort(np.minimum(np.stack([*rows.values(), np.ones(open_.size)]), 1.0), axis=0)
    wanted = (levels > lowest[open_] + SLACK) & (levels <= greatest[open_] + SLACK)
    wanted[1:] &= np.diff(levels, axis=0) > SLACK
    return lowest, [(open_[take], row[take]) for row, take in zip(levels, wanted, strict=True) if take.any()]


def most_left(helpful: frozenset[str], prices: Prices) -> Array | float:
    """Return Σ share · (1 − D) with every part mended as far as any job goes [–]."""
    least = dict(prices.left)
    for (key, part), loss in prices.after.items():
        if key in helpful:
            least[part] = np.minimum(least[part], loss)
    return sum(prices.shares[part] * (1.0 - loss) for part, loss in least.items())


def opening_costs(plans: Space, helpful: frozenset[str], prices: Prices, batches: Batches) -> Array:
    """Return the cost of the jobs that no plan can spare which reaches a usability [money], one batch after the other.

    In every cluster the dearest of the cheapest openers of its shut gates: clusters share no job, so these add up.
    """
    opening = [(key, part) for key, part in prices.gates_after if key in helpful]
    needed = sorted({need for key, _ in opening for need in (key, *plans.jobs[key].requires)})
    made_from = [
        plans,
        batches,
        *prices.gates.values(),
        *(prices.gates_after[each] for each in opening),
        *(prices.costs[key] for key in needed),
    ]
    how = (tuple(prices.gates), tuple(opening))
    return _OPENING.of(made_from, how, partial(_opening_costs, plans, helpful, prices, batches))


_OPENING: IdentityCache[Array] = IdentityCache(8, for_changes=True)


def _opening_costs(plans: Space, helpful: frozenset[str], prices: Prices, batches: Batches) -> Array:
    openers: dict[str, list[tuple[Array, Array]]] = {}
    for (key, part), gate in prices.gates_after.items():
        if key in helpful:
            cost = sum((prices.costs[need] for need in sorted(plans.jobs[key].requires)), prices.costs[key])
            openers.setdefault(part, []).append((gate, cost))
    covered = {part for cluster in plans.clusters for part in cluster.components}
    groups = [
        *(tuple(part for part in cluster.components if part in prices.gates) for cluster in plans.clusters),
        *((part,) for part in prices.gates if part not in covered),
    ]
    draws = np.concatenate([draws for draws, _ in batches])
    enough = np.concatenate([level for _, level in batches]) - SLACK
    spent = np.zeros(draws.size)
    for parts in groups:
        dearest: Array | None = None
        for part in parts:
            shut = np.flatnonzero(prices.gates[part][draws] < enough)
            if not shut.size:
                continue
            there, wanted = draws[shut], enough[shut]
            cheapest = np.full(shut.size, np.inf)
            for reached, cost in openers.get(part, ()):
                np.minimum(cheapest, np.where(reached[there] >= wanted, cost[there], np.inf), out=cheapest)
            if dearest is None:
                dearest = np.zeros(draws.size)
            dearest[shut] = np.maximum(dearest[shut], cheapest)
        if dearest is not None:
            spent += dearest
    return spent


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
