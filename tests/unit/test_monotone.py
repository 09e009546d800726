"""The laws of the valuation over random cases: nothing that is worse, older or dearer is ever worth more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from appraise.engine.age import histories
from appraise.engine.simulate import Source
from appraise.engine.valuation import value_case
from appraise.model.case import Assignment, Case, Extent, Grade, Identity, Kind, Renewal
from appraise.model.span import Span
from appraise.tables.load import load_tables
from tests.helpers.cases import cases

TABLES = load_tables()
DRAWS = 96
SLACK = 1e-6

priced = cases(TABLES, priced=True)


def figures(case):
    """The figures that must not rise, exact and rounded."""
    found = value_case(case, TABLES, draws=DRAWS)
    return [
        *((name, getattr(found.exact, name)) for name in ("low", "mid", "high")),
        *((f"rounded {name}", getattr(found.value, name)) for name in ("low", "mid", "high")),
        *((f"alone {name}", getattr(found.left_alone, name)) for name in ("low", "mid", "high")),
    ]


def assert_never_more(before, after):
    for (name, was), (_, now) in zip(figures(before), figures(after), strict=True):
        assert now <= was + SLACK * max(1.0, abs(was)), name


@given(priced)
def test_order_and_floor(case):
    found = value_case(case, TABLES, draws=DRAWS)
    assert found.exact.low <= found.exact.mid <= found.exact.high
    assert found.value.low <= found.value.mid <= found.value.high
    assert found.value.low <= found.exact.low
    assert found.value.high >= found.exact.high
    if found.basis != "replacement_new":
        for edge in ("low", "mid", "high"):
            assert getattr(found.exact, edge) >= getattr(found.salvage, edge) - SLACK
    for station in found.stations:
        for component in station.components:
            assert 0.0 <= component.depreciation.low <= component.depreciation.mid <= component.depreciation.high <= 1.0
            assert 1.0 <= component.grade.low <= component.grade.mid <= component.grade.high <= 5.0
            assert 0.0 <= component.remaining_years.low <= component.remaining_years.mid


@given(priced, st.data())
def test_worse_grade_of_a_check(case, data):
    graded = [n for n, grade in enumerate(case.grades) if grade.check and grade.grade < 5.0]
    assume(graded)
    n = data.draw(st.sampled_from(graded))
    worse = data.draw(st.sampled_from([half / 2 for half in range(2, 11) if half / 2 > case.grades[n].grade]))
    grades = (*case.grades[:n], replace(case.grades[n], grade=worse), *case.grades[n + 1 :])
    assert_never_more(case, replace(case, grades=grades))


@given(priced, st.data())
def test_worse_overruled_grade(case, data):
    component = data.draw(st.sampled_from([key for key, row in TABLES.components.items()]))
    assume(case.identity.kind in TABLES.components[component].kinds)
    low, high = sorted(data.draw(st.lists(st.integers(2, 10), min_size=2, max_size=2, unique=True)))
    others = tuple(grade for grade in case.grades if grade.component != component)
    better, worse = (
        replace(case, grades=(*others, Grade(half / 2, component=component, reason="seen"))) for half in (low, high)
    )
    assert_never_more(better, worse)


@given(priced, st.integers(1, 60))
def test_older_instrument(case, years):
    assume(case.identity.made is not None)
    made = case.identity.made
    older = Span(
        date(made.earliest.year - years, made.earliest.month, min(made.earliest.day, 28)),
        date(made.latest.year - years, made.latest.month, min(made.latest.day, 28)),
    )
    assert_never_more(case, replace(case, identity=replace(case.identity, made=older)))


@given(priced, st.data())
def test_older_renewal(case, data):
    dated = [n for n, renewal in enumerate(case.renewals) if renewal.date is not None]
    assume(dated)
    n = data.draw(st.sampled_from(dated))
    span = case.renewals[n].date
    years = data.draw(st.integers(1, 40))
    older = Span(
        date(span.earliest.year - years, span.earliest.month, min(span.earliest.day, 28)),
        date(span.latest.year - years, span.latest.month, min(span.latest.day, 28)),
    )
    renewals = (*case.renewals[:n], replace(case.renewals[n], date=older), *case.renewals[n + 1 :])
    assert_never_more(case, replace(case, renewals=renewals))


@given(priced, st.integers(1, 300))
def test_dearer_work(case, more):
    rate = (case.costs.labour_rate or Decimal(0)) + more
    assert_never_more(case, replace(case, costs=replace(case.costs, labour_rate=rate)))


@given(priced, st.floats(1.0, 100.0))
def test_dearer_contingency(case, more):
    pct = (case.costs.contingency_pct or 0.0) + more
    before = replace(case, costs=replace(case.costs, contingency_pct=case.costs.contingency_pct or 0.0))
    assert_never_more(before, replace(case, costs=replace(case.costs, contingency_pct=pct)))


@settings(max_examples=20)
@given(priced)
def test_same_seed_same_answer(case):
    assert value_case(case, TABLES, draws=DRAWS, seed=7) == value_case(case, TABLES, draws=DRAWS, seed=7)


@settings(max_examples=20)
@given(cases(TABLES, priced=False))
def test_without_a_price_there_is_condition_but_no_money(case):
    case = replace(case, market=replace(case.market, replacement_cost_new=None))
    found = value_case(case, TABLES, draws=DRAWS)
    assert found.value is None
    assert found.work == ()
    assert 0.0 <= found.share_of_new.low <= found.share_of_new.mid <= found.share_of_new.high <= 1.0


def test_too_few_draws_are_refused(tables):
    with pytest.raises(ValueError, match="at least 64"):
        value_case(None, tables, draws=8)  # type: ignore[arg-type]


@pytest.mark.parametrize("years", [0, 1, 7])
def test_a_later_repair_never_makes_older(tables, years):
    # Wide intervals overlap: in each draw the steps must follow one another by their own dates.
    def aged(shift):
        first = Span(date(1950 - shift, 1, 1), date(1999 - shift, 12, 31))
        second = Span(date(1970, 1, 1), date(1985, 12, 31))
        case = Case(
            Identity(Kind.GRAND, made=Span(date(1900, 1, 1), date(1900, 12, 31))),
            Assignment(date(2026, 11, 20)),
            renewals=(
                Renewal(("hammers",), date=first),
                Renewal(("hammers",), date=second, extent=Extent.REPAIRED, gives_back_pct=50.0),
            ),
        )
        history = histories(case, tables, ["hammers"])["hammers"]
        source = Source(1, 512)
        return history.drawn({event.name: source.since(event) for event in history.every})

    assert (aged(years) <= aged(years + 3) + 1e-9).all()
