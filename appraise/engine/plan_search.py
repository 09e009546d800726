"""The search for the best plan: exact in every draw, cluster by cluster, at every usability that work can reach."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.plan import standing, taken

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.plan import Cluster, Prices, Space

    Array = NDArray[np.float64]
    Masks = NDArray[np.object_]

_SLACK = 1e-12


@dataclass(frozen=True, eq=False)
class Best:
    """The outcome of the search."""

    gain: Array
    """Best value after work less cost, over every plan, doing nothing included [money], shape (n,)."""
    plans: tuple[frozenset[str], ...]
    """The plan that reaches it, one a draw."""


class _Top:
    """The best seen so far in every draw, and the jobs that reach it where they are asked for."""

    def __init__(self, n: int, *, named: bool, gain: Array | None = None) -> None:
        self.gain: Array = np.full(n, -np.inf) if gain is None else gain
        self.jobs: Masks | None = _no_jobs(n) if named else None

    def offer(self, gain: Array, jobs: Masks | None) -> None:
        """Take what is better than what is held."""
        if self.jobs is not None and jobs is not None:
            self.jobs = np.where(gain > self.gain, jobs, self.jobs)
        self.gain = np.maximum(self.gain, gain)

    def add(self, other: _Top) -> None:
        """Do both."""
        self.gain = self.gain + other.gain
        if self.jobs is not None and other.jobs is not None:
            self.jobs = self.jobs | other.jobs


def best(plans: Space, prices: Prices) -> Best:
    """Find, for every draw, the plan with the greatest value after work less its cost.

    Args:
        plans: From `space`.
        prices: Arrays of one shape (n,); meant for few draws, as the plans are kept one by one.

    Returns:
        The greatest value [money] and the plan that reaches it, for every draw.

    Notes:
        Usability u is the least gate of the critical components. For every level that u can take, only plans that
        reach it are admitted and each is credited with the level itself: no plan is overrated, and the best plan is
        met at its own level, so the maximum is exact. At a fixed level the clusters part, and inside a cluster the
        components part once the switch jobs are fixed.
    """
    top = _search(plans, prices, named=True)
    keys = list(plans.jobs)
    masks = [] if top.jobs is None else top.jobs.tolist()
    return Best(top.gain, tuple(frozenset(key for i, key in enumerate(keys) if mask >> i & 1) for mask in masks))


def best_gain(plans: Space, prices: Prices, ground: Ground | None = None) -> Array:
    """Return the gain of `best` [money], shape (n,), without the plans that reach it: quick for many draws.

    Args:
        plans: From `space`.
        prices: Arrays of one shape (n,).
        ground: `ground_of(plans, prices)`, where it is at hand.
    """
    return _search(plans, prices, named=False, ground=ground).gain


@dataclass(frozen=True, eq=False)
class Ground:
    """What a search finds before it looks at any price: the same for every level of the same condition."""

    before: Array
    """Σ share · (1 − D) as it stands [–], shape (n,)."""
    lowest: Array
    higher: list[tuple[NDArray[np.intp], Array]]
    helpful: frozenset[str]
    """Jobs that mend anything in any draw, with the jobs those need."""


def ground_of(plans: Space, prices: Prices) -> Ground:
    """Return what depends on the condition alone."""
    lowest, higher = _levels(prices)
    return Ground(standing(prices), lowest, higher, _helpful(plans, prices))


def _search(plans: Space, prices: Prices, *, named: bool, ground: Ground | None = None) -> _Top:
    n = prices.level.size
    known = ground_of(plans, prices) if ground is None else ground
    before, lowest, higher, helpful = known.before, known.lowest, known.higher, known.helpful
    top = _best_at(plans, helpful, prices, lowest, before, named=named)
    higher = _promising(plans, helpful, prices, higher, top.gain) if higher else []
    if not higher:
        return top
    # Every further level of every draw in one search: a draw stands in it once for each of its levels.
    places = np.concatenate([draws for draws, _ in higher])
    level = np.concatenate([reached for _, reached in higher])
    found = _best_at(plans, helpful, taken(prices, helpful, places), level, before[places], named=named)
    start = 0
    for draws, _ in higher:
        part = slice(start, start + draws.size)
        one = _Top(n, named=named)
        one.gain[draws] = found.gain[part]
        if one.jobs is not None and found.jobs is not None:
            one.jobs[draws] = found.jobs[part]
        top.offer(one.gain, one.jobs)
        start += draws.size
    return top


def _no_jobs(n: int) -> Masks:
    """Return n empty sets of jobs as bit masks: Python integers, for there may be more than 64 jobs."""
    masks = np.empty(n, dtype=object)
    masks[:] = 0
    return masks


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
    open_ = np.flatnonzero(greatest > lowest + _SLACK)
    if not open_.size:
        return lowest, []
    rows: list[Array] = []
    for gate in (*prices.gates.values(), *prices.gates_after.values()):
        column = gate[open_]
        if not any(np.array_equal(column, other) for other in rows):
            rows.append(column)
    levels = np.sort(np.minimum(np.stack([*rows, np.ones(open_.size)]), 1.0), axis=0)
    wanted = (levels > lowest[open_] + _SLACK) & (levels <= greatest[open_] + _SLACK)
    wanted[1:] &= np.diff(levels, axis=0) > _SLACK
    return lowest, [(open_[take], row[take]) for row, take in zip(levels, wanted, strict=True) if take.any()]


def _promising(
    plans: Space, helpful: frozenset[str], prices: Prices, batches: list[tuple[NDArray[np.intp], Array]], held: Array
) -> list[tuple[NDArray[np.intp], Array]]:
    """Leave out the levels that cannot pay: not even with every part mended and the one job paid that none can spare.

    Args:
        plans: From `space`.
        helpful: Jobs that mend anything.
        prices: What the search weighs.
        batches: From `_levels`.
        held: Best gain at the level that each draw has as it stands [money].
    """
    least = dict(prices.left)
    for (key, part), loss in prices.after.items():
        if key in helpful:
            least[part] = np.minimum(least[part], loss)
    most = prices.level * sum(prices.shares[part] * (1.0 - loss) for part, loss in least.items())
    openers = [
        (part, gate, sum((prices.costs[need] for need in sorted(plans.jobs[key].requires)), prices.costs[key]))
        for (key, part), gate in prices.gates_after.items()
        if key in helpful
    ]
    found = []
    for draws, level in batches:
        enough = level - _SLACK
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
        keep = level * most[draws] - dearest > held[draws]
        if keep.any():
            found.append((draws[keep], level[keep]))
    return found


def _best_at(
    plans: Space, helpful: frozenset[str], prices: Prices, level: Array, before: Array, *, named: bool
) -> _Top:
    """Return the best gain among the plans that reach usability `level`, valued at that level."""
    worth = level * prices.level
    total = _Top(level.size, named=named, gain=worth * before)
    covered: set[str] = set()
    for cluster in plans.clusters:
        total.add(_best_of_cluster(plans, cluster, helpful, prices, level, worth, named=named))
        covered.update(cluster.components)
    for key, gate in prices.gates.items():
        if key not in covered:
            total.gain = np.where(gate >= level - _SLACK, total.gain, -np.inf)
    return total


def _helpful(plans: Space, prices: Prices) -> frozenset[str]:
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


def _best_of_cluster(
    plans: Space, cluster: Cluster, helpful: frozenset[str], prices: Prices, level: Array, worth: Array, *, named: bool
) -> _Top:
    top = _Top(level.size, named=named)
    known: dict[tuple[str, frozenset[str]], _Top] = {}
    for bundle in cluster.bundles:
        if not bundle <= helpful:
            continue
        one = _Top(level.size, named=named, gain=-sum((prices.costs[k] for k in sorted(bundle)), np.zeros(level.size)))
        if one.jobs is not None:
            one.jobs = one.jobs | sum(plans.bits[key] for key in bundle)
        for part in cluster.components:
            touching = bundle & cluster.touching[part]
            if (part, touching) not in known:
                offered = [key for key in cluster.single[part] if key in helpful]
                known[part, touching] = _best_of_component(
                    plans, offered, touching, part, prices, level, worth, named=named
                )
            one.add(known[part, touching])
        top.offer(one.gain, one.jobs)
    return top


def _best_of_component(
    plans: Space,
    offered: list[str],
    bundle: frozenset[str],
    part: str,
    prices: Prices,
    level: Array,
    worth: Array,
    *,
    named: bool,
) -> _Top:
    left = prices.left[part]
    scaled = worth * prices.shares[part]
    mended, gate = left, prices.gates.get(part)
    for key in bundle:
        if part in plans.jobs[key].improves:
            mended = np.minimum(mended, prices.after[key, part])
            if gate is not None:
                gate = np.maximum(gate, prices.gates_after[key, part])
    least = level - _SLACK
    gain = scaled * (left - mended)
    top = _Top(level.size, named=named, gain=gain if gate is None else np.where(gate >= least, gain, -np.inf))
    for key in offered:
        if not plans.jobs[key].requires <= bundle:
            continue
        gain = scaled * (left - np.minimum(mended, prices.after[key, part])) - prices.costs[key]
        if gate is not None:
            gain = np.where(np.maximum(gate, prices.gates_after[key, part]) >= least, gain, -np.inf)
        top.offer(gain, _single(plans.bits[key], level.size) if named else None)
    return top


def _single(bit: int, n: int) -> Masks:
    """Return one job as a bit mask for every draw."""
    masks = np.empty(n, dtype=object)
    masks[:] = bit
    return masks
