"""A visit: greedy choice against every choice, the knock-out round, what is left out, asking prices."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise
from math import exp

import numpy as np
import pytest

from appraise.engine import promise
from appraise.engine.choice import chosen
from appraise.engine.draws import normal
from appraise.engine.information import narrowing
from appraise.engine.study import study
from appraise.engine.valuation import value_case
from appraise.engine.visit import visit
from appraise.tables.load import load_tables
from tests.simulations.pianos import AGES, looked_at, piano, valued

TABLES = load_tables()
FEW = 256


@pytest.fixture(autouse=True)
def few_imagined(monkeypatch, request):
    """Imagine few visits for what one promises, but for a test of how much it is."""
    if "promised_in_full" not in request.fixturenames:
        monkeypatch.setattr(promise, "VISITS", 4)
        monkeypatch.setattr(promise, "SEEDS", 1)


@pytest.fixture
def promised_in_full():
    """For a test of how much a visit promises."""


def _known(case):
    setup, world, found = valued(case, TABLES, 1900, FEW)
    return study(case, setup.subject, world, found, TABLES).known


def _exhaustive(rows, minutes, settled):
    best = 0.0
    for size in range(len(rows) + 1):
        for some in combinations(rows, size):
            if sum(row.minutes for row in some) <= minutes:
                best = max(best, settled([row.key for row in some]))
    return best


@pytest.mark.parametrize(("kind", "age"), AGES)
def test_greedy_is_nearly_as_good_as_every_choice(kind, age):
    known = _known(piano(kind, age))
    rows = [look.row for look in known.looks.values() if not look.row.days]
    rng = np.random.default_rng(age)
    for _ in range(6):
        some = [rows[at] for at in rng.choice(len(rows), size=8, replace=False)]
        minutes = float(rng.integers(6, 25))
        order = chosen(some, minutes, known.settled)
        assert sum(TABLES.checks[key].minutes for key in order) <= minutes
        assert len(set(order)) == len(order)
        best = _exhaustive(some, minutes, known.settled)
        assert known.settled(order) >= (1.0 - exp(-1.0)) * best
        assert known.settled(order) >= 0.95 * best


@pytest.mark.parametrize(("kind", "age"), AGES)
def test_what_each_settles_alone_is_what_a_set_of_one_settles(kind, age):
    known = _known(piano(kind, age))
    for key, share in known.each().items():
        assert share == pytest.approx(known.settled([key]), abs=1e-12)


def test_more_checks_never_settle_less():
    known = _known(piano("grand", 30))
    keys = sorted(known.looks)
    shares = [known.settled(keys[:at]) for at in range(len(keys) + 1)]
    assert shares[0] == pytest.approx(0.0, abs=1e-12)
    assert all(after >= before - 1e-9 for before, after in pairwise(shares))
    assert shares[-1] < 1.0


def _with(checks):
    return replace(TABLES, checks={**TABLES.checks, **{row.key: row for row in checks}})


def test_the_knock_out_round_comes_first_and_days_never():
    plain = visit(piano("grand", 30), TABLES, 30, draws=FEW)
    last, dear = plain.checks[-1].check, plain.checks[0].check
    first = replace(TABLES.checks[last], knock_out=True)
    tables = _with([first, replace(TABLES.checks[dear], days=True)])
    found = visit(piano("grand", 30), tables, 60, draws=FEW)
    # The tables' own first round and the check that was added to it come before everything else.
    assert last in [check.check for check in found.checks if check.knock_out]
    rounds = [check.knock_out for check in found.checks]
    assert rounds == sorted(rounds, reverse=True)
    assert dear not in [check.check for check in found.checks]
    assert dear not in [check.check for check in value_case(piano("grand", 30), tables, draws=FEW).next_checks]
    made = looked_at(piano("grand", 30), {last: 2.0}, [last])
    assert last not in [check.check for check in visit(made, tables, 30, draws=FEW).checks]


@pytest.mark.parametrize("minutes", [0, 1, 10, 30, 120])
def test_a_visit_keeps_to_its_minutes_and_to_what_can_be_done(minutes):
    case = piano("upright", 60)
    found = visit(case, TABLES, minutes, draws=FEW)
    assert found.takes <= minutes
    cumulative = [check.cumulative_pct for check in found.checks]
    assert cumulative == sorted(cumulative)
    for check in found.checks:
        assert check.per_minute == pytest.approx(check.narrows_pct / check.minutes)
    assert sum(check.narrows_pct for check in found.checks) == pytest.approx(found.narrows_pct, abs=1e-6)
    skipped = frozenset(check.check for check in found.checks[:2])
    assert skipped.isdisjoint(check.check for check in visit(case, TABLES, minutes, skipped=skipped, draws=FEW).checks)


@pytest.mark.usefixtures("promised_in_full")
def test_a_longer_visit_promises_more():
    promised = [visit(piano("grand", 30), TABLES, minutes, draws=FEW).narrows_pct for minutes in (5, 30, 120)]
    assert promised == sorted(promised)
    assert promised[-1] > 2.0 * promised[0] > 0.0


def test_without_a_price_new_there_is_a_visit_and_no_money():
    case = piano("grand", 30)
    case = replace(case, market=replace(case.market, replacement_cost_new=None))
    found = visit(case, TABLES, 30, asking=5000.0, draws=FEW)
    assert found.checks
    assert found.narrows_pct > 0.0
    assert found.asking is None
    assert value_case(case, TABLES, draws=FEW).next_checks


def test_on_a_basis_that_condition_does_not_bear_on_there_is_nothing_to_check():
    basis = next(row.key for row in TABLES.bases.values() if row.method == "replacement")
    assert visit(piano("grand", 30, basis), TABLES, 30, draws=FEW).checks == ()


@pytest.mark.parametrize("minutes", [-1.0, float("nan"), float("inf")])
def test_minutes_that_are_none_are_refused(minutes):
    with pytest.raises(ValueError, match="minutes"):
        visit(piano("grand", 30), TABLES, minutes)


def test_the_chance_that_it_is_worth_an_asking_price_is_a_share_of_the_draws():
    case = piano("grand", 30)
    value = valued(case, TABLES, 1900, FEW)[2].value
    chances = []
    for price in (3000.0, 9000.0, 15000.0):
        found = visit(case, TABLES, 0, asking=price, draws=FEW, seed=1900).asking
        assert found.chance == pytest.approx(np.mean(value >= price))
        assert found.most == pytest.approx(np.percentile(value, 50))
        assert found.most_sure == pytest.approx(np.percentile(value, 20))
        assert found.buy == (price <= found.most)
        chances.append(found.chance)
    assert chances == sorted(chances, reverse=True)


def test_a_price_near_the_middle_has_a_check_that_could_change_the_answer_and_a_wild_one_none():
    case = piano("grand", 30)
    middle = value_case(case, TABLES, draws=FEW).exact.mid
    near = visit(case, TABLES, 30, asking=middle, draws=FEW)
    assert near.asking.decisive is not None
    assert near.asking.decisive.worth > 0.0
    assert near.asking.decisive.swing > 0.0
    assert any(check.changes_purchase for check in near.checks)
    wild = visit(case, TABLES, 30, asking=1e6, draws=FEW)
    assert wild.asking.chance == 0.0
    assert wild.asking.decisive is None
    assert not any(check.changes_purchase for check in wild.checks)


def test_the_decisive_check_is_never_one_that_is_skipped():
    case = piano("grand", 30)
    middle = value_case(case, TABLES, draws=FEW).exact.mid
    first = visit(case, TABLES, 30, asking=middle, draws=FEW).asking.decisive.check
    second = visit(case, TABLES, 30, asking=middle, skipped=frozenset({first}), draws=FEW).asking.decisive
    assert second is None or second.check != first


def test_another_comparable_is_named_once_the_market_is_all_that_is_left():
    case = piano("grand", 30)
    known = _known(case)
    made = looked_at(case, dict.fromkeys(known.looks, 2.0), list(known.looks))
    found = visit(made, TABLES, 30, draws=FEW)
    assert found.checks == ()
    assert found.comparable_pct > 0.5
    assert visit(case, TABLES, 30, draws=FEW).comparable_pct is None or found.comparable_pct > narrowing(
        max(known.each().values())
    )


@pytest.mark.usefixtures("promised_in_full")
def test_the_draws_behind_a_visit_are_those_of_the_range():
    assert normal(1900, "general condition", FEW).size == FEW
    again = [visit(piano("grand", 30), TABLES, 30, draws=FEW) for _ in range(2)]
    assert again[0] == again[1]
