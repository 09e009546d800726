"""Intervals for a whole compass from a sample of notes, against general libraries and a count of every sample.

Sources:
    SciPy (`scipy.stats.t`, `scipy.stats.hypergeom`).
    statsmodels (`statsmodels.stats.proportion.proportion_confint`, `statsmodels.stats.weightstats.DescrStatsW`).
    W. G. Cochran, Sampling Techniques, 3rd edition, 1977, chapters 2 and 3: variances of a mean and of a proportion
    drawn without replacement, S²/n · (1 − n/N) and P(1 − P)/n · (N − n)/(N − 1); from memory, proved here by counting.
"""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import hypergeom
from scipy.stats import t as student
from statsmodels.stats.proportion import proportion_confint
from statsmodels.stats.weightstats import DescrStatsW

from appraise.engine.distributions import wilson_bounds
from appraise.engine.instruments.sampling import (
    describe,
    estimate_count,
    estimate_mean,
    estimate_share,
    mean_bounds,
    notes_out,
    share_bounds,
)

GRAMS = [55.0, 54.0, 52.0, 60.0, 51.0, 49.0, 62.0, 45.0]
ENDLESS = 10**9


@pytest.mark.parametrize("level", [0.8, 0.9, 0.95, 0.99])
@pytest.mark.parametrize("n", [2, 3, 5, 8])
def test_mean_of_a_finite_compass(level, n):
    values = GRAMS[:n]
    scale = np.std(values, ddof=1) / math.sqrt(n) * math.sqrt(1 - n / 88)
    found = estimate_mean(values, 88, level)
    known = student.interval(level, n - 1, loc=np.mean(values), scale=scale)
    assert (found.low, found.high) == pytest.approx(known, rel=1e-9)


@pytest.mark.parametrize("level", [0.9, 0.95])
def test_mean_of_an_endless_population(level):
    found = estimate_mean(GRAMS, ENDLESS, level)
    assert (found.low, found.high) == pytest.approx(DescrStatsW(GRAMS).tconfint_mean(alpha=1 - level), rel=1e-7)


@pytest.mark.parametrize("level", [0.9, 0.95])
@pytest.mark.parametrize(("hits", "n"), [(0, 8), (1, 8), (2, 8), (4, 8), (8, 8), (3, 30), (15, 20)])
def test_share_of_an_endless_population(hits, n, level):
    known = proportion_confint(hits, n, alpha=1 - level, method="wilson")
    assert share_bounds(hits / n, n, ENDLESS, level) == pytest.approx(known, abs=1e-7)


@pytest.mark.parametrize(("n", "population"), [(8, 88), (20, 88), (44, 88), (60, 230)])
def test_share_of_a_finite_compass_is_a_score_interval(n, population):
    # At each bound P, |p − P| = z · √(P(1 − P)/n · (N − n)/(N − 1)), the variance of the hypergeometric count.
    share, z = 0.25, 1.6448536269514722
    for bound in wilson_bounds(share, n * (population - 1) / (population - n), 0.9):
        # SciPy wants whole counts; its variance is a quadratic in them, so two whole counts give the one between.
        variance = bound * (1 - bound) / n * (population - n) / (population - 1)
        whole = population // 4
        known = hypergeom(population, whole, n).var() / n**2
        assert whole / population * (1 - whole / population) / n * (population - n) / (population - 1) == pytest.approx(
            known
        )
        assert abs(share - bound) == pytest.approx(z * math.sqrt(variance), rel=1e-9)


@pytest.mark.parametrize("out", [5, 20, 44])
def test_how_often_the_interval_holds_the_truth(out):
    # Of all samples of 16 of 88 notes, weighted as drawing gives them (hypergeometric), about nine in ten hold it.
    n, population = 16, 88
    chances = hypergeom(population, out, n).pmf(np.arange(n + 1))
    held = [
        low - 1e-9 <= out / population <= high + 1e-9
        for low, high in (share_bounds(hits / n, n, population, 0.9) for hits in range(n + 1))
    ]
    assert 0.83 <= float(chances[held].sum()) <= 0.99


def test_variance_of_a_mean_by_every_sample():
    values = [3.0, 5.0, 4.0, 9.0, 7.0, 1.0, 2.0]
    for n in (2, 3, 5):
        means = [np.mean(sample) for sample in combinations(values, n)]
        known = np.var(values, ddof=1) / n * (1 - n / len(values))
        assert np.var(means) == pytest.approx(known)


def test_every_note_measured():
    values = [50.0] * 44 + [54.0] * 44
    found = estimate_mean(values, 88, 0.9, [(45.0, 58.0)])
    assert (found.low, found.value, found.high, found.inside, found.more) == (52, 52, 52, True, 0)
    assert share_bounds(0.25, 88, 88, 0.9) == (0.25, 0.25)


def test_one_note_tells_nothing_of_the_others():
    found = estimate_mean([50.0], 88, 0.9, [(45.0, 58.0)])
    assert (found.low, found.high, found.inside) == (-math.inf, math.inf, None)
    assert 1 <= found.more <= 87


@pytest.mark.parametrize(("hits", "n", "allowed"), [(0, 8, 0.1), (2, 8, 0.1), (1, 12, 0.1), (4, 8, 0.33), (0, 5, 0.0)])
def test_so_many_more_settle_it_and_one_fewer_does_not(hits, n, allowed):
    found = estimate_count(hits, n, 88, 0.9, allowed)
    assert 0 <= found.more <= 88 - n
    sizes = {size: share_bounds(hits / n, size, 88, 0.9) for size in (n + found.more - 1, n + found.more)}
    low, high = sizes[n + found.more]
    assert high <= allowed + 1e-9 or low > allowed
    low, high = sizes[n + found.more - 1]
    if found.more:
        assert low <= allowed + 1e-9 < high


def test_a_mean_on_its_way_to_be_settled():
    found = estimate_mean([52.0, 66.0, 58.0], 88, 0.9, [(38.0, 65.0)])
    assert found.inside is None
    spread = describe([52.0, 66.0, 58.0])
    low, high = mean_bounds(spread.mean, spread.sd, 3 + found.more, 88, 0.9)
    assert low >= 38
    assert high <= 65
    assert mean_bounds(spread.mean, spread.sd, 2 + found.more, 88, 0.9)[1] > 65


@given(st.lists(st.floats(10, 200), min_size=1, max_size=30), st.randoms())
def test_order_does_not_matter(values, random):
    mixed = list(values)
    random.shuffle(mixed)
    assert describe(mixed) == describe(values)
    limits = [(45.0, 58.0)]
    assert estimate_mean(mixed, 88, 0.9, limits) == estimate_mean(values, 88, 0.9, limits)
    assert estimate_share(mixed, 88, 0.9, limits, 0.1) == estimate_share(values, 88, 0.9, limits, 0.1)


@given(st.integers(1, 88), st.data())
def test_bounds_hold_what_was_found_and_stay_possible(n, data):
    hits = data.draw(st.integers(0, n))
    low, high = share_bounds(hits / n, n, 88, 0.9)
    assert 0 <= low <= hits / n + 1e-12
    assert hits / n - 1e-12 <= high <= 1
    few, many = notes_out(low, high, 88)
    assert hits <= few <= many + 1
    assert many <= 88 - (n - hits)


@pytest.mark.parametrize(("hits", "n", "population"), [(0, 0, 88), (9, 8, 88), (1, 89, 88), (-1, 8, 88)])
def test_counts_that_make_no_sense(hits, n, population):
    with pytest.raises(ValueError, match="expected"):
        estimate_count(hits, n, population, 0.9, 0.1)
