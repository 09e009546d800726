"""What a dealer can pay for an instrument taken in trade: the residual method on the joint draws."""

from __future__ import annotations

from dataclasses import replace
from math import floor
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.parts import intervention
from appraise.engine.rounding import rounding_step
from appraise.engine.setup import prepare
from appraise.engine.simulate import Source
from appraise.engine.subject import assemble
from appraise.engine.work import work_plan
from appraise.engine.worlds import deduction, draw_world, follow, percentile_range, worths
from appraise.model.ranking import COSTS, TradeIn
from appraise.model.result import Range

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.plan import Prices
    from appraise.engine.setup import Setup
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

_SLACK = 1e-9


def _not_stated(case: Case) -> tuple[str, ...]:
    """Return the costs that the case leaves open; a rate for parts only where labour costs nothing."""
    missing = [key for key in COSTS if getattr(case.costs, key) is None]
    return tuple(key for key in missing if key != "parts_rate" or case.costs.labour_rate == 0)


def trade_in(
    case: Case,
    tables: Tables,
    *,
    resale: str = "retail",
    probability: float | None = None,
    draws: int | None = None,
    seed: int | None = None,
) -> TradeIn:
    """Value one instrument for a dealer by the residual method, whatever basis the case asks for.

    Args:
        case: The case, with a replacement cost new.
        tables: The reference tables.
        resale: Kind of sale at which it is resold: a row of `bases` whose method is "market".
        probability: Share of the draws in which the offer keeps the margin [–], in (0, 1); none: the table's.
        draws: Number of draws, ≥ 64; none: the table's.
        seed: Seed of the draws, ≥ 0; none: the table's.

    Returns:
        Resale, work, margin, offer and risk. The offer and its risk come from the joint draws, never from percentiles
        added: a poor soundboard and dear work come together, and so do a good market and a fat margin.

    Raises:
        KeyError: The case or `resale` names a row that the tables do not hold.
        ValueError: No replacement cost new, too few draws, a probability outside (0, 1) or a resale that is no market.

    References:
        Residual method: what can be paid is the expected proceeds less the costs of getting there and the margin
        (common practice; International Valuation Standards know it for land). The offer is the quantile of what can be
        paid at 1 − probability, as an order statistic, rounded down, so that the share is kept in the draws at hand.
    """
    n = int(tables.setting("draws") if draws is None else draws)
    chosen_seed = int(tables.setting("seed") if seed is None else seed)
    wanted = tables.setting("offer_probability") if probability is None else probability
    if n < 64:
        raise ValueError(f"a range needs at least 64 draws: {n}")
    if not 0.0 < wanted < 1.0:
        raise ValueError(f"a probability lies between 0 and 1: {wanted}")
    setup = residual_setup(case, tables, resale)
    gross = draw_world(_without_margin(setup), Source(chosen_seed, n))
    share = costing.margin(case, tables)
    drawn = replace(gross, prices=tuple(keeping(prices, share) for prices in gross.prices))
    # Room keeps the whole margin, net keeps nothing; both take the best course in every draw, of one condition.
    room, net = (found.value for found in worths(setup, [drawn, gross]))
    offer = highest_offer(
        room, wanted, rounding_step(setup.replacement.mid, tables.setting("step_share"), setup.case.assignment.currency)
    )
    plan = work_plan(setup, draw_world(setup, Source.centre()), drawn)
    done, kept = follow(setup, gross, plan.jobs), follow(setup, drawn, plan.jobs)
    course = _course(kept.value, drawn.salvage, bool(plan.jobs))
    whole = course != "break_up"
    handling = deduction(setup) if whole else 0.0
    # Parts are sold as they come off: removal is in the salvage, and no margin is taken of it.
    price = percentile_range(done.value + done.cost + handling if whole else drawn.salvage, tables)
    soon = intervention(setup.subject, setup.centre, tables)
    return TradeIn(
        currency=case.assignment.currency,
        resale_basis=resale,
        course=course,
        plan=tuple(item.label for item in plan.items if item.chosen and whole),
        resale=price,
        work=percentile_range(done.cost, tables) if plan.jobs and whole else Range(0.0, 0.0, 0.0),
        carriage_and_holding=handling,
        margin_share=share,
        margin=share * max(price.mid, 0.0) if whole else 0.0,
        probability=wanted,
        offer=offer,
        margin_kept=float(np.mean(room >= offer - _SLACK)),
        risk=float(np.mean(net < offer - _SLACK)),
        profit=float(np.mean(net)) - offer,
        next_months=None if soon is None else 12.0 * soon.years.mid,
        next_part="" if soon is None else soon.label,
        looked_at=sum(part.share * part.inspected for part in setup.subject.parts),
        not_stated=_not_stated(case),
        tables_version=tables.version,
        seed=chosen_seed,
        draws=n,
    )


def residual_setup(case: Case, tables: Tables, resale: str) -> Setup:
    """Return the case made ready on the residual basis, resold at one kind of sale.

    Args:
        case: The case, on any basis; one that is residual itself keeps its own.
        tables: The reference tables.
        resale: As in `trade_in`.

    Raises:
        KeyError: No such kind of sale.
        ValueError: It is no market, or the case states no replacement cost new.
    """
    sold = tables.bases[resale]
    if sold.method != "market":
        raise ValueError(f"a resale takes place on a market: {resale}")
    if tables.bases[case.assignment.basis].method != "residual":
        basis = next(row.key for row in tables.bases.values() if row.method == "residual")
        case = replace(case, assignment=replace(case.assignment, basis=basis))
    setup = prepare(case, tables, assemble(case, tables))
    # The residual basis prices at retail: its comparables are brought there, and its channel is 1.
    evidence = setup.evidence
    if evidence is not None:
        evidence = replace(evidence, level=evidence.level * sold.typical)
    return replace(setup, channel=Range(sold.low, sold.typical, sold.high), evidence=evidence)


def highest_offer(room: Array, probability: float, step: float) -> float:
    """Return the highest offer that enough of the draws leave room for [money].

    Args:
        room: What can be paid with the margin kept, one figure a draw [money].
        probability: Share of the draws that must leave room for it [–].
        step: Rounding step, rounded down to [money].

    Returns:
        The order statistic that at least this share of the draws reaches, rounded down: a share in the draws at
        hand, without interpolation between two of them.
    """
    place = min(floor(room.size * (1.0 - probability) + _SLACK), room.size - 1)
    return floor(float(np.partition(room, place)[place]) / step + _SLACK) * step + 0.0


def _without_margin(setup: Setup) -> Setup:
    costs = replace(setup.case.costs, margin_pct=0.0)
    return replace(setup, case=replace(setup.case, costs=costs))


def keeping(prices: Prices, share: float) -> Prices:
    """Return the prices of the same draws with a margin taken off what the instrument resells for.

    Args:
        prices: Level, condition and costs of the draws.
        share: Margin as a share of the resale price [–]; the work is paid in full whatever the margin.
    """
    return replace(prices, level=prices.level * (1.0 - share))


def _course(room: Array, salvage: Array, work: bool) -> str:
    if float(np.median(salvage)) >= float(np.median(room)):
        return "break_up"
    return "after_work" if work else "as_it_stands"
