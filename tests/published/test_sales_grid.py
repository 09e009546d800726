"""Sales comparison: a printed grid, paired sales, gross and net adjustment, weights.

Sources:
    Clarion University, notes on real-estate appraisal, chapter 9: four sales, three adjustments. The sales, the
    adjustments and the lines of the grid were read in a copy; the totals of 102,000 are their sum.
    georgiaappraiser.com, glossary: gross and net adjustment, guideline of 15 % net and 25 % gross. Read in a copy.
    Custom of United States mortgage lending, applied here by analogy.
    lorenzenrealtyadvisors: the order in which adjustments are applied. Read in a copy.
    commercialcomplete.com, help page: gross per cent from money effects over the unadjusted price. Read in a copy.
    Weights by inverse gross adjustment: the practice exists (support.narrpr.com, read); the formula w ∝ 1 / gross % and
    so the four weights are derived from the grid's own gross figures.

What is checked through what: the engine values a comparable by the model that values the subject, and moves from the
one to the other one feature at a time, where the printed grid adds money. Each printed sum of money is given as the
change of a feature that a test can set exactly: the kind of sale (a table row of its own, of which the comparable's
price is so much more or less) and the size (the comparable's stated replacement cost new). The subject is alike in
age, condition and time, which must add nothing, and no work is priced, so that the model's figure is proportional to
the price level. Read back from `comparison.grid_lines` are the steps in money, the adjusted price, gross and net per
cent, the flag and the weight; from `comparables.evidence` the level of the market, and from a whole valuation by
sales alone what it comes to. The search for the adjustments themselves (paired sales) has no function in the engine:
checked is that the printed ones turn any of the four sales into any other.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.engine.comparison import grid_lines, prepared
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, worth
from appraise.engine.valuation import value_case
from appraise.model.case import Assignment, Case, Comparable, Costs, Grade, Identity, Kind, Market
from appraise.model.span import Span
from appraise.tables.rows import Standing
from appraise.tables.rows_worth import Basis

DAY = date(2026, 11, 20)
MADE = Span(date(1996, 11, 20), date(1996, 11, 20))
NEW = 250_000.0
GRADE = 2.5
DRAWS = Sampler(1900, 64)

# Clarion chapter 9: price, baths, garages, square feet (three bedrooms each).
SALES = {
    "first": (98_000, 2, 1, 2000),
    "second": (108_000, 2, 2, 2200),
    "third": (101_000, 1, 1, 2200),
    "fourth": (93_000, 1, 1, 2000),
}
BATH, GARAGE, SQUARE_FOOT = 5_000, 2_000, 40
"""Paired sales, the same page: bath 5,000, garage 2,000, $40 a square foot."""

GRID = {
    # The lines printed: garage and bath together, then size [money].
    "first": (0, 4_000),
    "second": (-2_000, -4_000),
    "third": (5_000, -4_000),
    "fourth": (5_000, 4_000),
}
GROSS = {"first": 4.08, "second": 5.56, "third": 8.91, "fourth": 9.68}
"""Gross adjustment [%]: the printed lines over the printed prices."""
NET = {"first": 4.08, "second": -5.56, "third": 0.99, "fourth": 9.68}
WEIGHTS = {"first": 0.3825, "second": 0.2810, "third": 0.1752, "fourth": 0.1613}
"""1 / gross %, brought to a sum of 1."""


def graded(tables, sales, **settings):
    """Return the subject of some sales, and the tables with their kinds of sale.

    Args:
        tables: Ours.
        sales: Name → (price, money for the kind of sale, money for size).
        settings: Those to be changed.
    """
    bases, comparables = dict(tables.bases), []
    for name, (price, first, second) in sales.items():
        share = price / (price + first)
        bases[name] = Basis(
            table="bases",
            key=name,
            standing=Standing.OUR_ASSUMPTION,
            label=name,
            definition=name,
            method="market",
            low=share,
            typical=share,
            high=share,
        )
        so_far = price + first
        comparables.append(
            Comparable(
                label=name,
                price=Decimal(price),
                date=DAY,
                sale=name,
                made=MADE,
                grade=GRADE,
                replacement_cost_new=Decimal(NEW * so_far / (so_far + second)),
            )
        )
    changed = {key: replace(tables.settings[key], value=value) for key, value in settings.items()}
    ours = replace(tables, bases=bases, settings={**tables.settings, **changed})
    parts = [row.key for row in ours.components.values() if Kind.GRAND in row.kinds and not row.hazard]
    case = Case(
        Identity(Kind.GRAND, made=MADE),
        Assignment(DAY, basis="retail"),
        grades=tuple(Grade(GRADE, component=key, reason="like the sales") for key in parts),
        market=Market(
            replacement_cost_new=Decimal(NEW),
            comparables=tuple(comparables),
            weight_cost_pct=0.0,
            weight_reason="sales alone",
        ),
        costs=Costs(),
    )
    return case, ours


def lines(case, tables):
    """Return what the comparables of a case say together, and the grid line by line."""
    setup = prepared(case, tables, DRAWS)
    world = draw_world(setup, DRAWS)
    return setup.evidence, grid_lines(setup, world, worth(setup, world))


def line(tables, price, first, second, **settings):
    return lines(*graded(tables, {"sale": (price, first, second)}, **settings))[1][0]


@pytest.fixture(scope="module")
def clarion(tables):
    sales = {name: (SALES[name][0], *GRID[name]) for name in SALES}
    case, ours = graded(tables, sales, comparable_weight_floor=0.0)
    found, grid = lines(case, ours)
    return {one.label: one for one in grid}, found, value_case(case, ours)


@pytest.mark.parametrize("name", SALES)
def test_adjusted_price(clarion, name):
    # Every sale comes to 102,000.
    assert clarion[0][name].adjusted == pytest.approx(102_000, rel=1e-12)


@pytest.mark.parametrize("name", SALES)
def test_lines_of_the_grid(clarion, name):
    # The printed lines, and nothing for what is alike.
    steps = dict(clarion[0][name].steps)
    first, second = GRID[name]
    assert steps["kind_of_sale"] == pytest.approx(first, abs=1e-6)
    assert steps["size"] == pytest.approx(second, abs=1e-6)
    assert (steps["time"], steps["age_and_condition"]) == pytest.approx((0.0, 0.0), abs=1e-6)


@pytest.mark.parametrize("name", SALES)
def test_gross_adjustment(clarion, name):
    assert clarion[0][name].gross_pct == pytest.approx(GROSS[name], abs=0.005)


@pytest.mark.parametrize("name", SALES)
def test_net_adjustment(clarion, name):
    assert clarion[0][name].net_pct == pytest.approx(NET[name], abs=0.005)


@pytest.mark.parametrize("name", SALES)
def test_weight_by_inverse_gross_adjustment(clarion, name):
    assert clarion[0][name].weight == pytest.approx(WEIGHTS[name], abs=0.00005)


def test_the_sales_agree_on_one_price(clarion):
    # All four say the same of the market, and at the level that they say together the subject comes to 102,000 again.
    _, found, valued = clarion
    assert [sale.ratio for sale in found.sales] == pytest.approx([found.ratio] * 4, rel=1e-9)
    assert valued.exact.mid == pytest.approx(102_000, rel=0.005)


@pytest.mark.parametrize("other", SALES)
@pytest.mark.parametrize("name", SALES)
def test_paired_sales(tables, name, other):
    # With bath, garage and square foot at the printed sums, each sale turns into the price of each other.
    (price, baths, garages, size), (wanted, its_baths, its_garages, its_size) = SALES[name], SALES[other]
    rooms = BATH * (its_baths - baths) + GARAGE * (its_garages - garages)
    found = line(tables, price, rooms, SQUARE_FOOT * (its_size - size))
    assert found.adjusted == pytest.approx(wanted, rel=1e-12)


def test_gross_and_net_of_opposite_adjustments(tables):
    # georgiaappraiser.com: +3,000 and −3,000 make 6,000 gross and 0 net; on a price of 100,000, 6 % and 0 %.
    found = line(tables, 100_000, 3_000, -3_000)
    assert found.gross_pct == pytest.approx(6.0, abs=1e-9)
    assert found.net_pct == pytest.approx(0.0, abs=1e-9)


def test_sequence_of_adjustments(tables):
    # lorenzenrealtyadvisors: 100,000, +2,000 for the terms of sale, then +5,000 on that price: 107,000.
    found = line(tables, 100_000, 2_000, 5_000)
    assert found.adjusted == pytest.approx(107_000, rel=1e-12)
    assert dict(found.steps)["kind_of_sale"] == pytest.approx(2_000, abs=1e-6)
    assert dict(found.steps)["size"] == pytest.approx(5_000, abs=1e-6)


def test_market_and_sale_come_before_the_thing_itself(tables):
    # The same source: market conditions and terms of sale in sequence first, physical differences after.
    names = [name for name, _ in line(tables, 100_000, 0, 0).steps]
    assert set(names[:2]) == {"time", "kind_of_sale"}
    assert set(names[2:]) == {"size", "age_and_condition"}


def test_gross_percent_is_of_the_unadjusted_price(tables):
    # commercialcomplete.com: |first| + |second| over the price before anything is adjusted: (10,000 + 12,000) / 80,000.
    assert line(tables, 80_000, 10_000, 12_000).gross_pct == pytest.approx(27.5, abs=1e-9)


@pytest.mark.parametrize(
    ("first", "second", "flagged"),
    [
        # Guideline, georgiaappraiser.com: 25 % gross.
        pytest.param(10_000, 14_900, False, id="24.9pct"),
        pytest.param(10_000, 15_100, True, id="25.1pct"),
        pytest.param(13_000, -13_000, True, id="26pct-gross-though-0pct-net"),
        pytest.param(-12_000, -12_000, False, id="24pct-downward"),
    ],
)
def test_gross_guideline(tables, first, second, flagged):
    assert line(tables, 100_000, first, second).flagged is flagged


def test_gross_guideline_is_a_setting(tables):
    # The same guideline names 15 % (for net adjustment); whoever wants it sets it.
    assert line(tables, 100_000, 10_000, 6_000, gross_limit_pct=15.0).flagged
