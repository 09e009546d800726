"""The price levels of the approaches: what they share is drawn together, and what contradicts itself widens."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from appraise.engine.comparison import prepared
from appraise.engine.price_levels import price_inputs, price_levels
from appraise.engine.sampler import Sampler
from appraise.engine.valuation import value_case
from appraise.store.read import read_case
from appraise.tables.load import load_tables

TABLES = load_tables()
SAMPLES = Path(__file__).parents[2] / "sample_cases"
DRAWS = Sampler(1900, 2048)


def case_of(name, basis=None, sale=None, first=False, times=1):
    case = read_case(SAMPLES / f"{name}.toml", TABLES, today=date(2026, 12, 1))[0]
    sold = [
        replace(each, sale=sale or each.sale, price=each.price * Decimal(str(times)))
        for each in case.market.comparables[: 1 if first else None]
    ]
    asked = replace(case.assignment, basis=basis or case.assignment.basis)
    return replace(case, assignment=asked, market=replace(case.market, comparables=tuple(sold)))


def levels_of(case):
    setup = prepared(case, TABLES, DRAWS)
    return setup, [np.log(level) for level in price_levels(setup, DRAWS).levels]


def test_what_a_kind_of_sale_brings_cancels_where_the_comparables_were_sold_that_way():
    setup, (cost, sales) = levels_of(case_of("renewed_grand", "private_sale", "private_sale"))
    channel = DRAWS.scores("channel")
    assert sales.std() == pytest.approx(setup.evidence.relative_sd, rel=0.01)
    for level in (cost, sales):
        assert abs(np.corrcoef(level, channel)[0, 1]) < 0.06


@pytest.mark.parametrize("basis", ["auction", "forced_sale"])
def test_prices_carried_to_another_kind_of_sale_are_as_unsure_as_what_it_brings(basis):
    setup, (cost, sales) = levels_of(case_of("renewed_grand", basis, "retail"))
    channel = TABLES.bases[basis]
    wide = np.log(channel.high / channel.low)
    for level in (cost, sales):
        assert np.ptp(np.percentile(level, [10, 90])) > wide
    assert setup.sales_sd > wide / 2.57
    found = value_case(case_of("renewed_grand", basis), TABLES)
    assert found.exact.high / found.exact.low > 0.8 * channel.high / channel.low


def test_the_same_sales_speak_once_in_both_approaches():
    setup, (cost, sales) = levels_of(case_of("renewed_grand"))
    assert setup.factor_from == "comparables"
    assert "market factor" not in price_inputs(setup)
    assert np.corrcoef(cost, sales)[0, 1] > 0.75
    together = (setup.weight_cost * cost + (1.0 - setup.weight_cost) * sales).std()
    assert together > 0.95 * setup.evidence.factor_sd


def test_one_price_and_a_factor_of_the_table_are_apart():
    setup, (cost, sales) = levels_of(case_of("renewed_grand", first=True))
    assert setup.factor_from == "table"
    assert "market factor" in price_inputs(setup)
    assert abs(np.corrcoef(cost, sales)[0, 1]) < 0.06


@pytest.mark.parametrize("times", [0.1, 0.3, 3, 10])
def test_a_range_is_about_as_wide_as_two_approaches_that_contradict_one_another_lie_apart(times):
    found = value_case(case_of("renewed_grand", first=True, times=times), TABLES)
    assert found.disagreement > 0.0
    low, high = sorted(approach.value.mid for approach in found.approaches)
    assert np.log(found.exact.high / found.exact.low) > 0.7 * np.log(high / low)


@pytest.mark.parametrize("name", ["renewed_grand", "trade_in_grand", "cracked_plate_grand", "recent_grand"])
def test_approaches_that_agree_are_left_as_they_are(name):
    assert value_case(case_of(name), TABLES, draws=128).disagreement == 0.0
    assert value_case(case_of(name, first=True), TABLES, draws=128).disagreement == pytest.approx(0.0, abs=0.05)
