"""What a market takes off beside wear, what it pays for having work done, and how both are read from sales.

Sources:
    The cost approach by breakdown: replacement cost new, less physical deterioration, less functional, less external
    obsolescence, each of what the one before left. The Appraisal of Real Estate (Appraisal Institute); IVS "Valuation
    Approaches". The method from memory, the figures worked by hand here.
    Market extraction: price of a sale over its cost new is what all depreciation together left; over what wear alone
    left it is the market's factor. The same books, from memory; worked by hand.
    Entrepreneurial incentive: what whoever has work done wants on top of its cost, a share of that cost. The same
    books, from memory; worked by hand.
    Physical deterioration is the age-life example of georgiaappraiser.com, 15 of 60 years, a quarter. Read in a copy.
The tables are laid flat so that the example can be followed: one life, a straight line, no gates, no looks, a market
that knows no age, and no chance.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.engine.comparison import prepared
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, evaluate_plan
from appraise.engine.valuation import value_case
from appraise.model.case import Assignment, Case, Comparable, Costs, Grade, Identity, Kind, Market
from appraise.model.span import Span

DAY = date(2026, 11, 20)
LIFE = 60.0
NEW = 100_000


def flat(tables, base=1.0):
    """Return the tables laid flat, the market's base factor as given."""
    lives = {key: replace(row, low=LIFE * 0.9, typical=LIFE, high=LIFE * 1.1) for key, row in tables.lives.items()}
    factors = {
        key: replace(row, by_age=(), low=value, typical=value, high=value)
        for key, row in tables.market_factors.items()
        for value in [base if row.factor == "base" else 1.0]
    }
    parts = {key: replace(row, gate=(), appearance=()) for key, row in tables.components.items()}
    held = dict.fromkeys(("life_sd", "replacement_cost_sd"), 0.0)
    settings = {**tables.settings, **{key: replace(tables.settings[key], value=value) for key, value in held.items()}}
    return replace(tables, components=parts, lives=lives, market_factors=factors, settings=settings)


def made(years):
    day = date(DAY.year - years, DAY.month, DAY.day)
    return Span(day, day)


def instrument(tables, years, sales=(), **identity):
    keys = [row.key for row in tables.components.values() if Kind.GRAND in row.kinds and not row.hazard]
    return Case(
        Identity(Kind.GRAND, made=made(years), **identity),
        Assignment(DAY, basis="retail", law="straight_line"),
        grades=tuple(Grade(2.0, component=key, reason="alike") for key in keys),
        market=Market(
            replacement_cost_new=Decimal(NEW),
            replacement_cost_low=Decimal(NEW),
            replacement_cost_high=Decimal(NEW),
            comparables=tuple(sales),
        ),
        costs=Costs(),
    )


@pytest.mark.parametrize(
    ("functional", "external", "value"),
    [
        # 100,000 less a quarter 75,000; less 10 % of that 67,500; less 20 % of that 54,000.
        pytest.param(0.10, 0.20, 54_000, id="both"),
        pytest.param(0.0, 0.20, 60_000, id="external-alone"),
        pytest.param(0.10, 0.0, 67_500, id="functional-alone"),
        pytest.param(0.0, 0.0, 75_000, id="wear-alone"),
    ],
)
def test_breakdown_of_depreciation(tables, functional, external, value):
    # External: the market's base factor. Functional: a design that buyers mark down.
    ours = flat(tables, base=1.0 - external)
    marked = replace(
        ours.market_factors["straight_strung"], **dict.fromkeys(("low", "typical", "high"), 1.0 - functional)
    )
    ours = replace(ours, market_factors={**ours.market_factors, "straight_strung": marked})
    found = value_case(instrument(ours, 15, straight_strung=True), ours, draws=64)
    assert found.exact.mid == pytest.approx(value, rel=1e-3)


@pytest.mark.parametrize(
    ("years", "price", "factor"),
    [
        # 45,000 for one that wear left 75,000 of: the market pays 0.6 of it.
        pytest.param(15, 45_000, 0.60, id="quarter-worn"),
        # 20,000 for one that wear left 50,000 of: 0.4.
        pytest.param(30, 20_000, 0.40, id="half-worn"),
        # 67,500 for one that wear left 90,000 of: 0.75.
        pytest.param(6, 67_500, 0.75, id="tenth-worn"),
    ],
)
def test_the_market_factor_is_extracted_from_sales(tables, years, price, factor):
    ours = flat(tables)
    sales = [Comparable(f"sale {n}", Decimal(price), DAY, "retail", made(years), 2.0) for n in range(3)]
    source = Sampler(1900, 64)
    setup = prepared(instrument(ours, 20, sales), ours, source)
    assert setup.evidence.ratio == pytest.approx(factor, rel=2e-3)
    assert setup.factor_from == "comparables"
    assert setup.factor.mid == pytest.approx(factor, rel=2e-3)
    # Of the subject, 20 of 60 years, wear left two thirds.
    found = value_case(instrument(ours, 20, sales), ours)
    assert found.exact.mid == pytest.approx(NEW * 40 / 60 * factor, rel=0.01)


def test_extraction_takes_the_middle_of_sales_that_differ(tables):
    # Three sales at 0.5, 0.6 and 0.75 of what wear left: the median, 0.6.
    ours = flat(tables)
    sales = [
        Comparable(f"sale {n}", Decimal(price), DAY, "retail", made(15), 2.0)
        for n, price in enumerate((37_500, 45_000, 56_250))
    ]
    setup = prepared(instrument(ours, 20, sales), ours, Sampler(1900, 64))
    assert setup.factor.mid == pytest.approx(0.60, rel=2e-3)


@pytest.mark.parametrize(
    ("cost", "incentive", "asked"), [(8_000, 0.15, 9_200), (20_000, 0.10, 22_000), (500, 0.25, 625)]
)
def test_a_buyer_takes_off_the_work_and_an_incentive(tables, cost, incentive, asked):
    # 8,000 of work and 15 % for the trouble and the risk: 9,200.
    keys = ("incentive_low", "incentive_typical", "incentive_high")
    changed = {key: replace(tables.settings[key], value=incentive) for key in keys}
    ours = replace(tables, settings={**tables.settings, **changed})
    job = "restring_grand"
    case = replace(instrument(ours, 40), costs=Costs(labour_rate=Decimal(60)))
    case = replace(case, grades=tuple(replace(each, grade=4.0) for each in case.grades))
    plain, dealer = case, replace(case, assignment=replace(case.assignment, basis="trade_in"))
    for each, share in ((plain, 1.0 + incentive), (dealer, 1.0)):
        setup = prepared(each, ours, Sampler.centre())
        world = draw_world(setup, Sampler.centre())
        # The job at the cost of the example: the rate follows.
        course = evaluate_plan(setup, world, frozenset({job}))
        rate = Decimal(60) * Decimal(cost) / Decimal(float(course.cost[0]))
        priced = replace(each, costs=Costs(labour_rate=rate, carriage=Decimal(0)))
        setup = prepared(priced, ours, Sampler.centre())
        course = evaluate_plan(setup, draw_world(setup, Sampler.centre()), frozenset({job}))
        taken = setup.taking.kept * course.resale[0] - setup.taking.flat - course.value[0]
        assert float(course.cost[0]) == pytest.approx(cost)
        # A dealer's margin already pays for the trouble.
        assert taken == pytest.approx(cost * share)
        if share > 1.0:
            assert taken == pytest.approx(asked)
