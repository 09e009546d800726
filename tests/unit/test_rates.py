"""Several currencies in a ranking: one order by dated rates, or a group each; twins; what is unlike its neighbours."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.model.currency import DIGITS, Rates
from appraise.model.ranking import Candidate
from appraise.report.ranking import TAKEN, adds_up, flat
from appraise.report.ranking_explanation import converted, in_reference, marks, twins_text, unlike_text, why
from appraise.services.ordering import SORTS, Filter, ordered
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from tests.unit.test_ranking import DRAWS, TABLES, priced, trade_in, with_margin

RATES = Rates("EUR", date(2026, 11, 27), "an example, invented", {"USD": 0.92, "GBP": 1.16, "JPY": 0.0061})
"""Units of the reference for one of each; figures invented."""


CASE, _ = read_case(data_folder("sample_cases") / "recent_grand.toml", TABLES)
TRADE = trade_in(CASE, TABLES, draws=64)


def row(n, currency="EUR", offer=1000, rates=RATES, **changes):
    """A row with a few figures of its own, as a ranking has it."""
    trade = replace(TRADE, currency=currency)
    found = flat(Candidate(f"{n}.toml", "grand", "", "", None, "", f"{n:064x}", "0", trade), rates)
    money = {"offer": offer, "margin": found["resale"] - sum(found[key] for key in TAKEN) - offer}
    return {**found, **money, **changes}


def files(ranking, key="offer", **options):
    return [found["file"] for found in ranking.rows(SORTS[key], **options)]


def test_one_order_by_what_the_amounts_convert_to():
    with ordered() as ranking:
        for n, (coin, offer) in enumerate([("EUR", 1000), ("USD", 1090), ("GBP", 850), ("JPY", 170_000)]):
            ranking.add(row(n, coin, offer))
        # 1,000; 1090 × 0.92 = 1,002.8; 850 × 1.16 = 986; 170,000 × 0.0061 = 1,037
        assert files(ranking) == ["3.toml", "1.toml", "0.toml", "2.toml"]
        assert files(ranking, backwards=True) == ["2.toml", "0.toml", "1.toml", "3.toml"]
        assert files(ranking, most=2) == ["3.toml", "1.toml"]
        assert files(ranking, wanted=Filter(above=1001)) == ["3.toml", "1.toml"]
        assert ranking.groups(SORTS["offer"]) == []
        assert ranking.unconverted() == []


def test_without_rates_each_currency_has_an_order_of_its_own():
    with ordered() as ranking:
        for n, (coin, offer) in enumerate([("EUR", 1000), ("USD", 1090), ("GBP", 850), ("USD", 2000), ("EUR", 900)]):
            ranking.add(row(n, coin, offer, rates=None, loss_risk_pct=float(n)))
        assert files(ranking) == ["0.toml", "4.toml", "2.toml", "3.toml", "1.toml"]
        assert files(ranking, most=1) == ["0.toml", "2.toml", "3.toml"]
        assert ranking.groups(SORTS["offer"]) == [("EUR", 2), ("GBP", 1), ("USD", 2)]
        # What is no amount has one order.
        assert files(ranking, "risk") == [f"{n}.toml" for n in range(5)]
        assert ranking.groups(SORTS["risk"]) == []


def test_a_currency_without_a_rate_stands_behind_the_others():
    with ordered() as ranking:
        for n, (coin, offer) in enumerate([("CHF", 9000), ("USD", 1090), ("EUR", 1000)]):
            ranking.add(row(n, coin, offer))
        assert files(ranking) == ["1.toml", "2.toml", "0.toml"]
        assert ranking.groups(SORTS["offer"]) == [("EUR", 2), ("CHF", 1)]
        assert ranking.unconverted() == ["CHF"]


def test_the_rate_its_day_and_source_are_in_every_row_converted():
    found = row(1, "USD", 1090)
    keys = ("reference_currency", "rate", "rate_date", "rate_source")
    assert [found[key] for key in keys] == ["EUR", 0.92, "2026-11-27", "an example, invented"]
    assert "USD 1 = EUR 0.92 of 27 November 2026, an example, invented" in converted(found)
    assert converted(row(2, "EUR")) == converted(row(3, "CHF")) == ""
    assert row(3, "CHF")["offer_converted"] is None


def test_why_converts_and_names_the_rates_or_refuses():
    first, second = row(1, "USD", 1090), row(2, "GBP", 850)
    told = " ".join(why(first, second))
    assert "USD 1 = EUR 0.92 of 27 November 2026" in told
    assert "GBP 1 = EUR 1.16 of 27 November 2026" in told
    assert f"EUR {floor(1090 * 0.92):,}" in told
    assert "Converted" not in " ".join(why(row(1, "USD", 5), row(2, "USD", 4)))
    with pytest.raises(ValueError, match="cannot be compared"):
        why(first, row(3, "CHF"))


codes = st.sampled_from(sorted(DIGITS))


@given(priced, codes, st.floats(1e-5, 1e4), st.floats(0.0, 60.0))
def test_a_row_adds_up_in_its_own_currency_and_in_the_one_it_is_converted_to(case, code, rate, margin):
    """In currencies with and without minor units, by the identity of the residual method."""
    rates = Rates("XXX", date(2026, 11, 27), "a draw", {code: rate})
    case = replace(case, assignment=replace(case.assignment, currency=code))
    trade = trade_in(with_margin(case, margin), TABLES, draws=64)
    found = flat(Candidate.of(case, "x.toml", "0" * 64, trade), rates)
    for each in (found, in_reference(found)):
        assert each["offer"] == each["resale"] - sum(each[key] for key in TAKEN) - each["margin"]
        assert each["expected_profit"] == each["margin"]
        assert adds_up(each)
    assert found["offer_converted"] == in_reference(found)["offer"]
    exact = Fraction(found["offer"]) * Fraction(rate)
    assert found["offer_converted"] <= exact + Fraction(1, 10**5)
    assert exact - found["offer_converted"] < 1 + Fraction(1, 10**5)


@given(priced, st.sampled_from(("JPY", "KWD", "EUR")))
def test_parts_keep_a_margin_too_and_the_profit_is_that_of_the_course(case, code):
    """What is left of what the course named brings is what it leaves: margin and profit are one figure."""
    case = replace(case, assignment=replace(case.assignment, currency=code))
    trade = trade_in(case, TABLES, draws=DRAWS)
    left = trade.resale.mid - trade.work.mid - trade.carriage - trade.preparation - trade.guarantee - trade.holding
    assert trade.profit == trade.margin == pytest.approx(left - trade.offer)
    if trade.course == "part_out":
        assert trade.carriage == trade.work.mid == trade.holding == 0.0


def test_twins_are_named_by_maker_and_serial_or_by_content():
    with ordered() as ranking:
        ranking.add(row(1, maker="Ostravell", serial="12-345"))
        ranking.add(row(2, maker="OSTRAVELL ", serial="12345"))
        ranking.add(row(3, maker="Ostravell", serial=None))
        ranking.add(row(4, maker="", serial="12345"))
        ranking.add(row(5, maker="Ostravell", serial=None, case_sha256=f"{4:064x}"))
        found = {each["file"]: each["twins"] for each in ranking.rows(SORTS["file"])}
    assert found == {"1.toml": "2.toml", "2.toml": "1.toml", "3.toml": "", "4.toml": "5.toml", "5.toml": "4.toml"}
    assert twins_text({"twins": "a/2.toml; 3.toml"}).endswith("as 2.toml and 3.toml.")


def test_what_most_have_otherwise_is_marked():
    with ordered() as ranking:
        for n, (basis, later) in enumerate([("retail", False), ("retail", False), ("private_sale", True)]):
            ranking.add(row(n, basis=basis, after_loss=later))
        odd = ranking.row(3)
        assert odd["unlike"] == "basis; after_loss"
        assert marks(odd) == ["another basis", "after a loss"]
        assert "private sale" in unlike_text(odd)
        assert ranking.row(1)["unlike"] == unlike_text(ranking.row(1)) == ""
        ranking.drop(1)
        ranking.drop(2)
        assert ranking.row(3)["unlike"] == ""
