"""Value of information by regression, against what normal theory has in closed form.

For y = Σ a_i x_i with independent x_i ~ N(m_i, σ_i²) and a look that shows x_i with independent noise τ_i, the mean of
y after the look has the variance a_i² σ_i⁴ / (σ_i² + τ_i²): the preposterior analysis of H. Raiffa, R. Schlaifer,
Applied Statistical Decision Theory, 1961 (from memory). For a decision between y and a sure figure, the expected value
of the look is s·(φ(u) − u·(1 − Φ(u))), s the standard deviation of that mean and u = |m − figure| / s: the unit normal
linear loss integral of the same book. The regression: M. Strong, J. E. Oakley, A. Brennan, 2014 (from memory).
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from statistics import NormalDist

import numpy as np
import pytest

from appraise.engine.draws import normal
from appraise.engine.information import Knowledge, Look, narrowing
from appraise.engine.regression import hermite, respond

N, SEED = 4096, 11
WEIGHTS = {"grade.first": (-3.0, 1.0, 0.5), "grade.second": (2.0, 0.5, 1.0), "general condition": (-1.5, 2.0, 2.0)}
"""a, σ, τ."""


def _figure():
    unknown = 0.7 * normal(SEED, "noise of everything else", N)
    return 10.0 + sum(a * sigma * normal(SEED, name, N) for name, (a, sigma, _) in WEIGHTS.items()) + unknown


@pytest.mark.parametrize("name", WEIGHTS)
def test_the_variance_that_a_look_settles_is_that_of_the_preposterior_mean(name):
    a, sigma, tau = WEIGHTS[name]
    response = respond(_figure(), SEED, WEIGHTS)
    share = sigma**2 / (sigma**2 + tau**2)
    powers = response.strength(name)
    settled = sum(float(value) * share ** (power + 1) for power, value in enumerate(powers))
    assert settled == pytest.approx(a**2 * sigma**4 / (sigma**2 + tau**2), rel=0.03)


@pytest.mark.parametrize("name", WEIGHTS)
@pytest.mark.parametrize("away", [0.0, 0.5, 2.0])
def test_the_value_of_a_look_to_a_decision_is_the_normal_loss_integral(name, away):
    a, sigma, tau = WEIGHTS[name]
    response = respond(_figure(), SEED, WEIGHTS)
    share = sigma**2 / (sigma**2 + tau**2)
    spread = abs(a) * sigma * sqrt(share)
    figure = response.mean + away * spread
    outcomes = normal(SEED, "outcomes", 4001)
    saved = np.maximum(response.expected({name: share}, outcomes) - figure, 0.0).mean() - max(
        0.0, response.mean - figure
    )
    unit = NormalDist()
    loss = spread * (unit.pdf(away) - away * (1.0 - unit.cdf(away)))
    assert saved == pytest.approx(loss, abs=0.02 * spread)


def test_a_square_is_settled_by_the_square_of_the_share():
    """Mehler's formula: of He_2 a look with correlation √φ settles φ² (M. Abramowitz, I. A. Stegun, from memory)."""
    scores = normal(SEED, "grade.first", N)
    figure = hermite(scores, 2)[1] * 4.0
    response = respond(figure, SEED, ["grade.first"])
    assert response.strength("grade.first") == pytest.approx([0.0, 16.0], abs=0.2)
    share = 0.36
    noise = np.random.default_rng(5).standard_normal(400_000)
    truth = np.random.default_rng(6).standard_normal(400_000)
    shown = sqrt(share) * truth + sqrt(1.0 - share) * noise
    fitted = np.polyval(np.polyfit(shown, 4.0 * (truth**2 - 1.0) / sqrt(2.0), 2), shown)
    assert fitted.var() == pytest.approx(16.0 * share**2, rel=0.03)
    expected = response.expected({"grade.first": share}, normal(SEED, "outcomes", 4001))
    assert expected.var() == pytest.approx(fitted.var(), rel=0.05)


def test_of_a_normal_figure_the_width_falls_with_the_square_root_of_what_is_open():
    assert narrowing(0.0) == 0.0
    assert narrowing(0.75) == pytest.approx(50.0)
    assert narrowing(1.0) == pytest.approx(100.0)


def _linear(precision, lean, looks):
    """What looks settle of y = Σ a_i x_i + b z + unknown: the parts of `WEIGHTS`, and what they have in common, z."""
    parts = [WEIGHTS["grade.first"], WEIGHTS["grade.second"]]
    own = np.array([[(a * sigma) ** 2, 0.0] for a, sigma, _ in parts])
    shared = np.array([B**2 / precision, 0.0, 0.0])
    total = float(own.sum() + shared.sum()) + UNKNOWN**2
    return Knowledge(
        total=total,
        own=own,
        fixed=0.0,
        shared=shared,
        lean=np.array(lean),
        rest=0.0,
        before=np.array([sigma**2 for _, sigma, _ in parts]),
        reach=np.array([sigma**4 / (sigma**2 + tau**2) for _, sigma, tau in parts]) / SMALL,
        seen=np.zeros(2),
        power=np.ones(2),
        precision=precision,
        places={"first": 0, "second": 1},
        looks=looks,
    )


B, UNKNOWN = 1.5, 0.7

SMALL = 1e-9
"""Share of a part that a look counts for, so that it says of the part's own grade alone [–]."""


@pytest.mark.parametrize("checks", [("first",), ("second",), ("first", "second")])
def test_expected_narrowing_by_several_looks_is_that_of_normal_theory(checks):
    # Var(E[y | looks]) = Σ a_i² σ_i⁴ / (σ_i² + τ_i²) for independent x_i: what each look settles adds up.
    named = {"first": "grade.first", "second": "grade.second"}
    falls = {
        key: WEIGHTS[name][1] ** 4 / (WEIGHTS[name][1] ** 2 + WEIGHTS[name][2] ** 2) for key, name in named.items()
    }
    looks = {key: Look(None, at, SMALL, 0.0) for at, key in enumerate(named)}
    known = _linear(1.0, (0.5, 0.5), looks)
    settled = sum(WEIGHTS[named[key]][0] ** 2 * falls[key] for key in checks)
    left = 1.0 - settled / known.total
    assert known.settled(checks) == pytest.approx(settled / known.total, rel=1e-6)
    assert narrowing(known.settled(checks)) == pytest.approx(100.0 * (1.0 - sqrt(left)), rel=1e-6)


@pytest.mark.parametrize(("precision", "speaks"), [(1.0, 0.5), (4.0, 1.0), (0.25, 3.0)])
def test_what_a_look_says_of_the_rest_adds_to_the_precision_of_what_they_have_in_common(precision, speaks):
    # z ~ N(0, 1/p), a look with noise of precision s: posterior variance 1/(p + s), so that b² (1/p − 1/(p + s)) is
    # settled. The part looked at carries nothing of z itself.
    known = replace(_linear(precision, (0.0, 1.0), {"first": Look(None, 0, 1.0, speaks)}), reach=np.zeros(2))
    settled = B**2 * (1.0 / precision - 1.0 / (precision + speaks))
    assert known.settled(["first"]) == pytest.approx(settled / known.total, rel=1e-12)
