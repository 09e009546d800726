"""Propagation of distributions: the examples of JCGM 101, and sensitivity functions with known shares.

Sources:
    JCGM 101:2008, Evaluation of measurement data, Supplement 1 to the “Guide to the expression of uncertainty in
    measurement”, clause 9.2 (additive model). The figures for four normal and four rectangular inputs were read as
    carried in the test suite of another uncertainty calculator (sandialabs/suncal); those for one large input, and
    clause 9.3 (calibration of a mass standard, tables 5 to 7), are from memory.
    M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21, 1979: one draw in each stratum. From memory.
    T. Ishigami, T. Homma, 1990; A. Saltelli et al., Global Sensitivity Analysis: The Primer, 2008: first-order indices
    of the Ishigami function (a = 7, b = 0.1) and of Sobol's g function. From memory.
    JCGM 100:2008, clause 5.1: law of propagation of uncertainty. From memory.
    SciPy (`scipy.stats.norm`, `scipy.stats.lognorm`).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import lognorm, norm

from appraise.engine.draws import Z90, between, normal, order, rectangular, variance_shares
from appraise.engine.market import product, relative_sd
from appraise.model.result import Range

N = 16384
SEEDS = (1, 1900, 20261)
FOUR = ("first", "second", "third", "fourth")
ISHIGAMI = (0.3139, 0.4424, 0.0)
"""First-order indices at a = 7, b = 0.1 (Ishigami and Homma 1990; Saltelli et al. 2008)."""

SOBOL_G = ((0.0, 0.7165), (1.0, 0.1791), (4.5, 0.0237), (9.0, 0.0072), (99.0, 0.0001), (99.0, 0.0001))
"""(parameter a, first-order index) of Sobol's g function (Saltelli et al. 2008, which has eight inputs, the last four
alike; with two of those four the first four indices change by less than one unit of the fourth place)."""


def spread_over(seed, name, low, high):
    return low + (high - low) * rectangular(seed, name, N)


def unit_rectangles(seed):
    """Rectangular columns of mean 0 and standard deviation 1."""
    return [spread_over(seed, name, -math.sqrt(3), math.sqrt(3)) for name in FOUR]


def coverage(outcome):
    """Probabilistically symmetric 95 % interval."""
    return np.percentile(outcome, [2.5, 97.5])


@pytest.mark.parametrize("seed", SEEDS)
def test_four_normal_inputs_uncertainty(seed):
    # Clause 9.2.2: u(y) = 2.0.
    outcome = sum(normal(seed, name, N) for name in FOUR)
    assert outcome.mean() == pytest.approx(0.0, abs=1e-9)
    assert outcome.std() == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize("seed", SEEDS)
def test_four_normal_inputs_interval(seed):
    # Clause 9.2.2: [−3.92, 3.92].
    assert coverage(sum(normal(seed, name, N) for name in FOUR)) == pytest.approx([-3.92, 3.92], abs=0.1)


@pytest.mark.parametrize("seed", SEEDS)
def test_four_rectangular_inputs_uncertainty(seed):
    # Clause 9.2.3: u(y) = 2.0.
    assert sum(unit_rectangles(seed)).std() == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize("seed", SEEDS)
def test_four_rectangular_inputs_interval(seed):
    # Clause 9.2.3: [−3.88, 3.88], exactly ±3.8794; narrower than the ±3.92 of a normal outcome.
    assert coverage(sum(unit_rectangles(seed))) == pytest.approx([-3.88, 3.88], abs=0.1)


@pytest.mark.parametrize("seed", SEEDS)
def test_one_large_input_uncertainty(seed):
    # Clause 9.2.4: three of standard deviation 1, one of 10: u(y) = 10.1.
    first, second, third, fourth = unit_rectangles(seed)
    assert (first + second + third + 10 * fourth).std() == pytest.approx(10.1, abs=0.1)


@pytest.mark.parametrize("seed", SEEDS)
def test_one_large_input_interval(seed):
    # Clause 9.2.4: ±17.0 by propagation of distributions (exactly 17.016), where the normal law would say ±19.9.
    first, second, third, fourth = unit_rectangles(seed)
    low, high = coverage(first + second + third + 10 * fourth)
    assert (low, high) == pytest.approx((-17.0, 17.0), abs=0.2)
    assert high < 19.9 - 2.5


def mass_difference(seed):
    """Clause 9.3.1.3 and table 5: a weight against a reference in air [mg from nominal 100 g]."""
    reference = 100_000.0 + 0.050 * normal(seed, "reference", N)
    difference = 1.234 + 0.020 * normal(seed, "difference", N)
    air = spread_over(seed, "air", 1.10, 1.30)
    weight = spread_over(seed, "weight", 7000.0, 9000.0)
    standard = spread_over(seed, "standard", 7950.0, 8050.0)
    return (reference + difference) * (1 + (air - 1.2) * (1 / weight - 1 / standard)) - 100_000.0


@pytest.mark.parametrize("seed", SEEDS)
def test_mass_calibration_estimate_and_uncertainty(seed):
    # Table 7, Monte Carlo: 1.2341 mg, u = 0.0754 mg. First-order propagation gives 0.0539 and misses the product.
    outcome = mass_difference(seed)
    assert outcome.mean() == pytest.approx(1.2341, abs=0.003)
    assert outcome.std() == pytest.approx(0.0754, abs=0.0015)


@pytest.mark.parametrize("seed", SEEDS)
def test_mass_calibration_interval(seed):
    # Table 7, Monte Carlo, shortest 95 % interval: [1.0834, 1.3825] mg; the outcome is all but symmetric.
    assert coverage(mass_difference(seed)) == pytest.approx([1.0834, 1.3825], abs=0.006)


@pytest.mark.parametrize("n", [64, 1000, 4096])
def test_one_draw_in_each_stratum(n):
    # McKay, Beckman and Conover: each of the n equally likely strata is hit once.
    uniform = rectangular(5, "stratified", n)
    assert sorted(np.floor(uniform * n).astype(int)) == list(range(n))
    scores = norm.cdf(normal(5, "stratified", n))
    assert sorted(np.floor(scores * n).astype(int)) == list(range(n))


def test_columns_of_different_inputs_are_unrelated():
    first, second = normal(5, "one", N), normal(5, "other", N)
    assert abs(np.corrcoef(first, second)[0, 1]) < 4 / math.sqrt(N)


THREE = [
    pytest.param(15.0, 30.0, 60.0, id="symmetric"),
    pytest.param(0.6, 0.85, 1.05, id="longer-below"),
    pytest.param(18.0, 25.0, 40.0, id="longer-above"),
]


@pytest.mark.parametrize(("low", "typical", "high"), THREE)
def test_between_meets_its_quantiles(low, typical, high):
    # The quantiles of the score are SciPy's: −1.2816, 0, 1.2816.
    drawn = between(low, typical, high, norm.ppf([0.1, 0.5, 0.9]))
    assert drawn == pytest.approx([low, typical, high], rel=1e-12)


@pytest.mark.parametrize(("low", "typical", "high"), THREE)
def test_drawn_column_meets_its_quantiles(low, typical, high):
    drawn = between(low, typical, high, normal(3, "column", N))
    assert np.percentile(drawn, [10, 50, 90]) == pytest.approx([low, typical, high], rel=1e-3)
    assert drawn.min() > 0.0


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("which", [0, 1, 2], ids=["first", "second", "third"])
def test_ishigami_function(seed, which):
    x = [spread_over(seed, name, -math.pi, math.pi) for name in FOUR[:3]]
    outcome = np.sin(x[0]) + 7 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])
    shares = variance_shares(outcome, np.stack([order(seed, name, N) for name in FOUR[:3]]))
    assert shares[which] == pytest.approx(ISHIGAMI[which], abs=0.02)


@pytest.mark.parametrize("which", [pytest.param(i, id=f"a-{a}-{i}") for i, (a, _) in enumerate(SOBOL_G)])
def test_sobol_g_function(which):
    names = [f"g{i}" for i in range(len(SOBOL_G))]
    factors = [
        (np.abs(4 * rectangular(11, name, N) - 2) + a) / (1 + a) for name, (a, _) in zip(names, SOBOL_G, strict=True)
    ]
    shares = variance_shares(np.prod(factors, axis=0), np.stack([order(11, name, N) for name in names]))
    assert shares[which] == pytest.approx(SOBOL_G[which][1], abs=0.02)


@pytest.mark.parametrize(
    ("slopes", "shares"),
    [
        # Exact for a sum of independent inputs: the share of each is its squared slope over the sum of squares.
        pytest.param((1.0, 1.0, 1.0, 1.0), (0.25, 0.25, 0.25, 0.25), id="equal"),
        pytest.param((3.0, 4.0, 0.0, 0.0), (0.36, 0.64, 0.0, 0.0), id="three-four-five"),
        # The example of clause 9.2.4: the large input brings 100 / 103 of the variance.
        pytest.param((1.0, 1.0, 1.0, 10.0), (1 / 103, 1 / 103, 1 / 103, 100 / 103), id="one-large"),
    ],
)
def test_shares_of_a_sum(slopes, shares):
    outcome = sum(slope * normal(2, name, N) for slope, name in zip(slopes, FOUR, strict=True))
    found = variance_shares(outcome, np.stack([order(2, name, N) for name in FOUR]))
    assert found == pytest.approx(shares, abs=0.02)


@pytest.mark.parametrize("spreads", [(0.1,), (0.1, 0.2), (0.05, 0.3, 0.15)], ids=str)
def test_product_of_uncertain_factors(spreads):
    # Relative uncertainties of a product add in squares (JCGM 100, 5.1.6); exact for lognormal factors.
    factors = [tuple(lognorm(s, scale=2.0).ppf([0.1, 0.5, 0.9])) for s in spreads]
    whole = lognorm(math.hypot(*spreads), scale=2.0 ** len(spreads))
    found = product(factors)
    assert (found.low, found.mid, found.high) == pytest.approx(tuple(whole.ppf([0.1, 0.5, 0.9])), rel=1e-9)
    assert relative_sd(found) == pytest.approx(math.hypot(*spreads), rel=1e-9)


@pytest.mark.parametrize("sd", [0.02, 0.15, 0.4])
def test_relative_uncertainty_of_a_range(sd):
    low, mid, high = lognorm(sd, scale=100.0).ppf([0.1, 0.5, 0.9])
    assert relative_sd(Range(low, mid, high)) == pytest.approx(sd, rel=1e-9)
    assert math.log(high / mid) / Z90 == pytest.approx(sd, rel=1e-9)
