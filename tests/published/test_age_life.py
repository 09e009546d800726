"""Age-life depreciation, short-lived items, declining balance and public schedules.

Sources, each named again beside its value:
    Glossary of georgiaappraiser.com: age-life and modified age-life. Read in a copy.
    hpdconsult.com: age-life example. Read in a copy; it calls “value” what is the depreciation.
    Clarion University, notes on real-estate appraisal, chapter 12: short-lived items. Read in a copy.
    Claims examples of betterment on insurance pages. Read in copies.
    B. M. Fraumeni, “The measurement of depreciation”, Survey of Current Business, July 1997 (BEA), table 3. Read in a
    copy.
    Administrative Rules of Montana 42.21.155, five-year class; Nevada NRS 361.227. Read in copies; editions change.
    United States Internal Revenue Service, Publication 946, table A-1, seven-year column: the percentages were read in
    a secondary copy, the number of the table is from memory.
    National Joint Council of Canada, relocation directive, depreciation table. Read in a copy.
    Canadian, Australian and claims-trade rates of write-off: read in copies, named below.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.published.losses import money_lost, share_lost

AGE_LIFE = [
    # (cost new, effective age, total economic life, depreciation)
    # Effective 15, remaining 45 years: 25 %; of 60,000 that is 15,000. georgiaappraiser.com, glossary.
    pytest.param(100, 15, 15 + 45, 25, id="effective-15-remaining-45"),
    pytest.param(60_000, 15, 15 + 45, 15_000, id="quarter-of-60000"),
    # 10/30 of 300,000 is 100,000. hpdconsult.com.
    pytest.param(300_000, 10, 30, 100_000, id="third-of-300000"),
    # Clarion University, chapter 12: roof 3,000, 10 of 30 years: 1,000; furnace 2,000, 5 of 20: 500.
    pytest.param(3_000, 10, 30, 1_000, id="roof"),
    pytest.param(2_000, 5, 20, 500, id="furnace"),
    # The same: hood 900, 10 of 15 years; the copy breaks off before the result, 600 is ours.
    pytest.param(900, 10, 15, 600, id="hood"),
    # Betterment: tyres of 800, half worn, the owner bears 400. Claims page, read in a copy.
    pytest.param(800, 1, 2, 400, id="tyres-half-worn"),
    # Betterment: a roof of 20 years, in its 15th: 75 %. Claims page, read in a copy.
    pytest.param(100, 15, 20, 75, id="roof-in-year-15"),
]

YEARLY = [
    # (life, rate a year in %, unit of the last place): pairs that a table prints side by side.
    # National Joint Council of Canada, relocation directive: grandfather clock 33 years, 3 %.
    pytest.param(33, 3.0, 0.5, id="clock-33-years"),
    # The same: music box 20 years, 5 %; professional books 25 years, 4 %.
    pytest.param(20, 5.0, 0.005, id="music-box-20-years"),
    pytest.param(25, 4.0, 0.005, id="books-25-years"),
    # Claims life table (a scraped page, weak): instruments and pianos over $250 new, 25 years, 4 % a year.
    pytest.param(25, 4.0, 0.005, id="piano-25-years-claims"),
    # Australian Taxation Office, community answer: stringed instruments, 10 years, 10 % prime cost.
    pytest.param(10, 10.0, 0.005, id="strings-10-years-prime-cost"),
]

MONTANA = [
    # ARM 42.21.155, five-year class: percent good after each year.
    pytest.param(1, 85, id="year-1"),
    pytest.param(2, 69, id="year-2"),
    pytest.param(3, 52, id="year-3"),
    pytest.param(4, 34, id="year-4"),
    pytest.param(5, 20, id="year-5"),
]

BEA = [
    # BEA 1997, table 3: (declining-balance rate R, service life T, rate of depreciation printed).
    pytest.param(1.65, 12, 0.1375, id="furniture"),
    pytest.param(1.65, 28, 0.0589, id="railroad"),
]

SEVEN_YEARS = (14.29, 24.49, 17.49, 12.49)
"""IRS Publication 946, table A-1, seven-year property, half-year convention: deduction in years 1 to 4 [% of cost].

In these years the deduction is double-declining balance, 2/7 of what is left, after a first half year.
"""


@pytest.mark.parametrize(("cost", "age", "life", "lost"), AGE_LIFE)
def test_straight_line_example(tables, cost, age, life, lost):
    assert cost * share_lost(tables.laws["straight_line"], age, life, tables) == pytest.approx(lost, rel=1e-12)


@pytest.mark.parametrize(("life", "rate", "place"), YEARLY)
def test_straight_line_rate_of_one_year(tables, life, rate, place):
    assert 100 * share_lost(tables.laws["straight_line"], 1, life, tables) == pytest.approx(rate, abs=place)


def test_modified_age_life(tables):
    # georgiaappraiser.com: cost new 300,000, curable 60,000 taken off first, then 15 / (15 + 45) on the remainder:
    # 60,000 + 60,000 = 120,000. The page prints 80,000 for the second term, against its own inputs: a misprint.
    quarter = share_lost(tables.laws["straight_line"], 15, 15 + 45, tables)
    parts = {"curable": (60_000, 1.0), "the rest": (240_000, quarter)}
    assert money_lost(300_000, parts) == pytest.approx(120_000, rel=1e-12)


def test_short_lived_items_together(tables):
    # Clarion University, chapter 12: 1,000 + 500 + 600 (the last, and so the sum, is ours) on 5,900 new.
    law = tables.laws["straight_line"]
    parts = {
        "roof": (3_000, share_lost(law, 10, 30, tables)),
        "furnace": (2_000, share_lost(law, 5, 20, tables)),
        "hood": (900, share_lost(law, 10, 15, tables)),
    }
    assert money_lost(5_900, parts) == pytest.approx(2_100, rel=1e-12)


def test_a_whole_of_like_parts_ages_as_one(tables):
    # Breakdown with every part at one age and life is the age-life figure: 25 % of 60,000, georgiaappraiser.com.
    quarter = share_lost(tables.laws["straight_line"], 15, 60, tables)
    assert money_lost(60_000, {"a": (20_000, quarter), "b": (40_000, quarter)}) == pytest.approx(15_000, rel=1e-12)


@pytest.mark.parametrize(("year", "good"), MONTANA)
def test_percent_good(tables, year, good):
    left = 1 - share_lost(tables.laws["schedule"], year, 50, tables)
    assert 100 * left == pytest.approx(good, abs=1e-9)


def test_percent_good_starts_whole_and_stays_at_its_last_figure(tables):
    # ARM 42.21.155 ends at 20 %; that new is 100 % and that the last figure stands for later years is our table's rule.
    law = tables.laws["schedule"]
    assert share_lost(law, 0, 50, tables) == 0.0
    assert 100 * (1 - share_lost(law, 30, 50, tables)) == pytest.approx(20, abs=1e-9)


@pytest.mark.parametrize(
    ("age", "lost"),
    [
        # NRS 361.227: 1.5 % a year, to 50 years at most.
        pytest.param(1, 1.5, id="one-year"),
        pytest.param(10, 15.0, id="ten-years"),
        pytest.param(50, 75.0, id="fifty-years"),
        pytest.param(80, 75.0, id="never-more-than-fifty"),
    ],
)
def test_nevada_schedule(tables, age, lost):
    law = replace(tables.laws["schedule"], schedule=tuple(100 - 1.5 * year for year in range(1, 51)))
    assert 100 * share_lost(law, age, 50, tables) == pytest.approx(lost, abs=1e-9)


@pytest.mark.parametrize(("ratio", "life", "printed"), BEA)
def test_declining_balance_rate(tables, ratio, life, printed):
    # δ = R / T: the first year of a declining balance at that rate loses the rate printed.
    law = replace(tables.laws["declining_balance"], rate=ratio / life)
    assert share_lost(law, 1, life, tables) == pytest.approx(printed, abs=0.00005)


def test_the_shipped_rate_is_the_one_printed_for_furniture(tables):
    # BEA 1997, table 3: .1375.
    assert share_lost(tables.laws["declining_balance"], 1, 50, tables) == pytest.approx(0.1375, abs=1e-12)


@pytest.mark.parametrize("years", [1, 2, 3])
def test_declining_balance_over_years(tables, years):
    # What Publication 946 leaves after year 1 + n over what it leaves after year 1: n years at 2/7.
    left = [100 - sum(SEVEN_YEARS[:year]) for year in range(1, 5)]
    law = replace(tables.laws["declining_balance"], rate=2 / 7)
    assert 1 - share_lost(law, years, 7, tables) == pytest.approx(left[years] / left[0], abs=0.0003)


@pytest.mark.parametrize(
    ("rate", "printed"),
    [
        # Canada, class 8: 20 % a year of what is left. Read in a copy of Dubois, 2013 CCI 409.
        pytest.param(0.20, 20.0, id="canada-class-8"),
        # Australia, stringed instruments: 20 % diminishing value on a life of 10 years, twice the straight line's rate.
        pytest.param(2 / 10, 20.0, id="australia-diminishing"),
    ],
)
def test_first_year_of_a_write_off(tables, rate, printed):
    law = replace(tables.laws["declining_balance"], rate=rate)
    assert 100 * share_lost(law, 1, 10, tables) == pytest.approx(printed, abs=1e-9)
