"""Claims after a move: average, new for old, partial loss, and what carriers owe at most.

Sources, as read unless said otherwise:
    Wikipedia, "Condition of average": loss 3 million, insured 5 million, value 10 million.
    An insurance forum: loss 10,000, insured for 50 of a value of 100.
    A broker's page: loss 10,000, insured 100,000 of 200,000; and the special condition, no average from 75 %.
    Public examples of betterment: tyres of 800, half worn; a 20-year roof in year 15; 2,000 less 200 less 500. The
    75 % of the roof are derived from its two ages.
    Marine Insurance Act 1906, section 71(3) (bailii.org): the rule. Its figures here are ours: a cargo insured for
    12,000, sound 10,000, damaged 6,000. Section 60(2)(iii): the rule from memory, the figures ours.
    CMR article 23(3), Hague-Visby Rules article IV rule 5(a), HGB § 451e, Surface Transportation Board: the rates. The
    amounts for 480 kg and 4 m³ are derived from them; the 12 dollars for 20 pounds are the Board's own example.
    CMR article 30, HGB § 451f and the two years of the household goods rules are from memory.
    1 lb = 0.45359237 kg exactly: international yard and pound agreement, 1959.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from appraise.engine.loss.arithmetic import (
    average_share,
    betterment,
    carriage_limit,
    is_constructive_total,
    is_total,
    marine_partial,
    payable,
)
from appraise.engine.loss.limits import converted
from appraise.engine.loss.periods import deadlines
from appraise.model.claim import LimitRate

POUND_KG = 0.45359237


@pytest.mark.parametrize(
    ("loss", "insured", "value", "paid"),
    [
        (3_000_000, 5_000_000, 10_000_000, 1_500_000),  # Wikipedia
        (10_000, 50, 100, 5_000),  # forum: a share of one half
        (10_000, 100_000, 200_000, 5_000),  # broker
    ],
)
def test_average(loss, insured, value, paid):
    assert loss * average_share(insured, value) == paid
    assert payable(min(loss, insured), sum_insured=insured, value_at_risk=value) == min(paid, insured / 2)


@pytest.mark.parametrize(
    ("insured", "share"),
    [(74.9, 0.749), (75, 1.0), (80, 1.0), (100, 1.0)],  # broker: special condition from 75 %
)
def test_special_condition_of_average(tables, insured, share):
    from_share = tables.setting("loss_average_condition_pct") / 100
    assert from_share == 0.75  # broker
    assert average_share(insured, 100, spared_from=from_share) == pytest.approx(share)


def test_the_plain_condition_knows_no_three_quarters():
    assert average_share(75, 100) == 0.75


@pytest.mark.parametrize(
    ("cost", "worn", "share"),
    [(800, 0.5, 400), (100, 15 / 20, 75)],  # tyres half worn; roof of 20 years in year 15: 75 %
)
def test_betterment(cost, worn, share):
    assert betterment(cost, worn) == share


def test_betterment_and_excess_together():
    new_for_old = 200
    assert payable(2_000 - new_for_old, excess=500) == 1_300  # 2,000 − 200 − 500


def test_partial_loss_of_goods_under_a_valued_policy():
    assert marine_partial(12_000, 10_000, 6_000) == 4_800  # the rule of section 71(3), figures ours
    assert marine_partial(10_000, 10_000, 0) == 10_000  # a whole loss of the goods is the insured value


@pytest.mark.parametrize(
    ("repair", "forwarding", "arrival", "total"),
    [(7_000, 3_001, 10_000, True), (7_000, 3_000, 10_000, False), (9_999, 0, 10_000, False)],
)
def test_constructive_total_loss_of_goods(repair, forwarding, arrival, total):
    assert is_constructive_total(repair, forwarding, arrival) is total  # the rule of section 60(2)(iii), figures ours


def test_a_repair_dearer_than_the_thing_is_a_total_loss():
    assert is_total(10_001, 10_000, 1.0)  # marine: repair past the value on arrival, from memory
    assert not is_total(9_999, 10_000, 1.0)


@pytest.mark.parametrize(
    ("rule", "weight_kg", "volume_m3", "amount", "unit"),
    [
        ("cmr_limit", 480, None, 3_998.40, "SDR"),  # 8.33 SDR a kilogram
        ("hague_visby_limit", 480, None, 960.00, "SDR"),  # 2 SDR a kilogram passes the package
        ("hague_visby_limit", 300, None, 666.67, "SDR"),  # the package passes 600
        ("hgb_451e", None, 4, 2_480.00, "EUR"),  # 620 a cubic metre
        ("us_released_value", 480, None, 634.93, "USD"),  # 480 kg in pounds unrounded × 0.60, rounded once, at the end
        ("us_released_value", 250, None, 330.69, "USD"),  # common practice, no source: "about USD 331" for 250 kg
        ("us_released_value", 20 * POUND_KG, None, 12.00, "USD"),  # the Board: 20 lb, 12 dollars
        ("us_released_value", 1_058 * POUND_KG, None, 634.80, "USD"),  # pounds rounded first come to less
    ],
)
def test_limits(tables, rule, weight_kg, volume_m3, amount, unit):
    limit = carriage_limit(tables.carriage_rules[rule], weight_kg, volume_m3)
    assert (round(limit.amount, 2), limit.unit) == (amount, unit)


def test_480_kilograms_are_1058_pounds():
    assert round(480 / POUND_KG) == 1_058


def test_the_weight_from_which_kilograms_count(tables):
    rule = tables.carriage_rules["hague_visby_limit"]
    assert round(rule.per_package / rule.per_kg, 1) == 333.3


@pytest.mark.parametrize(
    ("rule", "words", "standing"),
    [
        ("cmr_scope", "does not cover the removal of furniture", "published"),  # Art 1(4)(c)
        ("cmr_notice", "within 7 days, Sundays and public holidays not counted", "from memory"),  # Art 30
        ("cmr_suit", "within 1 year", "from memory"),  # Art 32
        ("hague_visby_notice", "within 3 days", "published"),
        ("hague_visby_suit", "within 1 year", "published"),
        ("us_released_value", "more than USD 100 a pound must be listed", "published"),
        ("us_claim_window", "at least 9 months", "published"),
        ("us_suit", "at least 2 years", "from memory"),
        ("hgb_451f", "by the day after delivery", "from memory"),
        ("hgb_451f", "within 14 days", "from memory"),
    ],
)
def test_notice_and_action(tables, rule, words, standing):
    row = tables.carriage_rules[rule]
    assert words in row.text
    assert row.standing == standing


@pytest.mark.parametrize(
    ("rule", "concerns", "last"),
    [
        # Friday 23 October 2026; CMR article 30: seven days after it, Sunday 25 October not counted, end on the 31st
        ("cmr_notice", "notice_concealed", date(2026, 10, 31)),
        ("cmr_notice", "notice_apparent", date(2026, 10, 23)),
        ("cmr_suit", "suit", date(2027, 10, 23)),
        ("hague_visby_notice", "notice_concealed", date(2026, 10, 26)),
        ("hague_visby_suit", "suit", date(2027, 10, 23)),
        ("us_claim_window", "claim", date(2027, 7, 23)),
        ("hgb_451f", "notice_apparent", date(2026, 10, 24)),
        ("hgb_451f", "notice_concealed", date(2026, 11, 6)),
    ],
)
def test_the_last_day_of_a_period(tables, rule, concerns, last):
    delivered = date(2026, 10, 23)
    found = {each.concerns: each for each in deadlines([tables.carriage_rules[rule]], delivered, last)}
    assert found[concerns].last == last
    assert not found[concerns].passed
    later = {each.concerns: each for each in deadlines([tables.carriage_rules[rule]], delivered, last + timedelta(1))}
    assert later[concerns].passed


def test_no_period_runs_from_the_delivery_where_another_day_begins_it(tables):
    assert deadlines([tables.carriage_rules["us_suit"]], date(2026, 10, 23), date(2026, 10, 23)) == ()


def test_special_drawing_rights_at_a_stated_rate(tables):
    """The rate is ours, as somebody would type it; the rule is CMR article 23(7): value of the currency on a day."""
    rate = LimitRate("SDR", 1.2243, date(2026, 11, 3), "typed")
    limit = carriage_limit(tables.carriage_rules["cmr_limit"], 480, None)
    found = converted(limit, "EUR", [rate])
    assert round(found.amount, 2) == 4_895.24  # 480 kg × 8.33 SDR = 3,998.40 SDR; × 1.2243
    assert converted(limit, "EUR", []) is None  # nothing is guessed
    euros = carriage_limit(tables.carriage_rules["hgb_451e"], None, 4)
    assert converted(euros, "EUR", [rate]).amount == 2_480.00
    assert converted(euros, "GBP", [rate]) is None


@pytest.mark.parametrize(
    ("delivered", "rule", "concerns", "last"),
    [
        # CMR article 30: Sundays are not counted. Saturday 2 May 2026: 3 and, within the seven, 10 May are Sundays.
        (date(2026, 5, 2), "cmr_notice", "notice_concealed", date(2026, 5, 11)),
        # Sunday 3 May: the seven weekdays from Monday 4 May on end with Monday 11 May, 10 May left out.
        (date(2026, 5, 3), "cmr_notice", "notice_concealed", date(2026, 5, 11)),
        # Hague-Visby counts every day: three from Thursday 30 April end on a Sunday.
        (date(2026, 4, 30), "hague_visby_notice", "notice_concealed", date(2026, 5, 3)),
        # One year from 29 February ends on the last of the next February.
        (date(2028, 2, 29), "hague_visby_suit", "suit", date(2029, 2, 28)),
    ],
)
def test_periods_over_weekends(tables, delivered, rule, concerns, last):
    found = {each.concerns: each for each in deadlines([tables.carriage_rules[rule]], delivered, delivered)}
    assert found[concerns].last == last


@pytest.mark.parametrize(
    ("loss", "paid"),
    [
        # Insured for 15,000 of 20,000, excess 500, the order that the page states: average, limit, excess.
        (4_000, 2_500),  # 4,000 × 3/4 = 3,000; − 500
        (20_000, 14_500),  # 20,000 × 3/4 = 15,000, the sum insured; − 500
        (600, 0),  # 600 × 3/4 = 450, below the excess
    ],
)
def test_the_order_of_deductions(loss, paid):
    assert payable(loss, sum_insured=15_000, value_at_risk=20_000, excess=500) == paid
