"""Which work is worth doing: the best set of remedies, found exactly, with shared steps paid once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Masks = NDArray[np.object_]

_SLACK = 1e-12


@dataclass(frozen=True, slots=True)
class Job:
    """A remedy as the search sees it."""

    key: str
    improves: tuple[str, ...]
    requires: frozenset[str]
    """Everything it needs, directly or through others."""


@dataclass(frozen=True, slots=True)
class Cluster:
    """Components and jobs that touch each other; clusters do not."""

    components: tuple[str, ...]
    bundles: tuple[frozenset[str], ...]
    """Sets of switch jobs that can be done together, the empty set first. A switch is a job that others need, or
    that improves more or fewer than one component."""
    single: Mapping[str, tuple[str, ...]]
    """Component → jobs that improve it alone and that nothing else needs; of these a plan holds at most one."""
    touching: Mapping[str, frozenset[str]]
    """Component → switches that matter to it: they improve it, or one of its single jobs needs them."""


@dataclass(frozen=True, slots=True)
class Space:
    """Every plan there is, as clusters."""

    jobs: Mapping[str, Job]
    clusters: tuple[Cluster, ...]
    bits: Mapping[str, int]
    """Each job's bit in a set of jobs, in the order of `jobs`."""


@dataclass(frozen=True, eq=False)
class Prices:
    """What the search weighs; every array has shape (n,)."""

    level: Array
    """Price of the instrument as new on this market [money]."""
    shares: Mapping[str, float]
    """Share of replacement cost by component [–]."""
    left: Mapping[str, Array]
    """Depreciation as it stands, by component [–]."""
    after: Mapping[tuple[str, str], Array]
    """Depreciation after (job, component) [–]."""
    costs: Mapping[str, Array]
    """Cost of each job alone, contingency included [money]."""
    gates: Mapping[str, Array]
    """Usability by critical component as it stands [–]."""
    gates_after: Mapping[tuple[str, str], Array]
    """Usability after (job, critical component) [–]."""


def space(jobs: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]]) -> Space:
    """Arrange remedies so that the best plan can be found cluster by cluster.

    Args:
        jobs: Remedy → (components it improves, remedies it requires).

    Returns:
        The clusters, and each job with its requirements closed.
    """
    return _space(tuple(sorted((key, improves, requires) for key, (improves, requires) in jobs.items())))


@lru_cache(maxsize=16)
def _space(rows: tuple[tuple[str, tuple[str, ...], tuple[str, ...]], ...]) -> Space:
    direct = {key: frozenset(requires) for key, _, requires in rows}
    jobs = {key: Job(key, improves, _closure(key, direct)) for key, improves, _ in rows}
    needed = frozenset().union(*(job.requires for job in jobs.values())) if jobs else frozenset()
    switches = {key for key, job in jobs.items() if key in needed or len(job.improves) != 1}
    clusters = []
    for members in _connected(jobs):
        inside = sorted(members & switches)
        components = sorted({part for key in members for part in jobs[key].improves})
        single = {
            part: tuple(sorted(key for key in members - switches if jobs[key].improves == (part,)))
            for part in components
        }
        bundles = [
            frozenset(chosen)
            for size in range(len(inside) + 1)
            for chosen in combinations(inside, size)
            if all(jobs[key].requires <= frozenset(chosen) for key in chosen)
        ]
        touching = {
            part: frozenset(key for key in inside if part in jobs[key].improves).union(
                *(jobs[key].requires for key in single[part])
            )
            for part in components
        }
        clusters.append(Cluster(tuple(components), tuple(bundles), single, touching))
    return Space(jobs, tuple(clusters), {key: 1 << i for i, key in enumerate(jobs)})


def _closure(key: str, direct: Mapping[str, frozenset[str]]) -> frozenset[str]:
    found: set[str] = set()
    waiting = list(direct[key])
    while waiting:
        step = waiting.pop()
        if step not in found:
            found.add(step)
            waiting.extend(direct[step])
    return frozenset(found)


def _connected(jobs: Mapping[str, Job]) -> list[set[str]]:
    groups: list[tuple[set[str], set[str]]] = []
    for job in jobs.values():
        names = {f"component {part}" for part in job.improves} | {job.key} | set(job.requires)
        members = {job.key}
        rest = []
        for group_names, group_members in groups:
            if group_names & names:
                names |= group_names
                members |= group_members
            else:
                rest.append((group_names, group_members))
        groups = [*rest, (names, members)]
    return [members for _, members in groups]


@dataclass(frozen=True, eq=False)
class Best:
    """The outcome of the search."""

    gain: Array
    """Best value after work less cost, over every plan, doing nothing included [money], shape (n,)."""
    plans: tuple[frozenset[str], ...]
    """The plan that reaches it, one a draw."""


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
    n = prices.level.size
    before = standing(prices)
    top = np.full(n, -np.inf)
    masks = _no_jobs(n)
    for level in _levels(prices):
        gain, chosen = _best_at(plans, prices, level, before)
        masks = np.where(gain > top, chosen, masks)
        top = np.maximum(top, gain)
    keys = list(plans.jobs)
    found = [frozenset(key for i, key in enumerate(keys) if mask >> i & 1) for mask in masks.tolist()]
    return Best(top, tuple(found))


def _no_jobs(n: int) -> Masks:
    """Return n empty sets of jobs as bit masks: Python integers, for there may be more than 64 jobs."""
    masks = np.empty(n, dtype=object)
    masks[:] = 0
    return masks


def _levels(prices: Prices) -> list[Array]:
    """Return every level that usability can take in some draw."""
    found: list[Array] = [np.ones(prices.level.size)]
    if prices.gates:
        # The least gate as it stands is always reached, so doing nothing is always admitted.
        found.append(np.minimum.reduce([found[0], *prices.gates.values()]))
    for gate in (*prices.gates.values(), *prices.gates_after.values()):
        if float(gate.min()) < 1.0 and not any(np.array_equal(gate, other) for other in found):
            found.append(gate)
    return found


def _best_at(plans: Space, prices: Prices, level: Array, before: Array) -> tuple[Array, Masks]:
    """Return the best gain and plan among those that reach usability `level`, valued at that level."""
    worth = level * prices.level
    total: Array = worth * before
    chosen = _no_jobs(level.size)
    covered: set[str] = set()
    for cluster in plans.clusters:
        gain, masks = _best_of_cluster(plans, cluster, prices, level, worth)
        total = total + gain
        chosen = chosen | masks
        covered.update(cluster.components)
    for key, gate in prices.gates.items():
        if key not in covered:
            total = np.where(gate >= level - _SLACK, total, -np.inf)
    return total, chosen


def _best_of_cluster(plans: Space, cluster: Cluster, prices: Prices, level: Array, worth: Array) -> tuple[Array, Masks]:
    top = np.full(level.size, -np.inf)
    chosen = _no_jobs(level.size)
    known: dict[tuple[str, frozenset[str]], tuple[Array, Masks]] = {}
    for bundle in cluster.bundles:
        gain: Array = -sum((prices.costs[key] for key in sorted(bundle)), np.zeros(level.size))
        masks = _no_jobs(level.size) | sum(plans.bits[key] for key in bundle)
        for part in cluster.components:
            touching = bundle & cluster.touching[part]
            if (part, touching) not in known:
                known[part, touching] = _best_of_component(plans, cluster, touching, part, prices, level, worth)
            brought, jobs = known[part, touching]
            gain = gain + brought
            masks = masks | jobs
        chosen = np.where(gain > top, masks, chosen)
        top = np.maximum(top, gain)
    return top, chosen


def _best_of_component(
    plans: Space, cluster: Cluster, bundle: frozenset[str], part: str, prices: Prices, level: Array, worth: Array
) -> tuple[Array, Masks]:
    left = prices.left[part]
    scaled = worth * prices.shares[part]
    mended, gate = left, prices.gates.get(part)
    for key in bundle:
        if part in plans.jobs[key].improves:
            mended = np.minimum(mended, prices.after[key, part])
            if gate is not None:
                gate = np.maximum(gate, prices.gates_after[key, part])
    top = scaled * (left - mended)
    if gate is not None:
        top = np.where(gate >= level - _SLACK, top, -np.inf)
    chosen = _no_jobs(level.size)
    for key in cluster.single[part]:
        if not plans.jobs[key].requires <= bundle:
            continue
        gain = scaled * (left - np.minimum(mended, prices.after[key, part])) - prices.costs[key]
        if gate is not None:
            reached = np.maximum(gate, prices.gates_after[key, part])
            gain = np.where(reached >= level - _SLACK, gain, -np.inf)
        chosen = np.where(gain > top, plans.bits[key], chosen)
        top = np.maximum(top, gain)
    return top, chosen


def standing(prices: Prices) -> Array:
    """Return Σ share · (1 − D) as it stands [–], shape (n,)."""
    return sum((prices.shares[part] * (1.0 - left) for part, left in prices.left.items()), np.zeros(prices.level.size))


def outcome(
    plans: Space, prices: Prices, plan: frozenset[str], before: Array | None = None
) -> tuple[Array, Array, Array]:
    """Return what one plan leaves.

    Args:
        plans: From `space`.
        prices: Arrays of one shape.
        plan: Jobs done, with everything they require.
        before: `standing(prices)`, where it is at hand.

    Returns:
        Value before cost [money], cost [money], usability [–], each of shape (n,).
    """
    total = standing(prices) if before is None else before
    mended: dict[str, Array] = {}
    gates = dict(prices.gates)
    for key in sorted(plan):  # the order in which a set hands out its words changes from run to run
        for part in plans.jobs[key].improves:
            mended[part] = np.minimum(mended.get(part, prices.left[part]), prices.after[key, part])
            if part in gates:
                gates[part] = np.maximum(gates[part], prices.gates_after[key, part])
    gained = sum((prices.shares[part] * (prices.left[part] - loss) for part, loss in mended.items()), total)
    usable: Array = np.minimum.reduce([np.ones(prices.level.size), *gates.values()])
    cost = sum((prices.costs[key] for key in sorted(plan)), np.zeros(prices.level.size))
    return usable * prices.level * gained, cost, usable


def with_needs(plans: Space, key: str) -> frozenset[str]:
    """Return a job together with everything it requires."""
    return plans.jobs[key].requires | {key}
