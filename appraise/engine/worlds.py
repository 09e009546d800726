"""Worlds in which a case is priced, and what the instrument is worth in each of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.draws import percentiles
from appraise.engine.levels import price_inputs, price_levels, varied
from appraise.engine.plan import outcome
from appraise.engine.plan_search import best_gains
from appraise.engine.simulate import condition, priced
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from appraise.engine.plan import Prices
    from appraise.engine.setup import Setup
    from appraise.engine.simulate import Condition, Source
    from appraise.engine.subject import Subject
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

PERCENTILES = (5, 10, 25, 50, 75, 90, 95)
"""Percentiles reported beside the range [%]."""


@dataclass(frozen=True, eq=False)
class World:
    """Everything that one source of numbers makes of a case: the draws, or the central figures alone."""

    source: Source
    state: Condition
    replacement: Array
    salvage: Array
    prices: tuple[Prices, ...]
    """By approach: cost, and sales where there are comparables; none for replacement new."""
    inputs: tuple[str, ...]
    priced: tuple[str, ...]
    """Those of the inputs that the replacement cost new hangs on."""


def draw_world(setup: Setup, source: Source) -> World:
    """Draw condition, prices, costs and salvage together from one source.

    Args:
        setup: The priced case.
        source: The draws, or the central figures.
    """
    case, tables = setup.case, setup.tables
    state = setup.centre if source.central else condition(setup.subject, setup.remedies, source, tables)
    replacement = source.between("replacement cost", setup.replacement)
    salvage = costing.salvage_drawn(case, tables, replacement, source)
    new = varied("replacement cost", setup.replacement)
    inputs = [*state.inputs, *new]
    if setup.basis.method == "replacement":
        return World(source, state, replacement, salvage, (), tuple(inputs), tuple(new))
    costs = costing.job_costs(case, tables, setup.remedies, source)
    keep = 1.0 - costing.margin(case, tables) if setup.basis.method == "residual" else 1.0
    levels = price_levels(setup, source, replacement)
    prices = [priced(state, setup.subject, keep * levels[0], costs)]
    prices += [prices[0].at(keep * level) for level in levels[1:]]
    inputs += [*price_inputs(setup), "salvage"]
    if setup.remedies:
        inputs += ["hours", "parts"]
    return World(source, state, replacement, salvage, tuple(prices), tuple(inputs), tuple(new))


def reconciled_prices(setup: Setup, world: World) -> Prices:
    """Return the prices of a world with the approaches' levels weighed into one.

    What a plan leaves is linear in the level, so its outcome here is the weighted outcome of the approaches.
    """
    first = world.prices[0]
    if len(world.prices) < 2:
        return first
    level = setup.weight_cost * first.level + (1.0 - setup.weight_cost) * world.prices[1].level
    return first.at(level)


@dataclass(frozen=True, eq=False)
class Course:
    """One plan followed in every draw, the approaches reconciled and the adjustments made [money]."""

    value: Array
    """Worth after the plan, its cost taken off."""
    cost: Array


def follow(setup: Setup, world: World, plan: frozenset[str]) -> Course:
    """Return what one plan leaves in every draw.

    Args:
        setup: The priced case, on a basis that condition bears on.
        world: The draws, or the central figures.
        plan: The plan; empty for leaving it alone.
    """
    worth, cost, _ = outcome(setup.plans, reconciled_prices(setup, world), plan)
    return Course(_adjusted(setup.case, worth - cost - deduction(setup)), cost)


@dataclass(frozen=True, eq=False)
class Worth:
    """What the instrument is worth in every draw [money]."""

    value: Array
    """The approaches reconciled, the adjustments made, never below salvage."""
    by_approach: tuple[Array, ...]
    """What each approach makes of it, before adjustments; none for replacement new."""


def worth(setup: Setup, world: World) -> Worth:
    """Return the value in every draw: the greatest of leaving it alone, every plan after work, and salvage.

    Args:
        setup: The priced case.
        world: The draws, or the central figures.

    Notes:
        The plan is chosen in each draw, exactly, as whoever owns the instrument can choose once it has been opened.
        A greatest figure of figures that never rise with a worse grade, a greater age or a dearer job never rises
        either, and nor do its percentiles. A plan taken from a short list for the whole range would break that law.
    """
    return worths(setup, [world])[0]


def worths(setup: Setup, worlds: Sequence[World]) -> list[Worth]:
    """Return `worth` in worlds that differ in their price levels alone, sooner than one after the other.

    Args:
        setup: The priced case.
        worlds: Of the same draws, condition and costs.
    """
    every = [prices for world in worlds for prices in world.prices]
    if not every:
        return [Worth(world.replacement, ()) for world in worlds]
    levels = [prices.level for prices in every]
    if setup.basis.method == "depreciated":
        gains = [outcome(setup.plans, prices, frozenset())[0] for prices in every]
    else:
        gains = [gain - deduction(setup) for gain in best_gains(setup.plans, every[0], levels)]
    found = []
    for world in worlds:
        columns = tuple(np.maximum(gain, world.salvage) for gain in gains[: len(world.prices)])
        gains = gains[len(world.prices) :]
        value = columns[0]
        if len(columns) > 1:
            value = setup.weight_cost * columns[0] + (1.0 - setup.weight_cost) * columns[1]
        found.append(Worth(np.maximum(_adjusted(setup.case, value), world.salvage), columns))
    return found


def deduction(setup: Setup) -> float:
    """Return what carriage and holding take off a resale [money]."""
    return costing.handling(setup.case) if setup.basis.method == "residual" else 0.0


def _adjusted(case: Case, value: Array) -> Array:
    for adjustment in case.market.adjustments:
        if adjustment.pct is not None:
            # A percentage works on what the instrument is worth; a cost of removal it leaves alone.
            value = np.where(value > 0.0, value * (1.0 + adjustment.pct / 100.0), value)
        if adjustment.amount is not None:
            value = value + float(adjustment.amount)
    return value


def percentile_range(column: Array, tables: Tables) -> Range:
    """Return the low, middle and high percentile of a column of draws, in its unit."""
    wanted = (tables.setting("low_percentile"), 50.0, tables.setting("high_percentile"))
    return Range(*percentiles(column, wanted))


def share_left(subject: Subject, state: Condition) -> Array:
    """Return Σ share · (1 − D) times usability [–] in every draw."""
    total = np.sum([part.share * (1.0 - state.left[part.key]) for part in subject.parts], axis=0)
    share: Array = total * np.minimum.reduce([np.ones_like(total), *state.gates.values()])
    return share
