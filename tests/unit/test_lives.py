"""What is due, what comes next and how long the whole lasts: laws over random cases, and cases worked by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from random import Random

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from appraise.engine.economic_life import YEARS, economic_life, first_time
from appraise.engine.life import chance_of_being_first, first_to_fail, life_share, surviving, weibull
from appraise.engine.projection import later
from appraise.engine.renewals import cures_by_grade, renewal_costs
from appraise.engine.sampler import Sampler
from appraise.engine.subject import assemble
from appraise.engine.valuation import value_case
from appraise.model.case import Assignment, Case, Costs, Grade, Identity, Kind, Market
from appraise.model.span import Span
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.cases import cases
from tests.helpers.depth import examples

TABLES = load_tables()
PARTS = [row for row in TABLES.components.values() if not row.hazard]
SLACK = 1e-6


def instrument(kind="grand", age=30, grades=None, new=30_000, rate=60):
    """An invented instrument, graded part by part where grades are given."""
    made = date(2026 - age, 11, 20)
    seen = tuple(Grade(grade, component=key, reason="invented") for key, grade in (grades or {}).items())
    return Case(
        Identity(Kind(kind), made=Span(made, made), tier="good"),
        Assignment(date(2026, 11, 20), basis="private_sale", currency="EUR"),
        grades=seen,
        market=Market(replacement_cost_new=None if new is None else Decimal(new)),
        costs=Costs(labour_rate=None if rate is None else Decimal(rate)),
    )


def alike(grade):
    return dict.fromkeys((row.key for row in PARTS), grade)


def fleet():
    """Forty instruments: both kinds, ten ages, half of them not inspected and half with mixed grades."""
    for kind in ("grand", "upright"):
        for age in (5, 10, 20, 30, 40, 50, 60, 70, 85, 100):
            chance, about = Random(f"{kind} {age}"), min(4.0, 1.5 + age / 40)
            mixed = {
                row.key: min(5.0, max(1.0, round(2.0 * (about + chance.choice((-1, -0.5, 0, 0, 0.5, 1)))) / 2.0))
                for row in PARTS
            }
            for grades in (None, mixed):
                yield instrument(kind, age, grades, 30_000 if kind == "grand" else 9_000)


@pytest.mark.parametrize("key", ["pin_block", "hammers", "regulation"])
def test_remaining_life_falls_continuously_to_nothing_at_the_due_grade(key):
    due = TABLES.components[key].due_from
    left = []
    for grade in np.linspace(1.0, 5.0, 41):
        # Without a price new: no money is needed for how long a part lasts.
        part = value_case(instrument(grades={key: float(grade)}, new=None), TABLES, draws=64).component(key)
        assert part.due == (grade >= due - 1e-9)
        left.append(part.remaining_years.mid)
        assert (part.remaining_years.high == 0.0) == part.due
    assert all(worse <= better for better, worse in pairwise(left))
    before = left[round((due - 1.1) / 0.1)]
    assert 0.0 < before < 0.12 * left[0]
    assert life_share(due, due, 1.0) == 0.0


def test_a_due_part_is_now_and_not_next():
    found = value_case(instrument(grades=alike(2.0) | {"pin_block": 4.0, "hammers": 4.5}), TABLES, draws=64)
    assert [part.component for part in found.due] == ["pin_block", "hammers"]
    assert all(part.large and part.inspected for part in found.due)
    assert not {"pin_block", "hammers"} & set(found.next_intervention.competing)
    assert found.next_intervention.years.mid > 1.0
    assert found.station("pin_block").remaining_years.high == 0.0


def test_a_fault_of_the_whole_is_neither_due_nor_next():
    found = value_case(instrument(grades=alike(2.0) | {"tuning": 5.0}), TABLES, draws=64)
    assert found.due == ()
    assert "tuning" not in found.next_intervention.competing


def test_where_everything_is_due_nothing_is_next():
    found = value_case(instrument(grades=alike(5.0)), TABLES, draws=64)
    assert found.next_intervention is None
    assert len(found.due) == len(PARTS)


def test_large_jobs_are_those_that_cost_a_share_of_a_new_instrument():
    case = instrument(grades=alike(2.0))
    costs = renewal_costs(case, TABLES)
    competing = set(value_case(case, TABLES, draws=64).next_intervention.competing)
    least = TABLES.setting("large_job_share")
    for row in PARTS:
        share = costs[row.key] / 30_000 if row.key in costs else row.share("grand")
        works = bool(row.gate) or not row.appearance  # looks alone ask for no work
        assert (row.key in competing) == (works and share >= least), row.key
    # Restringing takes the tunings that follow with it.
    job = TABLES.remedies["restring_grand"]
    alone = job.hours_typical * (1.0 + (job.parts_low + job.parts_high) / 2.0)
    step = TABLES.remedies["settle_tuning"].hours_typical
    hour = 60.0 * (1.0 + TABLES.setting("overhead_pct") / 100.0) * (1.0 + TABLES.setting("contingency_pct") / 100.0)
    assert costs["plain_strings"] == pytest.approx(hour * (alone + step))


@pytest.mark.parametrize("rate", [None, 0])
def test_without_a_price_of_labour_the_share_of_cost_counts(rate):
    competing = value_case(instrument(grades=alike(2.0), rate=rate), TABLES, draws=64).next_intervention.competing
    least = TABLES.setting("large_job_share")
    working = [row for row in PARTS if row.gate or not row.appearance]
    assert set(competing) == {row.key for row in working if row.share("grand") >= least}


def test_no_part_brings_the_next_large_job_of_almost_every_instrument():
    found = Counter()
    for case in fleet():
        coming = value_case(case, TABLES, draws=64).next_intervention
        found["nothing" if coming is None else coming.component] += 1
    assert sum(found.values()) == 40
    assert max(found.values()) <= 17, found
    assert len(found) >= 5


def test_what_cures_a_worse_grade_never_costs_less():
    costs = {key: np.array([row.hours_typical]) for key, row in TABLES.remedies.items()}
    cures = cures_by_grade(instrument(), TABLES, costs)
    assert len(cures["pin_block"]) > 1
    for steps in cures.values():
        assert all(better[0] < worse[0] and better[1][0] <= worse[1][0] for better, worse in pairwise(steps))


def test_grades_worsen_along_what_age_lets_expect():
    paths = later(assemble(instrument(age=10, grades=alike(1.0)), TABLES), TABLES).paths
    old = assemble(instrument(age=40), TABLES)
    # As new today, it stands in forty years as a part of forty years that nobody inspected.
    for part in old.parts:
        if not part.row.hazard:
            assert paths[part.key].at(np.array([40.0]))[0] == pytest.approx(part.expected, abs=2e-2), part.key


def test_several_later_times_at_once_are_those_one_by_one():
    source, (case, _) = Sampler(5, 64), read_case(data_folder("sample_cases") / "renewed_grand.toml", TABLES)
    grown, jobs = later(assemble(case, TABLES), TABLES), tuple(TABLES.remedies.values())
    together = grown.condition((0.0, 10.0, 40.0), jobs, source, TABLES, None)
    for at, years in enumerate((0.0, 10.0, 40.0)):
        alone = grown.condition((years,), jobs, source, TABLES, None)
        for key, one in alone.worn.items():
            there = slice(64 * at, 64 * (at + 1))
            assert np.array_equal(together.worn[key].left[there], one.left), key
            for job, kept in one.kept_after.items():
                assert np.array_equal(together.worn[key].kept_after[job][there], kept), (key, job)


def test_first_time_is_linear_between_two_times():
    margin = np.array([[10.0, -1.0, 5.0, 2.0], [5.0, 3.0, 5.0, 0.0], [-5.0, 3.0, 4.0, -2.0]])
    assert first_time((0.0, 10.0, 20.0), margin) == pytest.approx([15.0, 0.0, 20.0, 10.0])


def test_no_economic_life_without_a_price_of_a_new_one():
    assert economic_life(instrument(new=None), TABLES) is None


def test_what_is_worth_no_more_than_disposal_has_no_economic_life():
    case = instrument("upright", 95, alike(4.5), 6_000)
    found = value_case(case, TABLES, draws=256)
    assert found.exact.mid <= found.salvage.mid + 1.0
    assert economic_life(case, TABLES).years.high == 0.0


def test_a_young_sound_instrument_has_most_of_its_life_before_it():
    young, old = (economic_life(instrument(age=age, grades=alike(2.0)), TABLES) for age in (3, 60))
    assert young.years.low > 15.0
    assert young.years.mid > 2.0 * old.years.mid
    assert 0.0 < young.by_value + young.by_work <= 1.0


def test_the_seed_moves_it_little():
    case = instrument(age=25, grades=alike(2.5))
    one, other = (economic_life(case, TABLES, seed).years for seed in (1, 2))
    assert abs(one.mid - other.mid) < 0.25 * one.width


def assert_never_longer(better, worse):
    before, after = economic_life(better, TABLES), economic_life(worse, TABLES)
    for edge in ("low", "mid", "high"):
        assert getattr(after.years, edge) <= getattr(before.years, edge) + SLACK
        assert 0.0 <= getattr(after.years, edge) <= YEARS[-1]


@settings(max_examples=examples(25), deadline=None)
@given(cases(TABLES, priced=True), st.data())
def test_a_worse_grade_never_lengthens_it(case, data):
    row = data.draw(st.sampled_from([row for row in TABLES.components.values() if case.identity.kind in row.kinds]))
    low, high = sorted(data.draw(st.lists(st.integers(2, 10), min_size=2, max_size=2, unique=True)))
    others = tuple(grade for grade in case.grades if grade.component != row.key)
    better, worse = (
        replace(case, grades=(*others, Grade(half / 2, component=row.key, reason="seen"))) for half in (low, high)
    )
    assert_never_longer(better, worse)


@settings(max_examples=examples(25), deadline=None)
@given(cases(TABLES, priced=True), st.integers(1, 60))
def test_a_greater_age_never_lengthens_it(case, years):
    made = case.identity.made
    assume(made is not None)
    shift = timedelta(days=round(365.25 * years))
    assume(made.earliest.toordinal() > shift.days + 366)
    older = Span(made.earliest - shift, made.latest - shift)
    assert_never_longer(case, replace(case, identity=replace(case.identity, made=older)))


def test_a_life_known_to_a_thousandth_overflows_nothing():
    narrow = weibull(59.94, 60.0, 60.06)
    lives, ages = [narrow, weibull(20.0, 40.0, 70.0)], [200.0, 5.0]
    assert first_to_fail(lives, ages, [1.0, 0.0]).high >= 0.0
    assert sum(chance_of_being_first(lives, ages)) == pytest.approx(1.0)
    assert 0.0 <= surviving(100.0, lives, ages, [0.001, 1.0]) <= 1.0
