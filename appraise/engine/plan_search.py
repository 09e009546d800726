"""The search for the best plan: exact in every draw, cluster by cluster, at every usability that work can reach."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.plan import gated
from appraise.engine.plan_ground import SLACK, ground_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.plan import Cluster, Prices, Space
    from appraise.engine.plan_ground import Ground, Rises

    Array = NDArray[np.float64]
    Masks = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class Best:
    """The outcome of the search."""

    gain: Array
    """Best value after work less cost, over every plan, doing nothing included [money], shape (n,)."""
    plans: tuple[frozenset[str], ...]
    """The plan that reaches it, one a draw."""


class _Top:
    """The best seen so far in every draw, and the jobs that reach it where they are asked for."""

    def __init__(self, shape: tuple[int, ...], *, named: bool, gain: Array | None = None) -> None:
        """Begin with nothing, or with a gain that is from now on ours to write in."""
        self.gain: Array = np.full(shape, -np.inf) if gain is None else gain
        self.jobs: Masks | None = _single(0, shape) if named else None

    def offer(self, gain: Array, jobs: Masks | None) -> None:
        """Take what is better than what is held."""
        if self.jobs is not None and jobs is not None:
            self.jobs = np.where(gain > self.gain, jobs, self.jobs)
        np.maximum(self.gain, gain, out=self.gain)

    def add(self, other: _Top) -> None:
        """Do both."""
        self.gain += other.gain
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
    top = _search(plans, prices, [prices.level], named=True)
    keys = list(plans.jobs)
    masks = [] if top.jobs is None else top.jobs[0].tolist()
    return Best(top.gain[0], tuple(frozenset(key for i, key in enumerate(keys) if mask >> i & 1) for mask in masks))


def best_gains(plans: Space, prices: Prices, levels: Sequence[Array]) -> Array:
    """Return the gain at several price levels of one instrument, sooner than one after the other.

    Args:
        plans: From `space`.
        prices: Condition and costs, the same at every level; arrays of shape (n,).
        levels: Price of the instrument as new [money], each of shape (n,).

    Returns:
        Gains [money], shape (levels, n); figure for figure those of `best`.
    """
    return _search(plans, prices, levels, named=False).gain


def _search(plans: Space, prices: Prices, levels: Sequence[Array], *, named: bool) -> _Top:
    known = ground_of(plans, prices)
    stacked = np.stack(levels)
    worth = known.lowest * stacked
    top = _best_at(plans, known, prices, worth, known.before, known.rises, {}, known.lowest, named=named)
    # Every further level of every draw in one search: a draw stands in it once for each of its levels.
    higher = [
        (row, draws, reached)
        for row, level in enumerate(stacked)
        for draws, reached in _promising(level, known, top.gain[row])
    ]
    if not higher:
        return top
    places = np.concatenate([draws for _, draws, _ in higher])
    least = np.concatenate([reached for _, _, reached in higher])
    worth = least * np.concatenate([stacked[row, draws] for row, draws, _ in higher])
    some, rises = gated(prices, known.helpful, places), known.rises.at(places)
    before, enough = known.before[places], least - SLACK
    found = _best_at(plans, known, some, worth[None], before, rises, some.gates, enough, named=named)
    start = 0
    for row, draws, _ in higher:
        part = slice(start, start + draws.size)
        gain, held = found.gain[0, part], top.gain[row, draws]
        if top.jobs is not None and found.jobs is not None:
            top.jobs[row, draws] = np.where(gain > held, found.jobs[0, part], top.jobs[row, draws])
        top.gain[row, draws] = np.maximum(held, gain)
        start += draws.size
    return top


def _promising(level: Array, ground: Ground, held: Array) -> list[tuple[NDArray[np.intp], Array]]:
    """Leave out the levels that cannot pay: not even with every part mended and the one job paid that none can spare.

    Args:
        level: Price of the instrument as new [money], shape (n,).
        ground: What it stands on.
        held: Best gain at the level that each draw has as it stands [money].
    """
    if not ground.higher:
        return []
    most = level * ground.most
    found = []
    for draws, reached, dearest in ground.higher:
        keep = reached * most[draws] - dearest > held[draws]
        if keep.any():
            found.append((draws[keep], reached[keep]))
    return found


def _best_at(
    plans: Space,
    ground: Ground,
    prices: Prices,
    worth: Array,
    before: Array,
    rises: Rises,
    gates: Mapping[str, Array],
    least: Array,
    *,
    named: bool,
) -> _Top:
    """Return the best gain among the plans that bring every gate to the usability at which they are valued."""
    total = _Top(worth.shape, named=named, gain=worth * before)
    at = _At(plans, ground.helpful, prices, worth, rises, gates, least, named)
    covered: set[str] = set()
    for cluster in plans.clusters:
        total.add(_best_of_cluster(at, cluster))
        covered.update(cluster.components)
    for key, gate in at.gates.items():
        if key not in covered:
            total.gain = np.where(gate >= at.least, total.gain, -np.inf)
    return total


@dataclass(frozen=True, slots=True, eq=False)
class _At:
    """A search at one usability of every draw."""

    plans: Space
    helpful: frozenset[str]
    prices: Prices
    worth: Array
    """Usability · level [money], shape (levels, n)."""
    rises: Rises
    gates: Mapping[str, Array]
    """Those that have to reach it; none where every plan does."""
    least: Array
    named: bool


def _best_of_cluster(at: _At, cluster: Cluster) -> _Top:
    costs, shape = at.prices.costs, at.worth.shape
    top = _Top(shape, named=at.named)
    known: dict[tuple[str, frozenset[str]], _Top | None] = {}
    for bundle in cluster.bundles:
        if not bundle <= at.helpful:
            continue
        paid = sum((costs[key] for key in sorted(bundle)), np.zeros(shape[-1]))
        one = _Top(shape, named=at.named, gain=np.repeat(-paid[None], shape[0], axis=0))
        if one.jobs is not None:
            one.jobs = one.jobs | sum(at.plans.bits[key] for key in bundle)
        for part in cluster.components:
            touching = bundle & cluster.touching[part]
            if (part, touching) not in known:
                offered = [
                    key for key in cluster.single[part] if key in at.helpful and at.plans.jobs[key].requires <= touching
                ]
                known[part, touching] = _best_of_component(at, offered, touching, part)
            best_here = known[part, touching]
            if best_here is not None:
                one.add(best_here)
        top.offer(one.gain, one.jobs)
    return top


def _best_of_component(at: _At, offered: list[str], bundle: frozenset[str], part: str) -> _Top | None:
    """Return what a component gains by a bundle and the best of the jobs offered; none where nothing can touch it."""
    gate = at.gates.get(part)
    rise = at.rises.of(part, bundle)
    if rise is None and gate is None and not offered:
        return None
    after = at.prices.gates_after
    if gate is not None:
        for key in bundle:
            if part in at.plans.jobs[key].improves:
                gate = np.maximum(gate, after[key, part])
    shape = at.worth.shape
    scaled = at.worth * at.prices.shares[part]
    gain = np.zeros(shape) if rise is None else scaled * rise
    top = _Top(shape, named=at.named, gain=gain if gate is None else np.where(gate >= at.least, gain, -np.inf))
    for key in offered:
        gain = scaled * at.rises.with_job(part, bundle, key)
        gain -= at.prices.costs[key]
        if gate is not None:
            gain = np.where(np.maximum(gate, after[key, part]) >= at.least, gain, -np.inf)
        top.offer(gain, _single(at.plans.bits[key], shape) if at.named else None)
    return top


def _single(bit: int, shape: tuple[int, ...]) -> Masks:
    """Return one job as a bit mask for every draw."""
    masks = np.empty(shape, dtype=object)
    masks[...] = bit
    return masks
