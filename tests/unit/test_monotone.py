"""The laws of the valuation over random cases: nothing that is worse, older or dearer is ever worth more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from appraise.engine.age import histories
from appraise.engine.sampler import Sampler
from appraise.engine.valuation import value_case
from appraise.model.case import Assignment, Case, Extent, Identity, Kind, Renewal
from appraise.model.span import Span
from appraise.tables.load import load_tables
from tests.helpers.cases import cases
from tests.helpers.depth import examples
from tests.laws.broken import like_sales, not_like, out_of_bounds, raised, valued
from tests.laws.worse import WORSE

TABLES = load_tables()
DRAWS = 96

priced = cases(TABLES, priced=True)


@given(priced)
def test_order_floor_and_cap(case):
    found = value_case(case, TABLES, draws=DRAWS)
    assert out_of_bounds(valued(case, DRAWS), case) == {}
    assert found.exact == valued(case, DRAWS).exact
    for station in found.stations:
        for component in station.components:
            assert 0.0 <= component.depreciation.low <= component.depreciation.mid <= component.depreciation.high <= 1.0
            assert 1.0 <= component.grade.low <= component.grade.mid <= component.grade.high <= 5.0
            assert 0.0 <= component.remaining_years.low <= component.remaining_years.mid


@pytest.mark.parametrize("law", WORSE)
@given(priced, st.data())
def test_nothing_worse_older_or_dearer_is_worth_more(law, case, data):
    pair = WORSE[law](data.draw, case)
    assume(pair is not None)
    better, worse = pair
    assert raised(valued(better, DRAWS), valued(worse, DRAWS)) == {}


@settings(max_examples=examples(20))
@given(priced, st.data())
def test_like_sales_give_a_like_value(case, data):
    found = like_sales(data.draw, case)
    assume(found is not None)
    assert not_like(*found, DRAWS) == {}


@settings(max_examples=examples(20))
@given(priced)
def test_same_seed_same_answer(case):
    assert value_case(case, TABLES, draws=DRAWS, seed=7) == value_case(case, TABLES, draws=DRAWS, seed=7)


@settings(max_examples=examples(20))
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
        source = Sampler(1, 512)
        return history.drawn({event.name: source.since(event) for event in history.every})

    assert (aged(years) <= aged(years + 3) + 1e-9).all()
