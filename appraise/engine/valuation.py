"""From a case to its valuation: one pure function over frozen data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.draws import percentiles
from appraise.engine.guidance import drivers, next_checks
from appraise.engine.parts import central_share, component_results, intervention, law_shares, station_results
from appraise.engine.rounding import outward, rounding_step
from appraise.engine.setup import prepare
from appraise.engine.simulate import Source, condition
from appraise.engine.subject import assemble
from appraise.engine.work import work_items
from appraise.engine.worlds import (
    best_percentiles,
    best_range,
    candidates,
    draw_world,
    percentile_range,
    share_left,
    weigh_all,
)
from appraise.model.result import Approach, Range, Valuation

if TYPE_CHECKING:
    from appraise.engine.setup import Setup
    from appraise.engine.subject import Subject
    from appraise.engine.worlds import Weighed, World
    from appraise.model.case import Case
    from appraise.tables.rows import Tables


def value_case(case: Case, tables: Tables, *, draws: int | None = None, seed: int | None = None) -> Valuation:
    """Value one instrument.

    Args:
        case: The case, free of grave problems.
        tables: The reference tables.
        draws: Number of draws behind the range, ≥ 64; none: the table's.
        seed: Seed of the draws, ≥ 0; none: the table's.

    Returns:
        The valuation. Without a replacement cost new there is no money in it, and everything else is there.

    Raises:
        KeyError: The case names a row that the tables do not hold.
        ValueError: Too few draws.

    References:
        Cost approach, sales comparison and reconciliation as in general appraisal practice (International Valuation
        Standards, "Valuation Approaches"); the range by propagation of distributions, JCGM 101:2008.
    """
    n = int(tables.setting("draws") if draws is None else draws)
    chosen_seed = int(tables.setting("seed") if seed is None else seed)
    if n < 64:
        raise ValueError(f"a range needs at least 64 draws: {n}")
    subject = assemble(case, tables)
    if case.market.replacement_cost_new is None:
        return _without_money(case, tables, subject, n, chosen_seed)
    setup = prepare(case, tables, subject)
    probes = draw_world(setup, Source.probes())
    drawn = draw_world(setup, Source(chosen_seed, n))
    return _report(setup, probes, drawn, candidates(setup, probes), n, chosen_seed)


def _report(
    setup: Setup, probes: World, drawn: World, plans: tuple[frozenset[str], ...], n: int, seed: int
) -> Valuation:
    case, tables, subject = setup.case, setup.tables, setup.subject
    weighed = weigh_all(setup, drawn, plans)
    chosen = max(weighed, key=lambda one: (percentiles(one.value, (50.0,))[0], -len(one.plan)))
    exact = best_range([one.value for one in weighed], tables)
    step = rounding_step(setup.replacement.mid, tables.setting("step_share"))
    ranked = drivers(chosen.value, drawn.inputs, seed, case, tables)
    shares = {driver.input: driver.share for driver in ranked}
    parts = component_results(subject, probes.state, drawn.state, shares, tables)
    _, usable = central_share(subject, probes.state)
    idle = next((one for one in weighed if not one.plan), chosen)
    worked = chosen.by_approach[0] if chosen.plan else None
    return Valuation(
        basis=setup.basis.key,
        currency=case.assignment.currency,
        value=outward(exact, step),
        exact=exact,
        percentiles=best_percentiles(weighed),
        share_of_new=percentile_range(share_left(subject, drawn.state), tables),
        left_alone=percentile_range(idle.by_approach[0].worked if idle.by_approach else drawn.replacement, tables),
        after_work=percentile_range(worked.worked, tables) if worked else None,
        salvage=percentile_range(drawn.salvage, tables),
        plan_cost=percentile_range(worked.cost, tables) if worked else None,
        best=_what_is_best(chosen, drawn),
        market_factor=setup.factor,
        market_factor_from=setup.factor_from,
        basis_factor=setup.channel,
        usability=usable,
        step=step,
        work=work_items(setup, probes, chosen.plan),
        stations=station_results(subject, parts, drawn.state, case, tables),
        next_intervention=intervention(parts, subject),
        next_checks=next_checks(case, subject, shares, tables),
        approaches=_approaches(setup, drawn, chosen),
        grid=setup.evidence.lines if setup.evidence else (),
        drivers=ranked,
        laws=law_shares(subject, tables),
        tables_version=tables.version,
        seed=seed,
        draws=n,
    )


def _what_is_best(chosen: Weighed, drawn: World) -> str:
    if not chosen.by_approach:
        return "left_alone"
    salvage = percentiles(drawn.salvage, (50.0,))[0]
    if percentiles(chosen.value, (50.0,))[0] <= salvage:
        return "salvage"
    return "after_work" if chosen.plan else "left_alone"


def _approaches(setup: Setup, drawn: World, chosen: Weighed) -> tuple[Approach, ...]:
    tables, case = setup.tables, setup.case
    if setup.basis.method == "replacement":
        return (
            Approach(
                "cost", "Cost approach", percentile_range(drawn.replacement, tables), setup.cost_sd, 1.0, True, ""
            ),
        )
    stated = case.market.weight_cost_pct is not None
    how = case.market.weight_reason if stated else "weighed by how precisely each is known"
    cost = Approach(
        "cost",
        "Cost approach",
        percentile_range(chosen.by_approach[0].value, tables),
        setup.cost_sd,
        setup.weight_cost,
        True,
        how,
    )
    if len(chosen.by_approach) < 2:
        absent = "no comparables" if setup.basis.method != "depreciated" else "not used on this basis"
        return cost, Approach("sales", "Sales comparison", Range(0.0, 0.0, 0.0), 0.0, 0.0, False, absent)
    return cost, Approach(
        "sales",
        "Sales comparison",
        percentile_range(chosen.by_approach[1].value, tables),
        setup.sales_sd,
        1.0 - setup.weight_cost,
        True,
        how,
    )


def _without_money(case: Case, tables: Tables, subject: Subject, n: int, seed: int) -> Valuation:
    """Value the condition alone: what is left of a new instrument, as a share."""
    centre = condition(subject, (), Source.probes(), tables)
    drawn = condition(subject, (), Source(seed, n), tables)
    column = share_left(subject, drawn)
    ranked = drivers(column, drawn.inputs, seed, case, tables)
    shares = {driver.input: driver.share for driver in ranked}
    parts = component_results(subject, centre, drawn, shares, tables)
    one = Range(1.0, 1.0, 1.0)
    _, gate = central_share(subject, centre)
    return Valuation(
        basis=case.assignment.basis,
        currency=case.assignment.currency,
        value=None,
        exact=None,
        percentiles=(),
        share_of_new=percentile_range(column, tables),
        left_alone=None,
        after_work=None,
        salvage=None,
        plan_cost=None,
        best="left_alone",
        market_factor=one,
        market_factor_from="none",
        basis_factor=one,
        usability=gate,
        step=0.0,
        work=(),
        stations=station_results(subject, parts, drawn, case, tables),
        next_intervention=intervention(parts, subject),
        next_checks=next_checks(case, subject, shares, tables),
        approaches=(),
        grid=(),
        drivers=ranked,
        laws=law_shares(subject, tables),
        tables_version=tables.version,
        seed=seed,
        draws=n,
    )
