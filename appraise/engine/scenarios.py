"""Worlds in which a case is priced, and what the instrument is worth in each of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.condition import condition
from appraise.engine.draws import percentiles, quantiles
from appraise.engine.joint_repairs import added_up, as_searched
from appraise.engine.part_prices import priced
from appraise.engine.plan import Followed
from appraise.engine.plan_search import best_gains
from appraise.engine.price_levels import price_inputs, price_levels
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.condition import Condition
    from appraise.engine.plan import Prices, Space
    from appraise.engine.price_levels import Prices as MarketPrices
    from appraise.engine.sampler import Sampler
    from appraise.engine.setup import Setup
    from appraise.engine.subject import Instrument
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

PERCENTILES = (5, 10, 25, 50, 75, 90, 95)
"""Percentiles reported beside the range [%]."""

PAIRS = 8
"""Draws of the market for each draw of the condition: prices are cheap to draw and bring most of the chance."""

_PLACES = np.array((0.0, 0.04, 0.3, 0.7, 0.96, 1.0))
"""Quantiles of the price levels at which the best course is searched for; between them it is taken as linear."""


@dataclass(frozen=True, eq=False)
class Scenario:
    """Everything that one source of numbers makes of a case: the draws, or the central figures alone."""

    source: Sampler
    state: Condition
    market: MarketPrices
    """Arrays of shape (m,): `PAIRS` draws for each of the condition, which they meet in turn."""
    prices: Prices
    """Condition and costs at the mean of the reconciled level, what a resale keeps taken off; arrays of shape (n,)."""
    costs: Mapping[str, Array]
    """What each job costs [money], before what a buyer wants for the trouble."""
    inputs: tuple[str, ...]
    """Those that the condition and the work vary with."""
    priced: tuple[str, ...]
    """Those that the market prices vary with."""

    @property
    def salvage(self) -> Array:
        """Salvage less removal [money]."""
        return self.market.salvage


def draw_world(setup: Setup, source: Sampler) -> Scenario:
    """Draw condition, prices, costs and salvage together from one source.

    Args:
        setup: The priced case.
        source: The draws, or the central figures.
    """
    market = price_levels(setup, source.of_market(PAIRS))
    level = setup.taking.kept * float(market.level.mean())
    state, costs, prices = drawn_prices(setup, source, level)
    inputs, priced_by = list(state.inputs), price_inputs(setup)
    if setup.remedies:
        inputs += ["hours", "parts"]
        if setup.basis.method == "market":
            inputs.append("incentive")
    return Scenario(source, state, market, prices, costs, tuple(inputs), tuple(priced_by))


def drawn_prices(setup: Setup, source: Sampler, level: float) -> tuple[Condition, Mapping[str, Array], Prices]:
    """Draw condition and costs, and join them for the search of plans.

    Args:
        setup: The priced case.
        source: The draws, or the central figures.
        level: Price level at which they are joined [money].

    Returns:
        The condition; what each job costs [money], before what a buyer wants for the trouble; and both joined.
    """
    case, tables = setup.case, setup.tables
    state = setup.centre if source.central else condition(setup.subject, setup.jobs, source, tables, setup.curve)
    costs = added_up(costing.job_costs(case, tables, setup.remedies, source), setup.joints)
    asked = costs
    if setup.remedies and setup.basis.method == "market":
        asked = costing.asked(costs, tables, source)
    prices = priced(state, setup.subject, np.full(source.n, level), asked)
    if not setup.basis.work_weighed:
        # The sound instrument of that age is what is asked for: every part put right at its own age.
        sound = {part: left - prices.room[part] for part, left in prices.left.items()}
        prices = replace(prices, left=sound, gates={}, gates_after={})
    return state, costs, prices


@dataclass(frozen=True, eq=False)
class PlanOutcome:
    """One plan followed in every draw, the adjustments made [money]."""

    value: Array
    """Worth after the plan, its cost and what it takes to take the instrument taken off, shape (m,)."""
    cost: Array
    """What the jobs cost, before what a buyer wants for the trouble, shape (n,)."""
    resale: Array
    """Worth after the plan before anything is taken off, shape (m,)."""


def evaluate_plan(setup: Setup, world: Scenario, plan: frozenset[str]) -> PlanOutcome:
    """Return what one plan leaves in every draw.

    Args:
        setup: The priced case, on a basis that condition bears on.
        world: The draws, or the central figures.
        plan: The plan; empty for the instrument as is.
    """
    done = Followed.nothing(setup.plans, world.prices).with_jobs(as_searched(plan, setup.joints))
    cost = sum((world.costs[key] for key in sorted(plan)), np.zeros(world.source.n))
    pairs = world.market.level.size // world.source.n
    kept = done.at(setup.taking.kept * world.market.level)
    value = kept - np.tile(done.cost, pairs) - setup.taking.flat
    return PlanOutcome(adjusted(setup.case, np.minimum(value, world.market.most)), cost, kept / setup.taking.kept)


@dataclass(frozen=True, eq=False)
class Worth:
    """What the instrument is worth [money]."""

    value: Array
    """In every draw of the market, each met by a draw of the condition, shape (m,)."""
    by_condition: Array
    """Mean over the markets that each draw of the condition meets, shape (n,)."""
    by_approach: tuple[Array, ...]
    """What each approach makes of it, before adjustments, shape (m,); none for replacement new."""
    nodes: Array
    """Price levels at which the best course was searched for [money], rising, shape (k,)."""
    gains: Array
    """What it leaves at each of them in every draw [money], shape (k, n)."""

    @property
    def market_variance(self) -> float:
        """Variance of the value over the markets that one draw of the condition meets, the mean of them [money²]."""
        every = self.value.reshape(-1, self.by_condition.size)
        return float(every.var(axis=0, ddof=1).mean()) if len(every) > 1 else 0.0


def worth(setup: Setup, world: Scenario) -> Worth:
    """Return the value in every draw: the greatest of as is and every plan after work, less taking; or salvage.

    Args:
        setup: The priced case.
        world: The draws, or the central figures.

    Notes:
        Condition and market are independent, so that every draw of the one may meet any of the other: each condition is
        met with several markets, which takes most of the chance out of the percentiles. A market is known to whoever
        buys on it, and a better one makes every course dearer: the middle is that of the course that is best at the
        middle of the market. The course is chosen by what the instrument shows once it is opened, exactly, over every
        plan: a greatest figure of figures that never rise with a worse grade, a greater age or a dearer job never rises
        either, and nor do its percentiles.
    """
    return worths(setup, [(world, setup.taking.kept, setup.taking.flat)])[0]


def worths(setup: Setup, worlds: Sequence[tuple[Scenario, float, float]]) -> list[Worth]:
    """Return `worth` for several ways to price one condition, sooner than one after the other.

    Args:
        setup: The priced case.
        worlds: Of the same draws, condition and costs, each with the share of a price kept [–] and what comes off
            whatever the condition [money].
    """
    first = worlds[0][0]
    if setup.basis.method == "replacement":
        return [_new(world) for world, _, _ in worlds]
    levels = [kept * level for world, kept, _ in worlds for level in (world.market.level, *world.market.levels)]
    nodes, gains = gains_at(setup, first.prices, np.concatenate(levels))
    return [_worth(setup, world, kept, flat, nodes, gains) for world, kept, flat in worlds]


def gains_at(setup: Setup, prices: Prices, levels: Array) -> tuple[Array, Array]:
    """Return what the best course leaves at a few price levels that span those given [money].

    Args:
        setup: The priced case.
        prices: Condition and costs.
        levels: Price levels that will be asked for, any shape (m,).

    Returns:
        The levels searched, rising, shape (k,), and the gain at each in every draw, shape (k, n). Between two of them
        the gain is convex in the level; taken as linear it is at most a little too high, and never loses its order by
        grade, age or cost.
    """
    rising = quantiles(levels, _PLACES)
    nodes = rising[np.append(True, rising[1:] > rising[:-1])]
    if not setup.basis.work_weighed:
        return nodes, nodes[:, None] * np.maximum(0.0, prices.before)
    return nodes, course_gains(setup.plans, prices, nodes)


def course_gains(plans: Space, prices: Prices, levels: Iterable[Array | float]) -> Array:
    """Return what the best course leaves at each of some price levels [money], shape (levels, n).

    A level is one for all draws or has one for each, shape (n,).

    Never below nothing: looks come off the sound whole and may take more than is left, but as is an instrument is not
    used at a loss.
    """
    gains = best_gains(plans, prices, [np.broadcast_to(level, prices.level.shape) for level in levels])
    found: Array = np.maximum(0.0, gains)
    return found


def between_nodes(nodes: Array, gains: Array, levels: Array, draws: NDArray[np.intp]) -> Array:
    """Return the gain of some draws at levels within the nodes [money], linear between them, shape of `levels`."""
    if nodes.size == 1:
        only: Array = gains[0, draws]
        return only
    place, share = _between(nodes, levels)
    place *= gains.shape[1]
    place += draws
    every = gains.ravel()
    low = every.take(place)
    place += gains.shape[1]
    found: Array = low + share * (every.take(place) - low)
    return found


def _between(nodes: Array, levels: Array) -> tuple[NDArray[np.intp], Array]:
    """Return the node below each level, where there is another above it, and the share of the way to that [–]."""
    if nodes.size <= _PLACES.size:
        place = np.zeros(levels.shape, dtype=np.intp)
        for node in nodes[1:-1]:
            place += levels > node
    else:
        place = np.clip(np.searchsorted(nodes, levels) - 1, 0, nodes.size - 2)
    low = nodes.take(place)
    return place, (levels - low) / (nodes.take(place + 1) - low)


def gains_between(nodes: Array, gains: Array, levels: Array) -> Array:
    """Return the gain of every draw at some levels within the nodes [money], see `between_nodes`, shape (levels, n)."""
    if nodes.size == 1:
        only: Array = np.broadcast_to(gains[0], (levels.size, gains.shape[1]))
        return only
    place, share = _between(nodes, levels)
    low = gains[place]
    found: Array = low + share[:, None] * (gains[place + 1] - low)
    return found


def _worth(setup: Setup, world: Scenario, kept: float, flat: float, nodes: Array, gains: Array) -> Worth:
    market, n = world.market, world.source.n
    rows = np.arange(market.level.size) % n
    salvage = market.salvage
    most = np.maximum(market.most, salvage)

    def bring(level: Array) -> Array:
        gain = between_nodes(nodes, gains, kept * level, rows) - flat
        found: Array = np.minimum(np.maximum(gain, salvage), most)
        return found

    value = np.maximum(adjusted(setup.case, bring(market.level)), salvage)
    columns = tuple(bring(level) for level in market.levels)
    return Worth(value, value.reshape(-1, n).mean(axis=0), columns, nodes, gains)


def _new(world: Scenario) -> Worth:
    new = world.market.replacement
    return Worth(new, new.reshape(-1, world.source.n).mean(axis=0), (), new[:1], new[None, : world.source.n])


def adjusted(case: Case, value: Array) -> Array:
    """Return a value with the assessor's adjustments made [money]: percentages first, then sums, in any order alike."""
    share, amount = 1.0, 0.0
    for adjustment in sorted(case.market.adjustments, key=lambda each: (each.name, each.reason)):
        if adjustment.pct is not None:
            share *= 1.0 + adjustment.pct / 100.0
        if adjustment.amount is not None:
            amount += float(adjustment.amount)
    # A percentage works on what the instrument is worth; a cost of removal it leaves alone.
    found: Array = np.where(value > 0.0, value * share, value) + amount
    return found


def percentile_range(column: Array, tables: Tables) -> Range:
    """Return the low, middle and high percentile of a column of draws, in its unit."""
    wanted = (tables.setting("low_percentile"), 50.0, tables.setting("high_percentile"))
    return Range(*percentiles(column, wanted))


def share_left(subject: Instrument, state: Condition) -> Array:
    """Return Σ share · (1 − D) times usability [–] in every draw."""
    total = np.sum([part.share * (1.0 - state.left[part.key]) for part in subject.parts], axis=0)
    share: Array = total * np.minimum.reduce([np.ones_like(total), *state.gates.values()])
    return share
