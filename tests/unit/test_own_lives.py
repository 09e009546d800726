"""Lives from one's own cases, against fits to censored data by SciPy, statsmodels, lifelines and by hand."""

from __future__ import annotations

import json
from datetime import date, timedelta
from math import exp, log

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import CensoredData, weibull_min
from statsmodels.duration.survfunc import SurvfuncRight

from appraise.cli.parser import main
from appraise.engine.life import Weibull, weibull
from appraise.evidence.lives import Spell, fitted, learn_lives, lives_rows, spells
from appraise.model.case import Assignment, Case, Identity, Kind, Renewal
from appraise.model.span import Span
from appraise.services.learning import take
from appraise.tables.load import load_tables

TABLES = load_tables()
HAMMERS = TABLES.lives["hammers"]
TABLE = weibull(HAMMERS.low, HAMMERS.typical, HAMMERS.high)


def seen(n: int, truth: Weibull, *, late: bool = False, seed: int = 2) -> list[Spell]:
    """Return spells of service, some not ended; where late, those that ended before anybody looked are missing."""
    chance = np.random.default_rng(seed)
    found = []
    while len(found) < n:
        life, end = truth.scale * chance.weibull(truth.shape), chance.uniform(5, 60)
        entry = chance.uniform(0, 0.7 * end) if late else 0.0
        if life > entry:
            found.append(Spell(min(life, end), life <= end, entry))
    return found


@pytest.mark.parametrize("seed", range(4))
def test_without_a_prior_it_is_the_censored_fit_of_scipy(seed):
    """Against scipy.stats.weibull_min.fit on CensoredData, its location held at 0."""
    each = seen(300, Weibull(2.2, 34.0), seed=seed)
    data = CensoredData([s.years for s in each if s.ended], right=[s.years for s in each if not s.ended])
    shape, _, scale = weibull_min.fit(data, floc=0)
    ours = fitted(each, TABLE).life
    assert (ours.shape, ours.scale) == pytest.approx((shape, scale), rel=1e-3)


def test_left_truncation_against_a_likelihood_by_itself():
    """Against scipy.optimize on the sum of conditional log densities, and against the truth it was drawn from."""
    truth = Weibull(2.5, 30.0)
    each = seen(3000, truth, late=True)

    def minus(at):
        law = weibull_min(exp(at[0]), scale=exp(at[1]))
        return -sum(
            float(law.logpdf(s.years) if s.ended else law.logsf(s.years)) - float(law.logsf(s.seen_from))
            for s in each[:300]
        )

    theirs = np.exp(minimize(minus, [log(2.0), log(25.0)], method="Nelder-Mead").x)
    ours = fitted(each[:300], TABLE).life
    assert (ours.shape, ours.scale) == pytest.approx(tuple(theirs), rel=2e-3)
    whole = fitted(each, TABLE)
    assert abs(log(whole.life.scale / truth.scale)) < 4 * whole.log_scale_sd
    blind = fitted([Spell(s.years, s.ended) for s in each], TABLE)
    assert blind.life.scale > 1.03 * truth.scale, "who only sees survivors takes parts for longer-lived than they are"


@pytest.mark.parametrize(
    ("late", "seed", "shape", "scale"),
    [
        (False, 1, 2.5381, 32.6686),
        (False, 2, 2.5968, 31.0174),
        (False, 3, 2.3565, 32.2469),
        (True, 1, 2.3363, 32.1769),
        (True, 2, 2.2796, 31.9482),
        (True, 3, 2.4882, 32.4618),
    ],
)
def test_censored_and_truncated_against_a_survival_library(late, seed, shape, scale):
    """Against `WeibullFitter` of lifelines 0.30.3 on the same spells, with `entry` where late: what it printed."""
    ours = fitted(seen(500, Weibull(2.4, 32.0), late=late, seed=seed), TABLE).life
    assert (ours.shape, ours.scale) == pytest.approx((shape, scale), abs=6e-5)


@pytest.mark.parametrize("late", [False, True])
def test_surviving_shares_against_the_product_limit_of_statsmodels(late):
    """Against statsmodels' Kaplan–Meier estimate with delayed entry: no law assumed, the share in service by age."""
    each = seen(4000, Weibull(2.4, 32.0), late=late, seed=9)
    left = np.array([s.years for s in each]), np.array([s.ended for s in each], dtype=int)
    # nobody is at risk before the first comes under observation: who came new counts from there
    entry = np.array([s.seen_from for s in each]) if late else None
    theirs = SurvfuncRight(*left, entry=entry)
    ours = fitted(each, TABLE).life
    for age in (15.0, 25.0, 35.0, 45.0):
        at = int(np.searchsorted(theirs.surv_times, age, side="right")) - 1
        share = exp(-((age / ours.scale) ** ours.shape))
        assert share == pytest.approx(theirs.surv_prob[at], abs=4 * theirs.surv_prob_se[at] + 1e-3), age


def test_the_prior_is_the_answer_without_spells_and_gives_way_to_many():
    prior = Weibull(3.0, 40.0)
    alone = fitted([], prior, scale_sd=0.1, shape_sd=0.15)
    assert (alone.life.shape, alone.life.scale) == pytest.approx((3.0, 40.0))
    assert (alone.log_scale_sd, alone.log_shape_sd) == pytest.approx((0.1, 0.15))
    scales = [fitted(seen(n, Weibull(3.0, 20.0)), prior, scale_sd=0.1, shape_sd=0.15).life.scale for n in (3, 30, 300)]
    assert 40 > scales[0] > scales[1] > scales[2] > 20
    assert scales[2] == pytest.approx(20, rel=0.06)


@pytest.mark.parametrize(
    "each",
    [
        [Spell(0.3, True)],
        [Spell(300.0, False)] * 50,
        [Spell(20.0, True)] * 20,
        [Spell(1.0, True), Spell(200.0, True)],
        [Spell(50.0, True, 49.999)] * 5,
    ],
)
def test_extreme_spells_give_a_life(each):
    found = fitted(each, TABLE, scale_sd=0.1, shape_sd=0.15)
    assert 0.3 < found.life.scale / TABLE.scale < 3
    assert 0.1 < found.life.shape / TABLE.shape < 4


def folder(n: int, factor: float, seed: int = 4) -> list[Case]:
    """Return cases whose hammers last a factor of what the tables say."""
    chance = np.random.default_rng(seed)
    cases = []
    for _ in range(n):
        looked = date(2026, 6, 1)
        at = made = looked - timedelta(days=int(365.25 * chance.uniform(5, 90)))
        renewals = []
        while (
            at := at + timedelta(days=max(200, int(365.25 * factor * TABLE.scale * chance.weibull(TABLE.shape))))
        ) < looked:
            renewals.append(Renewal(("hammers",), Span(at, at)))
        cases.append(Case(Identity(Kind.GRAND, made=Span(made, made)), Assignment(looked), renewals=tuple(renewals)))
    return cases


@pytest.mark.parametrize("factor", [0.6, 1.0, 1.5])
def test_a_simulated_folder_tells_its_lives(factor):
    learned = {one.row.key: one for one in learn_lives(spells(folder(120, factor), TABLES), TABLES)}
    assert set(learned) == {"hammers"}
    one = learned["hammers"]
    assert one.factor == pytest.approx(factor, rel=0.12)
    assert one.after.low < one.after.mid < one.after.high
    assert one.events > 30


def test_between_visits_history_from_before_the_first_counts_for_nothing():
    def seen_on(day: date, *renewals: Renewal) -> Case:
        it = Identity(Kind.GRAND, maker="Ostravell", serial="77", made=Span.parse("1950"))
        return Case(it, Assignment(day), renewals=renewals)

    old, new = (Renewal(("hammers",), Span.parse(year)) for year in ("1980", "2020"))
    cases = [seen_on(date(2010, 1, 1), old), seen_on(date(2026, 1, 1), old, new)]
    by_history = spells(cases, TABLES)["hammers"]
    by_visits = spells(cases, TABLES, visits=True)["hammers"]
    assert [(s.ended, s.seen_from) for s in by_history] == [(True, 0.0), (True, 0.0), (False, 0.0)]
    assert [s.ended for s in by_visits] == [True, False]
    assert by_visits[0].seen_from == pytest.approx(29.5 / HAMMERS.typical, rel=0.02)
    assert by_visits[1].seen_from == 0.0


def test_rows_are_taken_and_name_their_renewals(tmp_path):
    learned = learn_lives(spells(folder(60, 0.7), TABLES), TABLES)
    assert take(*lives_rows(learned, 60, date(2026, 6, 1)), tmp_path / "ours") == []
    row = load_tables(tmp_path / "ours").lives["hammers"]
    assert row.typical < HAMMERS.typical
    assert row.where.startswith(f"own cases, n = {learned[0].events} renewals")
    assert (row.yours, row.heavy_typical < HAMMERS.heavy_typical) == (True, True)


def test_command(tmp_path, capsys):
    for k, case in enumerate(folder(8, 0.7)):
        dated = "".join(f'[[renewals]]\ncomponents = ["hammers"]\ndate = {r.date.earliest}\n' for r in case.renewals)
        made, looked = case.identity.made.earliest, case.assignment.inspected
        text = f'schema = 1\n[identity]\nkind = "grand"\nmade = {made}\n[assignment]\ninspected = {looked}\n{dated}'
        (tmp_path / f"{k}.toml").write_text(text)
    assert main(["lives", str(tmp_path), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [row["row"] for row in found["rows"]] == ["lives/hammers"]
    assert main(["lives", str(tmp_path), "--visits"]) == 2
    assert "no renewal with a date" in capsys.readouterr().err
    assert 1.0 > found["rows"][0]["factor"] > 0.3
