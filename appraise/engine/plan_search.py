"""The search for the best plan: exact in every draw, cluster by cluster, at every usability that work can reach."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from appraise.engine.identity_cache import IdentityCache, is_valued_once
from appraise.engine.plan_cache import SLACK, ground_of, most_left, opening_costs
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from appraise.engine.plan import Cluster, Prices, Space
    from appraise.engine.plan_cache import Ground

Array = NDArray[np.float64]
Places = NDArray[np.intp]
Masks = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class Best:
    """The outcome of the search."""

    gain: Array
    """Best value after work less cost, over every plan, doing nothing included [money], shape (n,)."""
    plans: tuple[frozenset[str], ...]
    """The plan that reaches it, one a draw."""


class _Top:
    """The best seen so far of every entry, and the jobs that reach it where they are asked for."""

    def __init__(self, gain: Array, *, named: bool, jobs: int = 0) -> None:
        """Begin with a gain that is from now on ours to write in."""
        self.gain = gain
        self.jobs: Masks | None = _single(jobs, gain.size) if named else None

    def offer(self, other: _Top) -> None:
        """Take what is better than what is held."""
        if self.jobs is not None and other.jobs is not None:
            self.jobs = np.where(other.gain > self.gain, other.jobs, self.jobs)
        np.maximum(self.gain, other.gain, out=self.gain)

    def offer_at(self, places: Places, gain: Array, bit: int) -> None:
        """Take what is better at some of the entries, all by one job."""
        if self.jobs is None and places.size == self.gain.size:
            np.maximum(self.gain, gain, out=self.gain)
            return
        held = self.gain[places]
        if self.jobs is not None:
            self.jobs[places] = np.where(gain > held, _single(bit, places.size), self.jobs[places])
        self.gain[places] = np.maximum(held, gain)

    def add(self, other: _Top) -> None:
        """Do both."""
        self.gain += other.gain
        if self.jobs is not None and other.jobs is not None:
            self.jobs = self.jobs | other.jobs

    def add_at(self, places: Places, other: _Top) -> None:
        """Do both at some of the entries."""
        self.gain[places] += other.gain
        if self.jobs is not None and other.jobs is not None:
            self.jobs[places] = self.jobs[places] | other.jobs


def best(plans: Space, prices: Prices) -> Best:
    """Find, for every draw, the plan with the greatest value after work less its cost.

    Args:
        plans: From `space`.
        prices: Arrays of one shape (n,); meant for few draws, as the plans are kept one by one.

    Returns:
        The greatest value [money] and the plan that reaches it, for every draw.

    Notes:
        Usability u is the least gate of the components. For every level that u can take, only plans that reach it are
        admitted and each is credited with the level itself: no plan is overrated, and the best plan is met at its own
        level, so the maximum is exact. At a fixed level the clusters part, and inside a cluster the components part
        once the switch jobs are fixed.
    """
    gain, jobs = _search(plans, prices, [prices.level], named=True)
    keys = list(plans.jobs)
    masks = [] if jobs is None else jobs[0].tolist()
    return Best(gain[0], tuple(frozenset(key for i, key in enumerate(keys) if mask >> i & 1) for mask in masks))


def best_gains(plans: Space, prices: Prices, levels: Sequence[Array]) -> Array:
    """Return the gain at several price levels of one instrument, sooner than one after the other.

    Args:
        plans: From `space`.
        prices: Condition and costs, the same at every level; arrays of shape (n,).
        levels: Price of the instrument as new [money], each of shape (n,).

    Returns:
        Gains [money], shape (levels, n); figure for figure those of `best`.
    """
    return _search(plans, prices, levels, named=False)[0]


def _search(plans: Space, prices: Prices, levels: Sequence[Array], *, named: bool) -> tuple[Array, Masks | None]:
    """Return gains and job masks, shape (levels, n)."""
    known = ground_of(plans, prices)
    n, rows = prices.level.size, len(levels)
    level = np.concatenate(levels)
    draws = np.tile(np.arange(n), rows)
    least = known.lowest[draws]
    # At the usability that a draw has as it stands every plan is admitted: no gate has to be opened.
    as_it_stands = _Entries(plans, known, prices, draws, least * level, None, named=named, every=True)
    alone = named or is_valued_once()
    at_levels = None if alone else tuple(each.tobytes() for each in levels)
    top = _best_of(as_it_stands, at_levels)
    if known.batches:
        at = np.concatenate([draws for draws, _ in known.batches])
        reached = np.concatenate([reached for _, reached in known.batches])
        pruned = alone or at.size * rows > FEW
        if pruned:
            at_levels = None
            spent = opening_costs(plans, known.helpful, prices, known.batches)
            whole = np.asarray(most_left(known.helpful, prices))[at]
            # What opening brings at most grows with the price level: past the greatest none is to be looked at.
            most = np.maximum.reduce(level.reshape(rows, n))[at] * (reached * whole - (known.lowest * known.before)[at])
            keep = np.flatnonzero(most > spent * _SURELY)
            at, reached, spent, whole = at[keep], reached[keep], spent[keep], whole[keep]
        entry = (at + n * np.arange(rows)[:, None]).ravel()
        reached = np.tile(reached, rows)
        some = _Entries(plans, known, prices, np.tile(at, rows), reached * level[entry], reached - SLACK, named=named)
        if pruned:
            keep = np.flatnonzero(some.worth * np.tile(whole, rows) - np.tile(spent, rows) > top.gain[entry])
            entry, some = entry[keep], some.at(keep)
            keep = np.flatnonzero(_bound(some) > top.gain[entry])
            entry, some = entry[keep], some.at(keep)
        if entry.size:
            found = _best_of(some, at_levels)
            # An entry of a draw and a level stands here once for each usability that it can reach.
            if top.jobs is not None and found.jobs is not None:
                for place in np.argsort(found.gain, kind="stable"):
                    if found.gain[place] > top.gain[entry[place]]:
                        top.gain[entry[place]] = found.gain[place]
                        top.jobs[entry[place]] = found.jobs[place]
            else:
                np.maximum.at(top.gain, entry, found.gain)
    return top.gain.reshape(rows, n), None if top.jobs is None else top.jobs.reshape(rows, n)


_SURELY = 1.0 - 1e-9
"""What rounding may take off a cost that is not to be passed [–]."""

FEW = 24_576
"""Entries past usability as it stands up to which none is sorted out first: what the clusters add can be kept then."""


@dataclass(frozen=True, eq=False)
class _Entries:
    """Draws, each at one worth and one usability that its plans have to reach; arrays of shape (m,)."""

    plans: Space
    ground: Ground
    prices: Prices
    draws: Places
    worth: Array
    """Usability · level [money]."""
    least: Array | None
    """Usability that every gate has to reach [–]; none where it does already."""
    named: bool
    every: bool = False
    """Whether these are all the draws in their order, at one price level after the other."""

    def at(self, places: Places) -> _Entries:
        """Return some of the entries."""
        if places.size == self.draws.size:
            return self
        least = None if self.least is None else self.least[places]
        return _Entries(self.plans, self.ground, self.prices, self.draws[places], self.worth[places], least, self.named)

    def shut(self, part: str, gate: Array | None = None) -> NDArray[np.bool_] | None:
        """Tell where a component's gate has to be opened; none where it never has."""
        if gate is None:
            gate = self.prices.gates.get(part)
        if self.least is None or gate is None or part in self.ground.open:
            return None
        found: NDArray[np.bool_] = gate[self.draws] < self.least
        return found


def _bound(entries: _Entries) -> Array:
    """Return what no plan exceeds: every component by itself at its best job, shared jobs paid in part [money]."""
    total = entries.worth * entries.ground.before[entries.draws]
    for part, offers in entries.ground.offers.items():
        shut = entries.shut(part)
        asked = _active(entries, part, shut)
        active = _NOWHERE if asked is None else asked.nonzero()[0]
        if not active.size:
            continue
        some = entries.at(active)
        closed = None if shut is None else shut[active]
        gain = np.zeros(active.size) if closed is None else np.where(closed, -np.inf, 0.0)
        scaled = some.worth * entries.prices.shares[part]
        for offer in offers:
            value = scaled * offer.rise[some.draws] - offer.part_cost[some.draws]
            if closed is not None and some.least is not None and offer.gate is not None:
                value = np.where(closed & (offer.gate[some.draws] < some.least), -np.inf, value)
            np.maximum(gain, value, out=gain)
        room = entries.prices.room.get(part)
        if room is not None:
            np.minimum(gain, scaled * room[some.draws], out=gain)
        total[active] += gain
    for part in entries.prices.gates:
        if part not in entries.ground.offers:
            shut = entries.shut(part)
            if shut is not None:
                total[shut] = -np.inf
    return total


def _active(entries: _Entries, part: str, shut: NDArray[np.bool_] | None) -> NDArray[np.bool_] | None:
    """Tell where a component has to be opened, or where a job on it may pay for itself; none where nowhere."""
    paying = entries.ground.paying.get(part)
    if paying is None:
        return shut
    if entries.every:
        worthwhile = (entries.worth.reshape(-1, paying.size) > paying).ravel()
    else:
        worthwhile = entries.worth > paying[entries.draws]
    return worthwhile if shut is None else worthwhile | shut


def _best_of(entries: _Entries, levels: tuple[bytes, ...] | None = None) -> _Top:
    """Return the best gain among the plans that bring every gate to the usability at which they are valued.

    Args:
        entries: Draws, worths and usabilities.
        levels: Of the prices, where the entries are those of every draw and no job is named: what each cluster adds is
            kept then, for a change of one part leaves the other clusters as they are.
    """
    total = _Top(entries.worth * entries.ground.before[entries.draws], named=entries.named)
    covered: set[str] = set()
    for cluster in entries.plans.clusters:
        covered.update(cluster.components)
        if levels is None:
            places, best_here = _added_by(entries, cluster)
        else:
            shares = tuple(entries.prices.shares[part] for part in cluster.components)
            how = (levels, shares, entries.least is None)
            places, best_here = _ADDED.of(_made_from(entries, cluster), how, partial(_added_by, entries, cluster))
        if best_here is not None:
            total.add_at(places, best_here)
    for part in entries.prices.gates:
        shut = None if part in covered else entries.shut(part)
        if shut is not None:
            total.gain[shut] = -np.inf
    return total


def _added_by(entries: _Entries, cluster: Cluster) -> tuple[Places, _Top | None]:
    """Return what a cluster adds, and at which entries it can; elsewhere it is best left alone and adds nothing."""
    active = {}
    for part in cluster.components:
        asked = _active(entries, part, entries.shut(part))
        if asked is not None:
            active[part] = asked
    if not active:
        return _NOWHERE, None
    places = np.logical_or.reduce(list(active.values())).nonzero()[0]
    if not places.size:
        return places, None
    if len(active) == 1:
        singles = {part: np.arange(places.size) for part in active}
    else:
        singles = {part: asked[places].nonzero()[0] for part, asked in active.items()}
    return places, _best_of_cluster(entries.at(places), cluster, singles)


_NOWHERE = np.zeros(0, dtype=np.intp)


def _made_from(entries: _Entries, cluster: Cluster) -> list[object]:
    """Return everything that what a cluster adds hangs on, but for the price levels and the shares of cost."""
    prices, ground = entries.prices, entries.ground
    found: list[object] = [cluster, ground.lowest if entries.least is None else ground.batches]
    if entries.least is not None:
        found += [prices.gates.get(part) for part in cluster.components]
    for part in cluster.components:
        found += [prices.left[part], prices.room.get(part), ground.paying.get(part), *ground.offers.get(part, ())]
    jobs = {key for bundle in cluster.bundles for key in bundle}
    jobs.update(key for keys in cluster.single.values() for key in keys)
    found += [prices.costs[key] for key in sorted(jobs)]
    return found


_ADDED: IdentityCache[tuple[Places, _Top | None]] = IdentityCache(96, for_changes=True)


def _best_of_cluster(entries: _Entries, cluster: Cluster, singles: Mapping[str, Places]) -> _Top:
    """Return the best that a cluster adds to entries, `singles` those in which a job on one component may matter."""
    size, costs, helpful = entries.draws.size, entries.prices.costs, entries.ground.helpful
    top = _Top(np.full(size, -np.inf), named=entries.named)
    known: dict[tuple[str, frozenset[str]], _Top | None] = {}
    for bundle in cluster.bundles:
        if not bundle <= helpful:
            continue
        paid = np.zeros(size)
        for key in sorted(bundle):
            paid -= costs[key][entries.draws]
        one = _Top(paid, named=entries.named, jobs=sum(entries.plans.bits[key] for key in bundle))
        for part in cluster.components:
            touching = bundle & cluster.touching[part]
            if (part, touching) not in known:
                offered = [
                    key
                    for key in cluster.single[part]
                    if key in helpful and entries.plans.jobs[key].requires <= touching
                ]
                single = singles.get(part, _NOWHERE)
                known[part, touching] = _best_of_component(entries, offered, touching, part, single)
            best_here = known[part, touching]
            if best_here is not None:
                one.add(best_here)
        top.offer(one)
    return top


def _best_of_component(
    entries: _Entries, offered: list[str], bundle: frozenset[str], part: str, active: Places
) -> _Top | None:
    """Return what a component gains by a bundle and the best of the jobs offered; none where nothing can touch it."""
    prices, rises = entries.prices, entries.ground.rises
    doing = rises.working(part, bundle)
    rise, gate = rises.of(part, doing), prices.gates.get(part)
    after = prices.gates_after
    if gate is not None:
        for key in doing:
            gate = np.maximum(gate, after[key, part])
    shut = entries.shut(part, gate)
    if rise is None and shut is None and not (offered and active.size):
        return None
    share, room = prices.shares[part], prices.room.get(part)
    # The most that the part may gain by the bundle, or by one more job beyond the cost of that.
    paid = [] if room is None else [prices.costs[key] / len(entries.plans.jobs[key].improves) for key in doing]
    if rise is None:
        gain = np.zeros(entries.draws.size)
    else:
        draws, scaled = entries.draws, entries.worth * share
        gain = scaled * rise[draws]
        if room is not None:
            gain = np.minimum(gain, _most(scaled, room, paid, draws))
    if shut is not None:
        gain[shut] = -np.inf
    top = _Top(gain, named=entries.named)
    if not active.size:
        return top
    if active.size == entries.draws.size:
        draws, scaled = entries.draws, entries.worth * share
    else:
        draws, scaled = entries.draws[active], entries.worth[active] * share
    most = None if room is None else _most(scaled, room, paid, draws)
    for key in offered:
        value = scaled * rises.with_job(part, doing, key)[draws] - prices.costs[key][draws]
        if most is not None:
            value = np.minimum(value, most)
        if shut is not None and gate is not None and entries.least is not None:
            opened = np.maximum(gate, after[key, part])[draws] >= entries.least[active]
            value = np.where(opened, value, -np.inf)
        top.offer_at(active, value, entries.plans.bits[key])
    return top


def _most(scaled: Array, room: Array, paid: Sequence[Array], draws: Places) -> Array:
    """Return the most that a component may gain in some draws [money]; see `Prices.room`."""
    most: Array = scaled * room[draws]
    for cost in paid:
        most = most + cost[draws]
    return most


def _single(bits: int, size: int) -> Masks:
    """Return one set of jobs as a bit mask for every entry."""
    masks = np.empty(size, dtype=object)
    masks[...] = bits
    return masks
