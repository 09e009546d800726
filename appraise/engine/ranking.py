"""What a dealer can pay for an instrument taken in trade: the residual method on the joint draws."""

from __future__ import annotations

from dataclasses import replace
from math import floor
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.comparison import prepared
from appraise.engine.component_results import intervention
from appraise.engine.draws import median
from appraise.engine.rounding import rounding_step
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, evaluate_plan, percentile_range, worths
from appraise.engine.taking import carriage
from appraise.engine.work import proposed_course
from appraise.model.ranking import COSTS, TradeIn
from appraise.model.result import Range

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from appraise.engine.plan import Prices
    from appraise.engine.scenarios import Scenario
    from appraise.engine.setup import Setup
    from appraise.engine.taking import Taking
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
    source = Sampler(chosen_seed, n)
    setup = residual_setup(case, tables, resale, source)
    drawn = draw_world(setup, source)
    # Room keeps the whole margin, net keeps nothing; both take the best course in every draw, of one condition.
    off = setup.taking
    asked = [(_parted_out(drawn, setup, off.margin_share), off.kept, off.flat)]
    asked.append((drawn, off.kept + off.margin_share, off.flat))
    room, net = (found.value for found in worths(setup, asked))
    offer = highest_offer(
        room, wanted, rounding_step(setup.replacement.mid, tables.setting("step_share"), setup.case.assignment.currency)
    )
    jobs = proposed_course(setup, draw_world(setup, Sampler.centre()), drawn)
    done = evaluate_plan(setup, drawn, frozenset(row.key for row in jobs))
    course = _course(done.value, asked[0][0].salvage, bool(jobs))
    whole = course != "part_out"
    # Parts are sold as they come off: removal is in the salvage.
    price = percentile_range(done.resale if whole else drawn.salvage, tables)
    work = Range(0.0, 0.0, 0.0)
    if jobs and whole:
        spread, mean = percentile_range(done.cost, tables), float(done.cost.mean())
        work = Range(min(spread.low, mean), mean, max(spread.high, mean))
    carriage, preparation, guarantee, holding = _taken(setup.taking, price.mid) if whole else (0.0, 0.0, 0.0, 0.0)
    left = price.mid - work.mid - carriage - preparation - guarantee - holding - offer
    soon = intervention(setup.subject, setup.centre, setup.case, tables)
    return TradeIn(
        currency=case.assignment.currency,
        resale_basis=resale,
        course=course,
        plan=tuple(row.label for row in jobs if whole),
        resale=price,
        work=work,
        carriage=carriage,
        preparation=preparation,
        guarantee=guarantee,
        holding=holding,
        margin_share=off.margin_share,
        margin=left,
        probability=wanted,
        offer=offer,
        share_of_retail=_share_of_retail(case, tables, setup, price.mid, whole=whole),
        margin_kept=float(np.mean(room >= offer - _SLACK)),
        risk=float(np.mean(net < offer - _SLACK)),
        profit=left,
        next_months=None if soon is None else 12.0 * soon.years.mid,
        next_part="" if soon is None else soon.label,
        looked_at=sum(part.share * part.inspected for part in setup.subject.parts),
        preliminary=bool(case.preliminary),
        not_stated=_not_stated(case),
        tables_version=tables.version,
        seed=chosen_seed,
        draws=n,
    )


def _taken(off: Taking, resale: float) -> tuple[float, float, float, float]:
    """Return carriage in and out, preparation and tunings, guarantee and holding of a resale [money]."""
    return (
        off.carriage + off.delivery,
        off.preparation + off.tunings,
        off.guarantee + off.guarantee_share * resale,
        off.holding + off.holding_share * resale,
    )


def _share_of_retail(case: Case, tables: Tables, setup: Setup, price: float, *, whole: bool) -> float | None:
    """Return the usual share of the retail price [money], as a cross-check; none for one that is parted out."""
    row = next((row for row in tables.bases.values() if row.method == "residual"), None)
    if row is None or not whole:
        return None
    return row.typical * price / setup.channel.mid


def _parted_out(drawn: Scenario, setup: Setup, margin: float) -> Scenario:
    """Return the same draws with the margin kept of what the parts bring as well, removal paid in full."""
    removal = costing.removal(setup.case, setup.tables)
    parts = drawn.market.salvage + removal
    return replace(drawn, market=replace(drawn.market, salvage=parts * (1.0 - margin) - removal))


def residual_setup(case: Case, tables: Tables, resale: str, source: Sampler) -> Setup:
    """Return the case made ready on the residual basis, resold at one kind of sale.

    Args:
        case: The case, on any basis; one that is residual itself keeps its own.
        tables: The reference tables.
        resale: As in `trade_in`.
        source: The draws, with which the comparables are valued.

    Raises:
        KeyError: No such kind of sale.
        ValueError: It is no market, or the case states no replacement cost new.
    """
    sold = tables.bases[resale]
    if sold.method != "market" or not sold.work_weighed:
        raise ValueError(f"a resale takes place on a market: {resale}")
    if tables.bases[case.assignment.basis].method != "residual":
        basis = next(row.key for row in tables.bases.values() if row.method == "residual")
        case = replace(case, assignment=replace(case.assignment, basis=basis))
    setup = prepared(case, tables, source)
    off = setup.taking
    if sold.buyer_carries:
        # Whoever buys at such a sale carries the instrument away and has it tuned: the dealer's price is less by as
        # much.
        off = replace(off, delivery=off.delivery or carriage(case, tables))
    return replace(setup, channel=Range(sold.low, sold.typical, sold.high), taking=off)


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


def keeping(prices: Prices, share: float) -> Prices:
    """Return the prices of the same draws with a margin taken off what the instrument resells for.

    Args:
        prices: Level, condition and costs of the draws.
        share: Margin as a share of the resale price [–]; the work is paid in full whatever the margin.
    """
    return replace(prices, level=prices.level * (1.0 - share))


def _course(room: Array, salvage: Array, work: bool) -> str:
    if float(median(salvage)) >= float(median(room)):
        return "part_out"
    return "after_work" if work else "as_is"
