"""Intervals of means and shares against SciPy, printed tables and published examples.

Sources:
    SciPy (`scipy.stats.t`, `scipy.stats.norm`, `scipy.stats.binomtest`, `scipy.special.betainc`).
    Percentage points of Student's t and of the normal distribution: standard tables (for instance D. B. Owen, Handbook
    of Statistical Tables, 1962), from memory.
    Student, “The probable error of a mean”, Biometrika 6, 1908: the additional hours of sleep of ten patients; data
    and interval from memory, as the statistics package R prints them for its data set `sleep`.
    R. G. Newcombe, “Two-sided confidence intervals for the single proportion”, Statistics in Medicine 17, 1998,
    table I, score method without correction: from memory.
    W. G. Cochran, Sampling Techniques, chapter 2: finite population correction √(1 − n/N), from memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import betainc
from scipy.stats import binomtest, norm
from scipy.stats import t as student

from appraise.engine.distributions import (
    mean_interval,
    normal_quantile,
    regularised_beta,
    share_interval,
    student_quantile,
)
from appraise.engine.draws import Z90
from appraise.engine.grade import Z95, judge
from appraise.tables.rows import Statistic

T_TABLE = [
    # (probability, degrees of freedom, printed); standard table, from memory.
    (0.90, 1, 3.078),
    (0.90, 5, 1.476),
    (0.90, 30, 1.310),
    (0.95, 1, 6.314),
    (0.95, 2, 2.920),
    (0.95, 5, 2.015),
    (0.95, 10, 1.812),
    (0.95, 20, 1.725),
    (0.95, 30, 1.697),
    (0.975, 1, 12.706),
    (0.975, 2, 4.303),
    (0.975, 4, 2.776),
    (0.975, 5, 2.571),
    (0.975, 9, 2.262),
    (0.975, 10, 2.228),
    (0.975, 30, 2.042),
    (0.975, 120, 1.980),
    (0.99, 10, 2.764),
    (0.995, 10, 3.169),
]

NORMAL_TABLE = [
    # (probability, printed); standard table, from memory.
    (0.90, 1.2816),
    (0.95, 1.6449),
    (0.975, 1.9600),
    (0.99, 2.3263),
    (0.995, 2.5758),
]

NEWCOMBE = [
    # (hits, looked at, lower, upper) at 95 %; Newcombe 1998, table I, method 3, from memory.
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0000, 0.1611),
    (1, 29, 0.0061, 0.1718),
]

SLEEP = [1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4]
"""Student 1908: second drug less first [hours of sleep], ten patients."""

READINGS = [
    pytest.param([7.4, 6.9, 8.1], id="three"),
    pytest.param([7.4, 6.9, 8.1, 5.2, 9.0, 7.7], id="six"),
    pytest.param([50.0, 52.0, 49.0, 55.0, 47.0, 51.0, 46.0, 58.0, 44.0, 53.0, 50.0, 49.0], id="twelve"),
]


@pytest.mark.parametrize(
    ("probability", "freedom", "printed"), [pytest.param(*row, id=f"t-{row[0]}-df-{row[1]}") for row in T_TABLE]
)
def test_student_table(probability, freedom, printed):
    assert student_quantile(probability, freedom) == pytest.approx(printed, abs=0.0005 + 1e-9)


@pytest.mark.parametrize("freedom", [1, 2, 3, 7, 25, 87, 500])
@pytest.mark.parametrize("probability", [0.6, 0.9, 0.95, 0.999])
def test_student_quantile(probability, freedom):
    assert student_quantile(probability, freedom) == pytest.approx(student.ppf(probability, freedom), rel=1e-8)


@pytest.mark.parametrize(("probability", "printed"), [pytest.param(*row, id=f"z-{row[0]}") for row in NORMAL_TABLE])
def test_normal_table(probability, printed):
    assert normal_quantile(probability) == pytest.approx(printed, abs=0.00005)


@pytest.mark.parametrize(
    ("ours", "probability"), [pytest.param(Z90, 0.90, id="ninety"), pytest.param(Z95, 0.95, id="ninety-five")]
)
def test_quantiles_written_into_the_engine(ours, probability):
    assert ours == pytest.approx(norm.ppf(probability), rel=1e-12)


@pytest.mark.parametrize("x", [0.0, 0.01, 0.3, 0.5, 0.9, 0.999, 1.0])
@pytest.mark.parametrize("shapes", [(0.5, 0.5), (1.0, 3.0), (4.0, 2.5), (43.5, 0.5), (30.0, 60.0)], ids=str)
def test_incomplete_beta(x, shapes):
    assert regularised_beta(x, *shapes) == pytest.approx(betainc(*shapes, x), rel=1e-10, abs=1e-14)


@pytest.mark.parametrize(
    ("hits", "looked_at", "low", "high"), [pytest.param(*row, id=f"{row[0]}-of-{row[1]}") for row in NEWCOMBE]
)
def test_score_interval_of_newcombe(hits, looked_at, low, high):
    assert share_interval(hits, looked_at, 0.95) == pytest.approx((low, high), abs=0.00005)


@pytest.mark.parametrize("level", [0.8, 0.9, 0.95])
@pytest.mark.parametrize(("hits", "looked_at"), [(0, 6), (1, 6), (3, 6), (6, 6), (2, 88), (44, 88), (1, 1)])
def test_score_interval(hits, looked_at, level):
    known = binomtest(hits, looked_at).proportion_ci(confidence_level=level, method="wilson")
    assert share_interval(hits, looked_at, level) == pytest.approx((known.low, known.high), abs=1e-12)


def test_mean_interval_of_the_sleep_data():
    # R, t.test(sleep), paired: mean 1.58, 95 % interval 0.7001142 to 2.4598858.
    assert mean_interval(SLEEP, 0.95) == pytest.approx((1.58, 0.7001142, 2.4598858), abs=5e-8)


@pytest.mark.parametrize("level", [0.8, 0.9, 0.95])
@pytest.mark.parametrize("values", READINGS)
def test_mean_interval(values, level):
    spread = np.std(values, ddof=1) / math.sqrt(len(values))
    known = student.interval(level, len(values) - 1, loc=np.mean(values), scale=spread)
    assert mean_interval(values, level) == pytest.approx((np.mean(values), *known), rel=1e-9)


@pytest.mark.parametrize("values", READINGS)
def test_a_sample_of_the_notes_is_corrected_for_those_left(tables, values):
    # Cochran: of N = 88 notes n were measured; the half width shrinks by √(1 − n/N).
    check = tables.checks["downweight_grand"]
    assert check.per_note
    assert check.statistic is Statistic.MEAN
    spread = np.std(values, ddof=1) / math.sqrt(len(values)) * math.sqrt(1 - len(values) / 88)
    known = student.interval(0.90, len(values) - 1, loc=np.mean(values), scale=spread)
    found = judge(check, values, 88, tables).result
    assert (found.value, found.value_low, found.value_high) == pytest.approx((np.mean(values), *known), rel=1e-9)


def test_every_note_measured_leaves_no_sampling_error(tables):
    # The same at n = N: nothing is left to chance.
    found = judge(tables.checks["downweight_grand"], [48.0, 52.0] * 44, 88, tables)
    assert found.result.value == pytest.approx(50.0)
    assert found.result.value_low is None
    assert found.sampling_sd == 0.0
