"""The runs test against printed tables, worked examples, statsmodels and a count of every arrangement.

Sources:
    F. S. Swed and C. Eisenhart, “Tables for testing randomness of grouping in a sequence of alternatives”, Annals of
    Mathematical Statistics 14, 1943: critical values at 2.5 % in each tail, as reprinted in handbooks; from memory.
    NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.13 (runs test, data LEW.DAT): Z = 2.6938 for 200 values split
    at their median, from memory; its 120 runs follow from that Z.
    Encyclopaedia example of 22 elements, “+ + + + − − − + + + − − + + + + + + − − − −”: 6 runs, 3 of
    each kind; from memory.
    statsmodels, `statsmodels.sandbox.stats.runs.runstest_1samp` (normal approximation).
"""

from __future__ import annotations

from itertools import combinations, groupby

import numpy as np
import pytest
from statsmodels.sandbox.stats.runs import runstest_1samp

from appraise.engine.instruments.torque import few_runs_exact, longest, moments, runs_test

CRITICAL = [
    # (n1, n2, greatest number of runs that is too few, least that is too many), 2.5 % in each tail; from memory.
    (5, 5, 2, 10),
    (6, 6, 3, 11),
    (7, 7, 3, 13),
    (8, 8, 4, 14),
    (9, 9, 5, 15),
    (10, 10, 6, 16),
    (11, 11, 7, 17),
    (12, 12, 7, 19),
    (13, 13, 8, 20),
    (14, 14, 9, 21),
    (15, 15, 10, 22),
    (20, 20, 14, 28),
]


@pytest.mark.parametrize(("first", "second", "few", "many"), CRITICAL)
def test_critical_values(first, second, few, many):
    assert few_runs_exact(few, first, second) <= 0.025 < few_runs_exact(few + 1, first, second)
    assert 1 - few_runs_exact(many - 1, first, second) <= 0.025 < 1 - few_runs_exact(many - 2, first, second)


def test_handbook_of_statistical_methods():
    mean, sd = moments(100, 100)
    assert mean == 101
    assert (120 - mean) / sd == pytest.approx(2.6938, abs=5e-5)


def test_encyclopaedia_example():
    kinds = [mark == "+" for mark in "++++---+++--++++++----"]
    found = runs_test(kinds)
    assert (found.runs, found.n_true, found.n_false) == (6, 13, 9)
    assert found.expected == pytest.approx(2 * 13 * 9 / 22 + 1)


@pytest.mark.parametrize(("first", "second"), [(1, 1), (1, 5), (3, 4), (4, 4), (2, 9), (5, 6), (6, 6)])
def test_every_arrangement(first, second):
    n = first + second
    counts = []
    for places in combinations(range(n), first):
        kinds = [place in places for place in range(n)]
        counts.append(sum(1 for _ in groupby(kinds)))
    for runs in range(2, n + 1):
        share = sum(count <= runs for count in counts) / len(counts)
        assert few_runs_exact(runs, first, second) == pytest.approx(share, abs=1e-14)
    assert moments(first, second) == pytest.approx((np.mean(counts), np.std(counts)), abs=1e-12)


@pytest.mark.parametrize("seed", range(6))
def test_against_statsmodels(seed):
    kinds = np.random.default_rng(seed).random(60) < 0.3
    z, _ = runstest_1samp(kinds.astype(float), cutoff=0.5, correction=False)
    found = runs_test([bool(kind) for kind in kinds])
    assert (found.runs - found.expected) / found.sd == pytest.approx(z, rel=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_long_sequences_by_the_normal_approximation(seed):
    kinds = [bool(kind) for kind in np.random.default_rng(seed).random(240) < 0.4]
    found = runs_test(kinds)
    assert not found.exact
    assert found.chance == pytest.approx(few_runs_exact(found.runs, found.n_true, found.n_false), abs=5e-3)


def test_longest_line():
    assert longest([False, True, True, False, True, True, True]) == (4, 3)
    assert longest([False]) == (0, 0)
    with pytest.raises(ValueError, match="at least one"):
        runs_test([])
