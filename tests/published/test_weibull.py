"""Service lives against SciPy and against printed values of the gamma function.

Sources:
    SciPy (`scipy.stats.weibull_min`, `scipy.special.gammaincc`, `scipy.integrate.quad`, `scipy.optimize.brentq`), an
    independent implementation; its documentation gives the parametrisation used.
    The closed form of the mean residual life, e(a) = (η/k)·e^z·Γ(1/k, z), z = (a/η)^k: standard, from memory.
    M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions, table 6.1 (gamma function): from memory.
    Competing risks with exponential lives, a chance of λ_i / Σλ: textbook result, from memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import gamma, gammaincc
from scipy.stats import weibull_min

from appraise.engine.life import (
    Weibull,
    chance_of_being_first,
    consumed_share,
    first_to_fail,
    life_share,
    mean_residual,
    remaining,
    remaining_range,
    weibull,
)

SHAPES = (1.0, 1.5, 2.0, 3.0, 4.5, 6.0)
AGES = (0.0, 0.3, 0.7, 1.0, 1.6)
"""Age over scale [–]."""

ABRAMOWITZ_STEGUN = [
    # Γ(1 + 1/k), table 6.1, six places: the mean life over the scale.
    pytest.param(1.0, 1.0, id="gamma-2"),
    pytest.param(1.25, 0.931384, id="gamma-1.8"),
    pytest.param(2.0, 0.886227, id="gamma-1.5"),
    pytest.param(2.5, 0.887264, id="gamma-1.4"),
    pytest.param(4.0, 0.906403, id="gamma-1.25"),
    pytest.param(5.0, 0.918169, id="gamma-1.2"),
]


def closed_form(shape, t):
    z = t**shape
    return math.exp(z) * gamma(1 / shape) * gammaincc(1 / shape, z) / shape


def survival(lives, ages):
    """Return the joint survival of several parts, given that all have reached their age."""
    known = [(weibull_min(life.shape, scale=life.scale), age) for life, age in zip(lives, ages, strict=True)]
    return lambda t: math.prod(one.sf(age + t) / one.sf(age) for one, age in known)


@pytest.mark.parametrize("age", AGES)
@pytest.mark.parametrize("shape", SHAPES)
def test_mean_residual_life(shape, age):
    assert float(mean_residual(shape, np.array([age]))[0]) == pytest.approx(closed_form(shape, age), rel=1e-9)


@pytest.mark.parametrize(("shape", "printed"), ABRAMOWITZ_STEGUN)
def test_mean_life_of_a_new_part(shape, printed):
    assert float(mean_residual(shape, np.array([0.0]))[0]) == pytest.approx(printed, abs=1e-6)


@pytest.mark.parametrize("age", [0.0, 0.5, 2.0, 5.0])
def test_exponential_lives_have_no_memory(age):
    # k = 1: the mean remaining life is the scale at every age, and so is every quantile of it.
    assert float(mean_residual(1.0, np.array([age]))[0]) == pytest.approx(1.0, rel=1e-9)
    assert remaining(Weibull(1.0, 30.0), 30.0 * age, 0.5) == pytest.approx(30.0 * math.log(2.0), rel=1e-9)


@pytest.mark.parametrize("probability", [0.1, 0.5, 0.9])
@pytest.mark.parametrize("age", [0.0, 12.0, 40.0, 75.0])
@pytest.mark.parametrize("shape", [1.0, 2.0, 3.5, 6.0])
def test_remaining_life_quantile(shape, age, probability):
    known = weibull_min(shape, scale=45.0)
    expected = known.isf((1 - probability) * known.sf(age)) - age
    assert remaining(Weibull(shape, 45.0), age, probability) == pytest.approx(expected, rel=1e-7, abs=1e-7)


@pytest.mark.parametrize("age", [0.0, 25.0, 70.0])
def test_remaining_life_range_of_a_table_row(tables, age):
    row = tables.life("hammers")
    life = weibull(row.low, row.typical, row.high)
    known = weibull_min(life.shape, scale=life.scale)
    found = remaining_range(life, age)
    for probability, years in ((0.1, found.low), (0.5, found.mid), (0.9, found.high)):
        assert known.sf(age + years) / known.sf(age) == pytest.approx(1 - probability, rel=1e-7)


@pytest.mark.parametrize(
    "years",
    [
        pytest.param((15.0, 30.0, 60.0), id="wide"),
        pytest.param((30.0, 50.0, 80.0), id="middling"),
        pytest.param((70.0, 130.0, 220.0), id="long"),
        pytest.param((9.0, 10.0, 11.0), id="narrow"),
    ],
)
def test_fit_meets_the_median_and_the_ratio(years):
    low, typical, high = years
    life = weibull(low, typical, high)
    known = weibull_min(life.shape, scale=life.scale)
    assert known.median() == pytest.approx(typical, rel=1e-12)
    assert known.ppf(0.9) / known.ppf(0.1) == pytest.approx(high / low, rel=1e-12)
    for probability in (0.1, 0.5, 0.9):
        assert life.quantile(probability) == pytest.approx(known.ppf(probability), rel=1e-12)
    assert life.survival(typical) == pytest.approx(known.sf(typical), rel=1e-12)


def test_the_fit_lies_as_near_to_the_outer_figures_as_the_table_says(tables):
    for row in tables.lives.values():
        for low, typical, high in (
            (row.low, row.typical, row.high),
            (row.heavy_low, row.heavy_typical, row.heavy_high),
        ):
            life = weibull(low, typical, high)
            fitted = weibull_min(life.shape, scale=life.scale)
            assert fitted.ppf(0.1) == pytest.approx(low, rel=0.26), row.key
            assert fitted.ppf(0.9) == pytest.approx(high, rel=0.26), row.key


@pytest.mark.parametrize("count", [1, 2, 5, 12])
@pytest.mark.parametrize("shape", [1.0, 2.5, 4.0])
def test_weakest_of_several_like_parts(shape, count):
    # The least of n independent Weibull lives is Weibull again, its scale η / n^(1/k).
    found = first_to_fail([Weibull(shape, 50.0)] * count, [0.0] * count)
    known = weibull_min(shape, scale=50.0 / count ** (1 / shape))
    assert (found.low, found.mid, found.high) == pytest.approx(tuple(known.ppf([0.1, 0.5, 0.9])), rel=1e-6)


@pytest.mark.parametrize(
    "ages",
    [
        pytest.param((0.0, 0.0), id="new"),
        pytest.param((20.0, 50.0), id="aged"),
        pytest.param((90.0, 5.0), id="old"),
    ],
)
def test_first_of_two_different_parts(ages):
    lives = [Weibull(2.5, 40.0), Weibull(4.0, 60.0)]
    alive = survival(lives, ages)
    found = first_to_fail(lives, ages)
    for probability, years in ((0.1, found.low), (0.5, found.mid), (0.9, found.high)):
        expected = brentq(lambda t, p=probability: alive(t) - (1 - p), 0.0, 200.0, xtol=1e-12)
        assert years == pytest.approx(expected, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("count", [2, 3, 7])
def test_like_parts_are_equally_likely_to_be_first(count):
    chances = chance_of_being_first([Weibull(3.0, 40.0)] * count, [25.0] * count)
    assert chances == pytest.approx([1 / count] * count, rel=1e-9)


@pytest.mark.parametrize(
    ("means", "expected"),
    [
        # λ_i / Σλ with λ = 1 / mean.
        pytest.param((10.0, 30.0), (0.75, 0.25), id="two"),
        pytest.param((10.0, 20.0, 20.0), (0.5, 0.25, 0.25), id="three"),
    ],
)
def test_exponential_risks_share_by_their_rates(means, expected):
    chances = chance_of_being_first([Weibull(1.0, mean) for mean in means], [0.0] * len(means))
    assert chances == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    "ages",
    [
        pytest.param((0.0, 0.0), id="new"),
        pytest.param((20.0, 50.0), id="aged"),
        pytest.param((80.0, 10.0), id="old"),
    ],
)
def test_chance_of_being_first(ages):
    lives = [Weibull(2.5, 40.0), Weibull(4.0, 60.0)]
    alive = survival(lives, ages)
    first = weibull_min(2.5, scale=40.0)
    expected, _ = quad(lambda t: first.pdf(ages[0] + t) / first.sf(ages[0] + t) * alive(t), 0.0, 120.0, limit=200)
    chances = chance_of_being_first(lives, ages)
    assert chances[0] == pytest.approx(expected, abs=5e-5)
    assert sum(chances) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("age", [0.21, 0.537, 1.019, 1.63])
@pytest.mark.parametrize("shape", SHAPES)
def test_consumed_share_of_probable_life(shape, age):
    # x = a / (a + e(a)), at ages between the points of the engine's grid; its error is promised below 1e-4.
    expected = age / (age + closed_form(shape, age))
    assert float(consumed_share(Weibull(shape, 40.0), 40.0 * age)) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("age", [6.4, 9.7, 15.3, 41.0])
@pytest.mark.parametrize("shape", SHAPES)
def test_consumed_share_of_a_part_far_past_its_life(shape, age):
    # Regulation of a neglected instrument, or heavy use in a bad climate: the age is many times the life.
    reach = (age**shape + 40.0) ** (1.0 / shape) - age
    left, _ = quad(lambda more: math.exp(-(age**shape) * math.expm1(shape * math.log1p(more / age))), 0.0, reach)
    expected = age / (age + left)
    assert float(consumed_share(Weibull(shape, 40.0), 40.0 * age)) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("shape", SHAPES)
def test_consumed_share_never_falls_with_age(shape):
    shares = consumed_share(Weibull(shape, 40.0), np.linspace(0.0, 300.0, 1501))
    assert shares[0] == 0.0
    assert (np.diff(shares) >= 0.0).all()
    assert shares[-1] <= 1.0


@pytest.mark.parametrize(("grade", "share"), [(1.0, 1.0), (3.0, 1.0), (3.5, 0.5), (3.75, 0.25), (4.0, 0.0), (5.0, 0.0)])
def test_what_is_due_has_no_life_left(grade, share):
    # Common practice, no source: a cracked plate lasts no longer because plates do. The straight line is ours.
    life = Weibull(3.0, 40.0)
    whole = remaining_range(life, 25.0)
    left = remaining_range(life, 25.0, life_share(grade, 4.0, 1.0))
    assert (left.low, left.mid, left.high) == pytest.approx((share * whole.low, share * whole.mid, share * whole.high))


def test_what_is_spent_comes_first():
    lives, ages = [Weibull(3.0, 40.0), Weibull(3.0, 200.0)], [20.0, 60.0]
    assert first_to_fail(lives, ages, [1.0, 0.0]).high < 1.0
    assert chance_of_being_first(lives, ages, [1.0, 0.0])[1] > 0.99
    assert first_to_fail(lives, ages, [1.0, 1.0]) == first_to_fail(lives, ages)
