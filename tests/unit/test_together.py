"""Repairs of one component that answer different findings leave it better together than any of them alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from appraise.engine.joint_repairs import as_searched, as_told
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, evaluate_plan
from appraise.engine.setup import prepare
from appraise.engine.subject import assemble
from appraise.model.case import Grade, Kind
from appraise.tables.load import load_tables
from tests.unit.test_worth_laws import uniform

TABLES = load_tables()


@pytest.fixture(scope="module")
def split():
    """A sound grand with a split leg and a broken caster."""
    sound = uniform(Kind.GRAND, 20, 2.0)
    seen = tuple(one for one in sound.grades if one.component != "legs_and_casters")
    found = (Grade(4.5, check="legs_grand"), Grade(4.0, check="casters"))
    case = replace(sound, grades=(*seen, *found))
    return prepare(case, TABLES, assemble(case, TABLES))


def answering(setup, check):
    rows = [row for row in setup.remedies if check in row.causes and tuple(row.improves) == ("legs_and_casters",)]
    return {row.key for row in rows}


def test_both_findings_are_cured_by_both_jobs_and_by_neither_alone(split):
    world = draw_world(split, Sampler.centre())
    legs, casters = answering(split, "legs_grand"), answering(split, "casters")
    joint = next(one for one in split.joints if one.members & legs and one.members & casters)
    value = {plan: evaluate_plan(split, world, plan).value[0] for plan in (frozenset(), joint.members)}
    alone = [evaluate_plan(split, world, frozenset([key])).value[0] for key in joint.members]
    assert value[joint.members] > max(alone)
    assert value[joint.members] > value[frozenset()]


def test_what_they_cost_adds_up(split):
    world = draw_world(split, Sampler.centre())
    for joint in split.joints:
        assert world.costs[joint.row.key][0] == pytest.approx(sum(world.costs[key][0] for key in joint.members))


def test_a_plan_is_told_in_the_jobs_of_the_tables(split):
    for joint in split.joints:
        assert as_told(as_searched(joint.members, split.joints), split.joints) == joint.members


def test_one_finding_needs_nothing_together():
    case = uniform(Kind.GRAND, 20, 2.0)
    assert prepare(case, TABLES, assemble(case, TABLES)).joints == ()
