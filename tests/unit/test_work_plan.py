"""The plan that is reported: what can be expected to pay, as a whole and job by job, in sums that add up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from appraise.engine.plan import with_needs
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, evaluate_plan
from appraise.engine.setup import prepare
from appraise.engine.subject import assemble
from appraise.engine.valuation import value_case
from appraise.engine.work import work_plan
from appraise.model.case import Grade
from appraise.store.read import read_case
from appraise.tables.load import load_tables
from tests.helpers.report_cases import CASES

TABLES = load_tables()
SAMPLES = {path.stem: path for path in sorted((Path(__file__).parents[2] / "sample_cases").glob("*.toml"))}
DRAWS = 512


def case_of(name):
    if name in CASES:
        return CASES[name]()
    return read_case(SAMPLES[name], TABLES, today=date(2026, 12, 1))[0]


@pytest.fixture(params=sorted({*CASES, *SAMPLES} - {"bare", "watched"}))
def case(request):
    return case_of(request.param)


def test_what_is_said_to_pay_pays_on_average(case):
    """A typical cost beside a mean gain would call work worth doing that is not: costs run over more than under."""
    setup = prepare(case, TABLES, assemble(case, TABLES))
    centre, drawn = draw_world(setup, Sampler.centre()), draw_world(setup, Sampler(1900, DRAWS))
    plan = work_plan(setup, centre, drawn)
    assert {item.remedy for item in plan.items if item.chosen} == plan.jobs
    if drawn.prices:
        assert (
            evaluate_plan(setup, drawn, plan.jobs).value.mean() >= evaluate_plan(setup, drawn, frozenset()).value.mean()
        )
    needed = frozenset().union(*(with_needs(setup.plans, key) - {key} for key in plan.jobs))
    for item in plan.items:
        if item.remedy in plan.jobs - needed:
            assert item.value_added >= item.cost.mid


def broken(result):
    return TABLES.checks[result.check].each and result.grade > 1.0


def test_no_job_is_advised_that_cannot_cure_the_grade(case):
    """A part past the worst grade that a job cures may be better than its grade in some draws: that is no advice."""
    found = value_case(case, TABLES, draws=DRAWS, seed=1900)
    parts = {part.component: part for station in found.stations for part in station.components}
    needed = {key for item in found.work for key in TABLES.remedies[item.remedy].requires}
    for item in found.work:
        row = TABLES.remedies[item.remedy]
        if item.remedy in needed:
            continue
        # A job answers a finding that is not sound, of a check that it names where it names any.
        findings = []
        for part in (parts[key] for key in row.improves if key in parts):
            if part.overruled:
                findings.append(part.grade.mid)
            else:
                answered = [one for one in part.checks if not row.causes or one.check in row.causes]
                # One broken or missing piece is work, however little it says of the component.
                findings += [max(one.grade, 3.0) if broken(one) else one.grade for one in answered]
        puts_right = any(
            TABLES.checks[one.check].put_right_by == item.remedy for part in parts.values() for one in part.checks
        )
        assert puts_right or any(2.5 < grade <= row.up_to + 1e-9 for grade in findings), item.remedy


@pytest.mark.parametrize(("grade", "advised"), [(3.5, True), (4.0, False)])
def test_hammers_past_filing_are_not_advised_to_be_filed(grade, advised):
    case = case_of("renewed_grand")
    graded = Grade(component="hammers", grade=grade, reason="measured")
    found = value_case(replace(case, grades=(*case.grades, graded)), TABLES, draws=DRAWS, seed=1900)
    assert ("hammers_reshape" in {item.remedy for item in found.work}) is advised


def test_the_costs_of_the_jobs_add_up_to_that_of_the_plan(case):
    found = value_case(case, TABLES, draws=DRAWS, seed=1900)
    chosen = [item for item in found.work if item.chosen]
    if found.plan_cost is None:
        assert not chosen
    else:
        assert found.plan_cost.mid == pytest.approx(sum(item.cost.mid for item in chosen), rel=1e-9)
        assert found.plan_cost.low <= found.plan_cost.mid <= found.plan_cost.high
