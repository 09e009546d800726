"""Plans of work: every set of remedies that can be done together, shared steps paid once, and what one leaves."""

from __future__ import annotations

from dataclasses import field, replace
from functools import cached_property, lru_cache
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]


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
    room: Mapping[str, Array] = field(default_factory=dict)
    """Depreciation by component that putting it right at its own age gives back [–]. What a job gives back beyond that,
    a younger part, adds no more than its cost: nobody pays for work on a sound part. A component that is not here has
    no such limit."""

    @cached_property
    def before(self) -> Array:
        """Σ share · (1 − D) as it stands [–]."""
        nothing = np.zeros(self.level.size)
        return sum((self.shares[part] * (1.0 - left) for part, left in self.left.items()), nothing)

    def at(self, level: Array) -> Prices:
        """Return the same condition and costs at another price level [money]."""
        other = replace(self, level=level)
        other.__dict__["before"] = self.before  # it does not hang on the level
        return other


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
class Followed:
    """Some jobs done in every draw; every array has shape (n,)."""

    plans: Space
    prices: Prices
    jobs: frozenset[str]
    total: Array
    """Σ share · (1 − D) [–]."""
    mended: Mapping[str, Array]
    """Depreciation of the components that the jobs work on [–]."""
    gates: Mapping[str, Array]
    """Usability by critical component [–]."""
    usable: Array
    """The least of the gates [–]."""

    @classmethod
    def nothing(cls, plans: Space, prices: Prices) -> Followed:
        """Leave everything as it stands."""
        usable = _least(prices.gates, prices.level.size)
        return cls(plans, prices, frozenset(), prices.before, {}, prices.gates, usable)

    def with_jobs(self, more: frozenset[str]) -> Followed:
        """Do more jobs; those that are done already change nothing."""
        prices, total, opened = self.prices, self.total, False
        mended, gates = dict(self.mended), dict(self.gates)
        for key in sorted(more - self.jobs):  # the order in which a set hands out its words changes from run to run
            for part in self.plans.jobs[key].improves:
                held = mended.get(part, prices.left[part])
                after = prices.after[key, part]
                if after is not prices.left[part]:
                    mended[part] = np.minimum(held, after)
                    total = total + prices.shares[part] * (held - mended[part])
                if part in gates and prices.gates_after[key, part] is not prices.gates[part]:
                    gates[part] = np.maximum(gates[part], prices.gates_after[key, part])
                    opened = True
        usable = _least(gates, prices.level.size) if opened else self.usable
        return Followed(self.plans, prices, self.jobs | more, total, mended, gates, usable)

    @property
    def value(self) -> Array:
        """What it leaves before cost [money]."""
        return self.at(self.prices.level)

    def at(self, level: Array) -> Array:
        """Return what it leaves before cost at other price levels [money].

        Args:
            level: Price as new [money], shape (k · n,): the draws are met k times in turn.

        Returns:
            Shape of `level`. Looks may take more than is left, and then it is nothing; a younger part adds no more
            than `Prices.room` allows.
        """
        met = _met(level.size // self.total.size)
        value: Array = level * met(self.usable * np.maximum(0.0, self.total))
        for part, left in self.mended.items():
            if part in self.prices.room:
                beyond = self.prices.left[part] - left - self.prices.room[part]
                if beyond.max() > 0.0:
                    allowed = sum(
                        (self.prices.costs[key] / len(self.plans.jobs[key].improves) for key in self._working_on(part)),
                        np.zeros(left.size),
                    )
                    younger = level * met(self.usable * self.prices.shares[part] * beyond)
                    value -= np.maximum(0.0, younger - met(allowed))
        return value

    def _working_on(self, part: str) -> list[str]:
        return [key for key in sorted(self.jobs) if part in self.plans.jobs[key].improves]

    @property
    def worth(self) -> float:
        """The mean of what it leaves before cost [money]."""
        return float(self.value.mean())

    @property
    def cost(self) -> Array:
        """What the jobs cost [money]."""
        return sum((self.prices.costs[key] for key in sorted(self.jobs)), np.zeros(self.prices.level.size))


def _met(pairs: int) -> Callable[[Array], Array]:
    """Return what repeats a column for each of so many markets."""
    return (lambda column: column) if pairs == 1 else (lambda column: np.tile(column, pairs))


def _least(gates: Mapping[str, Array], n: int) -> Array:
    least: Array = np.minimum.reduce([np.ones(n), *gates.values()])
    return least


def outcome(plans: Space, prices: Prices, plan: frozenset[str]) -> tuple[Array, Array, Array]:
    """Return what one plan leaves.

    Args:
        plans: From `space`.
        prices: Arrays of one shape.
        plan: Jobs done, with everything they require.

    Returns:
        Value before cost [money], cost [money], usability [–], each of shape (n,).
    """
    done = Followed.nothing(plans, prices).with_jobs(plan)
    return done.value, done.cost, done.usable


def thinned(prices: Prices, most: int) -> Prices:
    """Return the prices of at most so many draws, evenly taken: views of the same figures."""
    some = _at(slice(None, None, -(-prices.level.size // most)))
    return Prices(
        some(prices.level),
        prices.shares,
        {key: some(column) for key, column in prices.left.items()},
        {key: some(column) for key, column in prices.after.items()},
        {key: some(column) for key, column in prices.costs.items()},
        {key: some(column) for key, column in prices.gates.items()},
        {key: some(column) for key, column in prices.gates_after.items()},
        {key: some(column) for key, column in prices.room.items()},
    )


def joined(several: Sequence[Prices]) -> Prices | None:
    """Return the prices of several instruments one behind the other, as more draws of one; none where they differ.

    Args:
        several: Of the same components, jobs and shares of cost.
    """
    first = several[0]
    for other in several[1:]:
        if other.shares != first.shares or other.costs.keys() != first.costs.keys():
            return None
        if other.after.keys() != first.after.keys() or other.gates_after.keys() != first.gates_after.keys():
            return None
        if other.gates.keys() != first.gates.keys() or other.room.keys() != first.room.keys():
            return None
    known: dict[tuple[int, ...], Array] = {}

    def behind(columns: Sequence[Array]) -> Array:
        # What a job leaves alone is one column with what it was, and stays so.
        key = tuple(map(id, columns))
        if key not in known:
            known[key] = np.concatenate(columns)
        return known[key]

    return Prices(
        behind([one.level for one in several]),
        first.shares,
        {key: behind([one.left[key] for one in several]) for key in first.left},
        {key: behind([one.after[key] for one in several]) for key in first.after},
        {key: behind([one.costs[key] for one in several]) for key in first.costs},
        {key: behind([one.gates[key] for one in several]) for key in first.gates},
        {key: behind([one.gates_after[key] for one in several]) for key in first.gates_after},
        {key: behind([one.room[key] for one in several]) for key in first.room},
    )


def _at(places: NDArray[np.intp] | slice) -> Callable[[Array], Array]:
    """Return what takes some of a column's draws; what a job leaves alone is one column with what it was, and stays."""
    known: dict[int, Array] = {}

    def some(column: Array) -> Array:
        found = known.get(id(column))
        if found is None:
            found = known[id(column)] = column[places]
        return found

    return some


def with_needs(plans: Space, key: str) -> frozenset[str]:
    """Return a job together with everything it requires."""
    return plans.jobs[key].requires | {key}
