"""Worlds in which a case is priced, the plans worth weighing in them, and what each plan leaves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.draws import Z90, percentiles
from appraise.engine.plan import best, standing
from appraise.engine.simulate import carry_out, condition, priced
from appraise.model.result import Range

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.plan import Prices
    from appraise.engine.setup import Setup
    from appraise.engine.simulate import Condition, Outcome, Source
    from appraise.engine.subject import Subject
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

PERCENTILES = (5, 10, 25, 50, 75, 90, 95)
"""Percentiles reported beside the range [%]."""


@dataclass(frozen=True, eq=False)
class World:
    """Everything that one source of numbers makes of a case: the probes, or the draws."""

    state: Condition
    replacement: Array
    salvage: Array
    prices: tuple[Prices, ...]
    """By approach: cost, and sales where there are comparables; none for replacement new."""
    inputs: tuple[str, ...]


def draw_world(setup: Setup, source: Source) -> World:
    """Draw condition, prices, costs and salvage together from one source.

    Args:
        setup: The priced case.
        source: The draws, or the probes.
    """
    case, tables = setup.case, setup.tables
    state = setup.probed if source.probing else condition(setup.subject, setup.remedies, source, tables)
    replacement = source.between("replacement cost", setup.replacement)
    salvage = costing.salvage_drawn(case, tables, replacement, source)
    inputs = [*state.inputs, *_spread("replacement cost", setup.replacement)]
    if setup.basis.method == "replacement":
        return World(state, replacement, salvage, (), tuple(inputs))
    costs = costing.job_costs(case, tables, setup.remedies, source)
    keep = 1.0 - costing.margin(case, tables) if setup.basis.method == "residual" else 1.0
    factor = source.between("market factor", setup.factor)
    level = replacement * factor * source.between("channel", setup.channel) * keep
    prices = [priced(state, setup.subject, level, costs)]
    inputs += [*_spread("market factor", setup.factor), *_spread("channel", setup.channel), "salvage"]
    if setup.remedies:
        inputs += ["hours", "parts"]
    if setup.evidence is not None:
        spread = float(np.exp(Z90 * setup.evidence.relative_sd))
        middle = setup.evidence.level
        sales_level = keep * source.between("comparables", Range(middle / spread, middle, middle * spread))
        prices.append(priced(state, setup.subject, sales_level, costs))
        inputs.append("comparables")
    return World(state, replacement, salvage, tuple(prices), tuple(inputs))


def _spread(name: str, spread: Range) -> list[str]:
    return [name] if spread.high > spread.low else []


def candidates(setup: Setup, probes: World) -> tuple[frozenset[str], ...]:
    """Return the plans worth weighing: nothing, and the best plan of every probe; the central one first."""
    found: dict[frozenset[str], None] = {}
    for prices in probes.prices if setup.basis.method != "depreciated" else ():
        found.update(dict.fromkeys(best(setup.plans, prices).plans))
    found.setdefault(frozenset(), None)
    return tuple(found)


@dataclass(frozen=True, eq=False)
class Weighed:
    """One plan in every draw, the approaches reconciled [money]."""

    plan: frozenset[str]
    value: Array
    by_approach: tuple[Outcome, ...]


def weigh_all(setup: Setup, drawn: World, plans: tuple[frozenset[str], ...]) -> list[Weighed]:
    """Return what each plan is worth in every draw; on the basis of replacement new there is one, the price itself."""
    if not drawn.prices:
        return [Weighed(frozenset(), drawn.replacement, ())]
    before = standing(drawn.prices[0])
    return [_weigh(setup, drawn, plan, before) for plan in plans]


def _weigh(setup: Setup, world: World, plan: frozenset[str], before: Array) -> Weighed:
    case = setup.case
    deduction = 0.0
    if setup.basis.method == "residual":
        deduction = float(case.costs.carriage or 0) + float(case.costs.holding or 0)
    outcomes = tuple(carry_out(setup.plans, prices, plan, deduction, world.salvage, before) for prices in world.prices)
    value = outcomes[0].value
    if len(outcomes) > 1:
        value = setup.weight_cost * value + (1.0 - setup.weight_cost) * outcomes[1].value
    value = _adjusted(case, value)
    return Weighed(plan, value if plan else np.maximum(value, world.salvage), outcomes)


def _adjusted(case: Case, value: Array) -> Array:
    for adjustment in case.market.adjustments:
        if adjustment.pct is not None:
            # A percentage works on what the instrument is worth; a cost of removal it leaves alone.
            value = np.where(value > 0.0, value * (1.0 + adjustment.pct / 100.0), value)
        if adjustment.amount is not None:
            value = value + float(adjustment.amount)
    return value


def best_range(columns: list[Array], tables: Tables) -> Range:
    """Return the range of the best plan: for each percentile the plan that is best at it.

    One plan has to be committed to before its outcome is known, so the value is the greatest over the plans of a
    plan's percentile, not the percentile of the greatest outcome, which would credit the owner with hindsight.
    """
    ranges = [percentile_range(column, tables) for column in columns]
    return Range(max(one.low for one in ranges), max(one.mid for one in ranges), max(one.high for one in ranges))


def best_percentiles(weighed: list[Weighed]) -> tuple[tuple[int, float], ...]:
    """Return the reported percentiles, each of the plan that is best at it (see `best_range`)."""
    figures = np.max([percentiles(one.value, PERCENTILES) for one in weighed], axis=0)
    return tuple((p, float(figure)) for p, figure in zip(PERCENTILES, figures, strict=True))


def percentile_range(column: Array, tables: Tables) -> Range:
    """Return the low, middle and high percentile of a column of draws, in its unit."""
    wanted = (tables.setting("low_percentile"), 50.0, tables.setting("high_percentile"))
    return Range(*percentiles(column, wanted))


def share_left(subject: Subject, state: Condition) -> Array:
    """Return Σ share · (1 − D) times usability [–] in every draw."""
    total = np.sum([part.share * (1.0 - state.left[part.key]) for part in subject.parts], axis=0)
    share: Array = total * np.minimum.reduce([np.ones_like(total), *state.gates.values()])
    return share
