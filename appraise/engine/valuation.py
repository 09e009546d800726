"""From a case to its valuation: one pure function over frozen data."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypedDict

from appraise.engine.comparison import grid_lines, prepared
from appraise.engine.component_results import (
    central_looks,
    central_share,
    component_results,
    due_parts,
    general,
    intervention,
    law_shares,
    station_results,
)
from appraise.engine.condition import condition
from appraise.engine.draws import median, percentiles
from appraise.engine.drying import assess_drying
from appraise.engine.instruments.pitch_log import judge_log
from appraise.engine.outlying import marked
from appraise.engine.rounding import outward, rounding_step
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import PERCENTILES, draw_world, evaluate_plan, percentile_range, share_left, worth
from appraise.engine.study import drivers, next_checks, study, study_of_share
from appraise.engine.subject import assemble
from appraise.engine.suspected import struck_by
from appraise.engine.work import work_plan, work_without_money
from appraise.model.result import Approach, Range, Suspected, Valuation

if TYPE_CHECKING:
    from appraise.engine.scenarios import Scenario, Worth
    from appraise.engine.setup import Setup
    from appraise.engine.subject import Instrument
    from appraise.model.case import Case
    from appraise.model.measurement import DryingAssessment, PitchLog
    from appraise.tables.rows import Tables


class _Histories(TypedDict):
    pitch_log: PitchLog | None
    drying: DryingAssessment | None


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
    if case.market.cost_new is None:
        return _without_money(case, tables, assemble(case, tables), n, chosen_seed)
    source = Sampler(chosen_seed, n)
    setup = prepared(case, tables, source)
    return _report(setup, draw_world(setup, Sampler.centre()), draw_world(setup, source))


def _report(setup: Setup, centre: Scenario, drawn: Scenario) -> Valuation:
    case, tables, subject = setup.case, setup.tables, setup.subject
    found = worth(setup, drawn)
    exact = percentile_range(found.value, tables)
    step = rounding_step(setup.replacement.mid, tables.setting("step_share"), case.assignment.currency)
    ranked = drivers({drawn.inputs: found.by_condition, drawn.priced: found.value}, found.value, drawn.source.seed)
    shares = {driver.input: driver.share for driver in ranked}
    parts = component_results(subject, centre.state, drawn.state, shares, tables)
    usable = central_share(subject, centre.state)[1] if setup.basis.work_weighed else 1.0
    plan = work_plan(setup, centre, drawn, max(0.0, exact.mid))
    alone, after, cost = _courses(setup, drawn, plan.jobs)
    salvage = percentile_range(drawn.salvage, tables)
    disposed = bool(median(found.value - drawn.salvage) <= step)
    best, chosen_today = _what_is_best(setup, alone, after, salvage, disposed=disposed)
    renewal, appearance = central_looks(subject, centre.state)
    return Valuation(
        basis=setup.basis.key,
        currency=case.assignment.currency,
        value=outward(exact, step),
        exact=exact,
        percentiles=tuple(zip(PERCENTILES, percentiles(found.value, PERCENTILES), strict=True)),
        share_of_new=percentile_range(share_left(subject, drawn.state), tables),
        left_alone=alone,
        after_work=after,
        salvage=salvage,
        plan_cost=cost,
        taking=setup.taking.flat,
        option=max(0.0, exact.mid - chosen_today),
        renewal=renewal,
        appearance=appearance,
        best=best,
        market_age=subject.age,
        market_factor=setup.factor,
        market_factor_from=setup.factor_from,
        basis_factor=setup.channel,
        usability=usable,
        step=step,
        work=plan.items,
        stations=station_results(subject, parts, drawn.state, case, tables),
        general=general(subject),
        due=due_parts(subject, case, tables),
        next_intervention=intervention(subject, centre.state, case, tables),
        next_checks=()
        if setup.basis.method == "replacement"
        else next_checks(study(case, subject, drawn, found, tables).known),
        suspected=_suspected(subject, drawn, found, tables),
        approaches=_approaches(setup, found),
        disagreement=setup.disagreement,
        grid=marked(grid_lines(setup, drawn, found), setup),
        drivers=ranked,
        laws=law_shares(subject, tables),
        **_histories(case, tables),
        tables_version=tables.version,
        seed=drawn.source.seed,
        draws=drawn.source.n,
    )


def _suspected(subject: Instrument, drawn: Scenario, found: Worth, tables: Tables) -> tuple[Suspected, ...]:
    """Return each suspected fault with the value in the draws without it and in those with it."""
    values = found.value.reshape(-1, drawn.source.n)
    said = []
    for part in subject.parts:
        for doubt in part.suspected:
            struck = struck_by(doubt.check, doubt.chance, drawn.source)
            if 0 < struck.sum() < struck.size:
                without, counted = (median(values[:, where].ravel()) for where in (~struck, struck))
                label = tables.checks[doubt.check].label
                said.append(Suspected(doubt.check, label, doubt.chance, float(without), float(counted)))
    return tuple(said)


def _courses(setup: Setup, drawn: Scenario, plan: frozenset[str]) -> tuple[Range, Range | None, Range | None]:
    """Return what the instrument is worth as is and after the plan, and what the plan costs."""
    tables = setup.tables
    if setup.basis.method == "replacement":
        return percentile_range(drawn.market.replacement, tables), None, None
    alone = percentile_range(evaluate_plan(setup, drawn, frozenset()).value, tables)
    if not plan:
        return alone, None, None
    course = evaluate_plan(setup, drawn, plan)
    spread = percentile_range(course.cost, tables)
    # The mean, as of its jobs: means add up, and middles do not.
    cost = replace(spread, mid=float(course.cost.mean()))
    return alone, percentile_range(course.value, tables), cost


def _what_is_best(
    setup: Setup, alone: Range, after: Range | None, salvage: Range, *, disposed: bool
) -> tuple[str, float]:
    """Return the course that sets the value in the middle, and what the best course chosen today comes to [money].

    Disposal sets it only where the value is no more than that in most draws: of an instrument that nobody opened no
    work can be proposed yet, and still its buyer would have done what it turns out to need.
    """
    courses = {"left_alone": alone.mid}
    if after is not None:
        courses["after_work"] = after.mid
    best = max(courses, key=courses.__getitem__)
    if setup.basis.method == "replacement":
        return best, courses[best]
    if salvage.mid >= courses[best] and disposed:
        best = "salvage"
    return best, max(salvage.mid, *courses.values())


def _approaches(setup: Setup, found: Worth) -> tuple[Approach, ...]:
    tables, case = setup.tables, setup.case
    if setup.basis.method == "replacement":
        return (Approach("cost", percentile_range(found.value, tables), setup.cost_sd, 1.0, True, ""),)
    stated = case.market.weight_cost_pct is not None
    how = ("stated", case.market.weight_reason) if stated else ("precision", "")
    cost = Approach(
        "cost",
        percentile_range(found.by_approach[0], tables),
        setup.cost_sd,
        setup.weight_cost,
        True,
        *how,
    )
    if len(found.by_approach) < 2:
        absent = "no_comparables" if setup.basis.method != "depreciated" else "off_basis"
        return cost, Approach("sales", Range(0.0, 0.0, 0.0), 0.0, 0.0, False, absent)
    return cost, Approach(
        "sales",
        percentile_range(found.by_approach[1], tables),
        setup.sales_sd,
        1.0 - setup.weight_cost,
        True,
        *how,
    )


def _histories(case: Case, tables: Tables) -> _Histories:
    """Judge the pitch log, where there is one, and weigh the clues to drying, where any was looked for."""
    log = judge_log(case.pitch_log, tables) if case.pitch_log else None
    return {"pitch_log": log, "drying": assess_drying(case, tables, log) if case.drying_clues else None}


def _without_money(case: Case, tables: Tables, subject: Instrument, n: int, seed: int) -> Valuation:
    """Value the condition alone: what is left of a new instrument, as a share."""
    centre = condition(subject, (), Sampler.centre(), tables)
    drawn = condition(subject, (), Sampler(seed, n), tables)
    column = share_left(subject, drawn)
    ranked = drivers({drawn.inputs: column}, column, seed)
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
        taking=0.0,
        option=0.0,
        renewal=1.0,
        appearance=1.0,
        best="left_alone",
        market_age=subject.age,
        market_factor=one,
        market_factor_from="none",
        basis_factor=one,
        usability=gate,
        step=0.0,
        work=work_without_money(case, tables, subject),
        stations=station_results(subject, parts, drawn, case, tables),
        general=general(subject),
        due=due_parts(subject, case, tables),
        next_intervention=intervention(subject, centre, case, tables),
        next_checks=next_checks(study_of_share(case, subject, column, drawn.inputs, seed, tables).known),
        suspected=(),
        approaches=(),
        disagreement=0.0,
        grid=(),
        drivers=ranked,
        laws=law_shares(subject, tables),
        **_histories(case, tables),
        tables_version=tables.version,
        seed=seed,
        draws=n,
    )
