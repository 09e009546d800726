"""What can be paid for a thing that is to be put right and resold.

Sources:
    A rebuilder's rule, common practice, no source: wholesale = (price when rebuilt − rebuild cost) / 2; 20,000 when
    rebuilt and 10,000 of work leave 5,000. The half is of what is left after the work, not of the resale: as a margin
    on resale it is a quarter here.
    The "70 % rule" of buyers of houses to be repaired: pay at most 70 % of the value after repair, less the repairs;
    150,000 and 25,000 leave 80,000. Common practice, widely printed; from memory.
    The residual method as it is laid out for land: value when developed, less costs, less finance and fees, less a
    profit that is a share of the value when developed (RICS guidance "Valuation of development property", 2019; the
    layout from memory, the figures worked by hand here).
    Margin and mark-up, retail arithmetic: mark-up on cost = margin / (1 − margin); the usual table. From memory.
    SciPy's lognormal and normal quantiles, and NumPy's quantile by the inverted distribution function (Hyndman and Fan,
    "Sample quantiles in statistical packages", 1996, definition 1), for the offer kept at a stated probability.
    W. J. Conover, Practical Nonparametric Statistics: the order statistic as a limit that a share of the sample
    reaches. From memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from appraise.engine.plan import Prices, space
from appraise.engine.ranking import highest_offer, keeping
from tests.published.losses import best_course, prices

REBUILD = space({"rebuild": (("whole",), ())})


def can_pay(resale, work, margin, handling=0.0, as_it_stands=0.0):
    """What the residual leaves [money] of an instrument that is worth a share as it stands and all of it rebuilt."""
    ours = prices(resale, {"whole": (resale, 1.0 - as_it_stands)}, {("rebuild", "whole"): 0.0}, {"rebuild": work})
    salvage = np.array([-1e9])
    room = best_course(REBUILD, keeping(ours, margin), handling, salvage)
    return highest_offer(room, 0.8, 0.01)


@pytest.mark.parametrize(
    ("rebuilt", "cost", "wholesale"),
    [(20_000, 10_000, 5_000), (30_000, 12_000, 9_000), (45_000, 21_000, 12_000), (8_000, 6_000, 1_000)],
)
def test_half_of_what_the_work_leaves(rebuilt, cost, wholesale):
    # The first is the worked example; the others follow the same rule.
    margin = 0.5 * (rebuilt - cost) / rebuilt
    assert can_pay(rebuilt, cost, margin) == pytest.approx(wholesale, abs=0.011)


def test_a_half_of_the_resale_is_dearer_than_a_half_of_what_is_left():
    assert can_pay(20_000, 10_000, 0.5) == pytest.approx(0.0, abs=0.011)
    assert can_pay(20_000, 10_000, 0.25) == pytest.approx(5_000, abs=0.011)


def test_a_half_where_nothing_needs_doing():
    # (20,000 − 0) / 2: without work both halves are the same.
    assert can_pay(20_000, 10_000, 0.5, as_it_stands=1.0) == pytest.approx(10_000, abs=0.011)


@pytest.mark.parametrize(
    ("after_repair", "repairs", "most"),
    [(150_000, 25_000, 80_000), (200_000, 30_000, 110_000), (300_000, 50_000, 160_000)],
)
def test_the_seventy_per_cent_rule(after_repair, repairs, most):
    assert can_pay(after_repair, repairs, 0.3) == pytest.approx(most, abs=0.011)


def test_what_is_paid_before_the_resale_comes_off_in_full():
    assert can_pay(150_000, 25_000, 0.3, handling=4_000) == pytest.approx(76_000, abs=0.011)


@pytest.mark.parametrize(
    ("developed", "costs", "finance_and_fees", "profit", "left"),
    [
        # 2,500,000 − 1,400,000 − 110,000 − 20 % of 2,500,000 = 490,000
        (2_500_000, 1_400_000, 110_000, 0.20, 490_000),
        # 640,000 − 395,000 − 31,000 − 17.5 % of 640,000 = 102,000
        (640_000, 395_000, 31_000, 0.175, 102_000),
        # 90,000 − 71,000 − 9,000 − 15 % of 90,000 = −3,500: somebody would have to pay for its being taken
        (90_000, 71_000, 9_000, 0.15, -3_500),
    ],
)
def test_the_residual_as_it_is_laid_out_for_land(developed, costs, finance_and_fees, profit, left):
    assert can_pay(developed, costs, profit, handling=finance_and_fees) == pytest.approx(left, abs=0.011)


@given(
    st.integers(64, 300),
    st.integers(0, 10_000),
    st.floats(0.0, 0.6),
    st.floats(0.0, 2_000.0),
    st.floats(0.05, 0.95),
)
def test_the_offer_is_numpys_order_statistic_of_the_better_course(n, seed, margin, handling, probability):
    rng = np.random.default_rng(seed)
    resale, work = rng.lognormal(9.0, 0.4, n), rng.lognormal(8.0, 0.6, n)
    standing = rng.uniform(0.0, 1.0, n)
    lost, mended = {"whole": 1.0 - standing}, {("rebuild", "whole"): np.zeros(n)}
    ours = Prices(resale, {"whole": 1.0}, lost, mended, {"rebuild": work}, {}, {})
    room = best_course(REBUILD, keeping(ours, margin), handling, np.full(n, -500.0))
    # By hand, without any search: as it stands or rebuilt, the margin off both, or broken up.
    kept = (1.0 - margin) * resale
    by_hand = np.maximum(np.maximum(kept * standing, kept - work) - handling, -500.0)
    assert room == pytest.approx(by_hand, rel=1e-9, abs=1e-6)
    numpys = -np.quantile(-by_hand, probability, method="inverted_cdf")
    place = n * probability
    if abs(place - round(place)) > 1e-6:  # at a whole number either neighbour is right
        assert highest_offer(room, probability, 1e-6) == pytest.approx(numpys, rel=1e-9, abs=2e-6)


@pytest.mark.parametrize(
    ("margin_pct", "markup_pct"),
    [
        (10, 11.11),
        (15, 17.65),
        (20, 25.0),
        (25, 33.33),
        (30, 42.86),
        (33.33, 50.0),
        (40, 66.67),
        (50, 100.0),
        (60, 150.0),
    ],
)
def test_margin_on_resale_as_mark_up_on_what_was_paid(margin_pct, markup_pct):
    paid = can_pay(10_000, 10_000, margin_pct / 100.0, as_it_stands=1.0)
    assert 100.0 * (10_000 / paid - 1.0) == pytest.approx(markup_pct, abs=0.02)


@pytest.mark.parametrize("probability", [0.5, 0.6, 0.75, 0.8, 0.9, 0.95, 0.99])
@pytest.mark.parametrize(
    "resale", [stats.lognorm(0.3, scale=9_000), stats.norm(4_000, 2_500), stats.gamma(4, scale=1_500)], ids="LNG"
)
def test_the_offer_is_the_quantile_of_what_can_be_paid(resale, probability):
    n = 20_000
    room = np.random.default_rng(7).permutation(resale.ppf((np.arange(n) + 0.5) / n))
    assert highest_offer(room, probability, 0.01) == pytest.approx(resale.ppf(1 - probability), rel=2e-3, abs=1.0)


@pytest.mark.parametrize("n", [64, 97, 100, 2048])
@pytest.mark.parametrize("probability", [0.5625, 0.8, 0.905])
def test_between_two_draws_it_is_one_that_was_drawn(n, probability):
    room = np.random.default_rng(n).normal(5_000, 900, n)
    # Turned about, the greatest offer is the least figure that at least the stated share does not exceed.
    numpys = -np.quantile(-room, probability, method="inverted_cdf")
    assert highest_offer(room, probability, 1e-6) == pytest.approx(numpys, abs=2e-6)


def test_percentiles_added_are_not_the_percentile_of_the_sum():
    # Resale and work as independent normals: the sum spreads by the root of the squares, not by the sum.
    n = 40_000
    rng = np.random.default_rng(3)
    resale, work = rng.normal(20_000, 3_000, n), rng.normal(6_000, 4_000, n)
    joint = stats.norm(14_000, 5_000).ppf(0.2)
    added = stats.norm(20_000, 3_000).ppf(0.2) - stats.norm(6_000, 4_000).ppf(0.8)
    offer = highest_offer(resale - work, 0.8, 1.0)
    assert offer == pytest.approx(joint, rel=0.01)
    assert added < offer - 1_000
