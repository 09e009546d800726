"""What own sales teach: the estimator against other programs' estimators, and what it may never do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise
from math import exp, inf, log

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from statsmodels.regression.mixed_linear_model import MixedLM

from appraise.engine.comparables import RATIOS
from appraise.engine.valuation import value_case
from appraise.evidence.learn import learn, shrunk
from appraise.evidence.levels import Level, instrument, levels, model
from appraise.evidence.overlay import MARK, sales_rows
from appraise.model.problem import Unreadable
from appraise.services.learning import refuse_learned, take
from appraise.tables.load import load_tables
from tests.helpers.depth import whole
from tests.helpers.sales import sale
from tests.simulations.market import Truth, laid_over, measured, sold

TABLES = load_tables()


def noisy(n=240, groups=8, seed=5):
    """Return a design of group effects and log ratios with gross errors."""
    chance = np.random.default_rng(seed)
    group = chance.integers(0, groups, n)
    y = 0.3 + chance.normal(0, 0.2, groups)[group] + chance.normal(0, 0.15, n)
    return group, y


def huber(u):
    """P. J. Huber, "Robust estimation of a location parameter", Ann. Math. Statist. 35, 1964; RLM's bound."""
    return np.minimum(1.0, 1.345 / np.maximum(np.abs(u), 1e-300))


def test_huber_weights_give_what_statsmodels_rlm_gives():
    """Against statsmodels, robust linear model with Huber's norm, its scale held."""
    group, y = noisy()
    y[::20] += 2.0
    x = np.column_stack([np.ones(len(y)), group == 1, group == 2]).astype(float)
    theirs = sm.RLM(y, x, M=sm.robust.norms.HuberT(1.345)).fit(update_scale=False)
    none = np.zeros((3, 3))
    ours = shrunk(x, y, none, none, sd=float(theirs.scale), weight=huber, prior_sales=inf, prior_effects=inf)
    assert ours.effects == pytest.approx(theirs.params, abs=2e-4)
    assert ours.weights == pytest.approx(theirs.weights, abs=2e-3)


def test_shrunk_effects_are_the_predictions_of_a_mixed_model():
    """Against statsmodels MixedLM: with its variances the effects are its best linear unbiased predictions."""
    group, y = noisy()
    frame = pd.DataFrame({"y": y, "group": group})
    theirs = MixedLM.from_formula("y ~ 1", frame, groups="group").fit(reml=True)
    ratio = theirs.scale / float(theirs.cov_re.iloc[0, 0])
    x = np.column_stack([np.ones(len(y)), *(group == g for g in range(8))]).astype(float)
    relative = np.diag([0.0] + [ratio] * 8)
    ours = shrunk(
        x,
        y,
        relative,
        np.zeros((9, 9)),
        sd=float(np.sqrt(theirs.scale)),
        weight=np.ones_like,
        prior_sales=inf,
        prior_effects=inf,
    )
    assert ours.effects[0] == pytest.approx(theirs.params["Intercept"], abs=1e-5)
    predicted = [float(theirs.random_effects[g].iloc[0]) for g in range(8)]
    assert ours.effects[1:] == pytest.approx(predicted, abs=1e-5)


def alike(count: int, factor: float) -> list:
    """Return sales of grands at a factor of what the tables give them."""
    found = []
    for k in range(count):
        one = sale(made=str(1990 + 5 * (k % 6)), date=date(2025 + k % 2, 1 + k % 12, 1))
        price = float(np.interp(factor, RATIOS, model(instrument(one, TABLES), TABLES).medians))
        found.append(replace(one, price=Decimal(round(price))))
    return found


@pytest.mark.parametrize("factor", [0.1, 0.3, 0.5, 2.0, 4.0])
def test_six_sales_never_swing_a_value_wildly(factor):
    """However far off six sales are, no value moves by more than half (our assumption of what is wild)."""
    learned = laid_over(TABLES, alike(6, factor))
    for age in (5, 30, 60):
        case = instrument(sale(made=str(2026 - age)), TABLES)
        before, after = (value_case(case, tables, draws=200).exact.mid for tables in (TABLES, learned))
        assert abs(log(after / before)) < log(1.6), age
        assert (after > before) == (factor > 1)


def test_sales_at_the_tables_own_level_teach_nothing_new():
    found, unused = levels(alike(60, 1.0), TABLES, {})
    assert not unused
    for row in learn(found, TABLES).rows:
        assert row.after.mid == pytest.approx(row.before.mid, rel=0.02)
        assert row.n <= 60


def test_more_sales_of_one_kind_move_its_row_further_and_the_other_kind_stays():
    moved = []
    for count in (6, 24, 96):
        found, _ = levels(alike(count, 0.7), TABLES, {})
        rows = {row.row.key: row for row in learn(found, TABLES).rows}
        assert "base_upright" not in rows
        curve = dict(rows["base_grand"].curve)
        moved.append(log(rows["base_grand"].after.mid * curve[20] / 0.679))
    assert 0 > moved[0] > moved[1] > moved[2] > log(0.7)


def test_a_gross_error_hardly_counts():
    found, _ = levels(alike(30, 1.0), TABLES, {})
    wild = [*found, replace(found[0], ratio=found[0].ratio * 10)]
    calm, stirred = ({row.row.key: row.after.mid for row in learn(each, TABLES).rows} for each in (found, wild))
    assert stirred == pytest.approx(calm, rel=0.01)


def test_a_learned_curve_never_rises_with_age():
    chance = np.random.default_rng(3)
    found = []
    for _ in range(80):
        age = float(chance.uniform(1, 100))
        made = str(2026 - round(age))
        found.append(Level(sale(made=made), age, exp(float(chance.normal(0.008 * age, 0.3)))))
    (base,) = (row for row in learn(found, TABLES).rows if row.row.key == "base_grand")
    assert all(first >= second for (_, first), (_, second) in pairwise(base.curve))
    assert base.after.low <= base.after.mid <= base.after.high


def test_drift_is_found_and_rows_are_brought_to_the_newest_sale():
    found = []
    for k in range(120):
        day = date(2022, 7, 1).toordinal() + 12 * k
        one = sale(date=date.fromordinal(day), made=str(2000 + k % 5))
        found.append(Level(one, 22.0, exp(-0.05 * (k * 12 - 119 * 12) / 365.25 - 0.2)))
    learned = learn(found, TABLES)
    assert learned.drift == pytest.approx(-0.05, abs=0.01)
    (base,) = (row for row in learned.rows if row.row.key == "base_grand")
    others = [row.after.mid / row.before.mid for row in learned.rows if row.row.key != "base_grand"]
    total = (
        base.after.mid
        * np.interp(22.0, *zip(*base.curve, strict=True))
        / np.interp(22.0, *zip(*base.row.by_age, strict=True))
    )
    assert log(total * np.prod(others)) == pytest.approx(-0.2, abs=0.05)


def test_taken_rows_stand_in_the_folder_beside_the_users_own(tmp_path):
    folder = tmp_path / "ours"
    folder.mkdir()
    mine = (
        '# mine\n[[row]]\nkey = "good"\nfactor = "tier"\nkinds = ["grand", "upright"]\nlabel = "Good"\nlow = 0.9\n'
        'typical = 1.0\nhigh = 1.1\nstanding = "our assumption"\nsource = "none"\n'
    )
    (folder / "market_factors.toml").write_text(mine)
    found, _ = levels(alike(30, 0.8), TABLES, {})
    rows, source = sales_rows(learn(found, TABLES))
    for _ in range(2):  # the second time what was learned before is replaced
        assert take(rows, source, folder) == ["market_factors/good"]
        text = (folder / "market_factors.toml").read_text()
        assert text.startswith(mine.rstrip())
        assert text.count(MARK) == 1
    tables = load_tables(folder)
    base = tables.market_factors["base_grand"]
    assert (base.yours, base.standing, base.where) == (True, "own evidence", "own sales, n = 30, to 2026-12")
    assert tables.market_factors["good"].label == "Good"
    assert tables.sources[base.source].title == "Own sales, n = 30, to 2026-12"
    with pytest.raises(Unreadable, match="leave --tables out"):
        refuse_learned(tables)


def test_two_hundred_sales_bring_the_tables_near_a_market_that_differs():
    truth = Truth()
    tested = sold(whole(60, 24), truth, TABLES, 31, today=True)
    before = measured(TABLES, TABLES, tested, truth)
    after = measured(laid_over(TABLES, sold(200, truth, TABLES, 32)), TABLES, tested, truth)
    assert before.error > 0.35
    assert before.within < 0.5
    assert after.error < before.error / 3
    assert abs(after.bias) < 0.08
    assert 0.65 <= after.within <= 0.95  # so few prices say no more than that; the long run is in tests.simulations
