"""Theil–Sen slope and its interval.

Sources: SciPy's `stats.theilslopes` (Sen 1968, method of Kendall's statistic) and `stats.mstats.sen_seasonal_slopes`
(Hirsch, Slack and Smith 1982); the variance of Kendall's statistic as handbooks of trend tests print it (from memory).
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from appraise.engine.instruments.pitch_log import MOST_PAIRS, kendall_variance, theil_sen
from tests.helpers.depth import examples

# Invented pitch logs: (years, cents).
LOGS = {
    "flat": ([0.0, 0.3, 0.6, 1.1, 1.4, 1.9, 2.2], [0.0, -1.5, -3.0, -4.0, -6.5, -9.0, -9.5]),
    "steady": ([0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5], [1.0, -0.5, 0.5, 1.5, -1.0, 0.0, 1.0, 0.5]),
    "wild reading": ([0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0], [0.0, -1.0, -2.0, 40.0, -4.0, -5.0, -6.0]),
    "ties in y": ([0.0, 1.0, 2.0, 3.0, 4.0, 5.0], [0.0, 0.0, -2.0, -2.0, -2.0, -4.0]),
    "ties in x": ([0.0, 0.0, 1.0, 1.0, 2.0, 2.0, 3.0], [0.0, 1.0, -2.0, -1.0, -5.0, -4.0, -6.0]),
    "three": ([0.0, 1.0, 2.5], [0.0, -3.0, -4.0]),
    "two": ([0.0, 2.0], [0.0, -5.0]),
}


@pytest.mark.parametrize("level", [0.8, 0.9, 0.95, 0.99])
@pytest.mark.parametrize("name", LOGS)
def test_slope_and_interval_against_scipy(name, level):
    x, y = (np.array(values) for values in LOGS[name])
    theirs = stats.theilslopes(y, x, level)
    ours = theil_sen(x, y, np.zeros(len(x), dtype=np.int64), level)
    assert (ours.value, ours.low, ours.high) == pytest.approx((theirs.slope, theirs.low_slope, theirs.high_slope))


@settings(max_examples=examples(60), deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 40).map(lambda n: n / 4), st.integers(-80, 40).map(lambda n: n / 2)),
        min_size=2,
        max_size=25,
    )
)
def test_any_log_against_scipy(pairs):
    x, y = (np.array(values, dtype=float) for values in zip(*pairs, strict=True))
    ours = theil_sen(x, y, np.zeros(len(x), dtype=np.int64))
    if len(set(x)) < 2:
        assert ours is None
    elif kendall_variance(x, y) > 0:
        theirs = stats.theilslopes(y, x, 0.95)
        assert (ours.value, ours.low, ours.high) == pytest.approx((theirs.slope, theirs.low_slope, theirs.high_slope))


def test_groups_against_the_seasonal_slope_of_scipy():
    rng = np.random.default_rng(3)
    table = rng.normal(size=(9, 4)) + np.arange(9.0)[:, None] * -0.7 + np.array([0.0, 50.0, -30.0, 7.0])
    theirs = stats.mstats.sen_seasonal_slopes(table)
    rows, groups = np.meshgrid(np.arange(9.0), np.arange(4), indexing="ij")
    ours = theil_sen(rows.ravel(), table.ravel(), groups.ravel().astype(np.int64))
    assert ours.value == pytest.approx(float(theirs.inter_slope))
    for group in range(4):
        alone = theil_sen(np.arange(9.0), table[:, group], np.zeros(9, dtype=np.int64))
        assert alone.value == pytest.approx(float(theirs.intra_slope[group]))


@pytest.mark.parametrize(
    ("n", "variance"),
    # n(n−1)(2n+5)/18 as tables of the trend test give it, from memory; worked for the others.
    [(4, 8.6667), (5, 16.6667), (8, 65.3333), (10, 125.0), (20, 950.0)],
)
def test_variance_of_kendalls_statistic(n, variance):
    assert kendall_variance(np.arange(n, dtype=float), np.arange(n, dtype=float)) == pytest.approx(variance, abs=1e-4)


def test_a_pair_of_ties_takes_one_off_the_variance():
    # t(t−1)(2t+5)/18 = 1 for one pair of equal readings.
    x = np.arange(10, dtype=float)
    y = np.array([0, 1, 2, 3, 4, 4, 6, 7, 8, 9], dtype=float)
    assert kendall_variance(x, y) == pytest.approx(124.0)


def test_many_readings_are_thinned_evenly():
    x = np.arange(MOST_PAIRS / 40, dtype=float)
    assert theil_sen(x, 2 * x + 1, np.zeros(len(x), dtype=np.int64)).value == pytest.approx(2.0)


@settings(max_examples=examples(40), deadline=None)
@given(st.lists(st.floats(-50, 50), min_size=3, max_size=15), st.floats(-5, 5), st.floats(0.1, 4))
def test_tilting_and_stretching_move_the_slope_alike(y, tilt, stretch):
    x, groups = np.arange(len(y), dtype=float), np.zeros(len(y), dtype=np.int64)
    one = theil_sen(x, np.array(y), groups)
    other = theil_sen(x, stretch * np.array(y) + tilt * x, groups)
    assert other.value == pytest.approx(stretch * one.value + tilt, abs=1e-6)
