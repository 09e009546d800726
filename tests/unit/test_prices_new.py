"""Sales that state no price new: one of the table stands for it, marked, with less weight than one that was stated."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from math import exp, log

import numpy as np
import pytest

from appraise.engine.comparables import RATIOS
from appraise.evidence.learn import learn
from appraise.evidence.levels import instrument, levels, model, price_new
from appraise.evidence.overlay import sales_rows
from appraise.tables.load import load_tables
from tests.helpers.sales import sale

TABLES = load_tables()


@pytest.mark.parametrize("row", TABLES.prices_new.values(), ids=lambda row: row.key)
def test_each_row_is_found_by_kind_class_and_size(row):
    size = row.above_cm or (row.below_cm or 100.0) - 5.0
    one = sale(kind=str(row.kinds[0]), maker_class=row.tier, size_cm=size, price_new=None, date=date(2026, 5, 1))
    found = price_new(one, TABLES)
    assert found is not None
    assert found.row is row
    assert float(found.price) == row.typical


def test_it_is_brought_to_the_year_of_the_sale():
    one = sale(price_new=None, size_cm=170.0)
    now, then = (price_new(replace(one, date=date(year, 5, 1)), TABLES) for year in (2026, 2016))
    assert float(then.price) == pytest.approx(float(now.price) * 1.03**-10, abs=0.01)


@pytest.mark.parametrize(
    "lack", [{"maker_class": ""}, {"size_cm": None}, {"currency": "CHF"}, {"maker_class": "stencil"}]
)
def test_without_class_size_or_a_row_the_sale_says_nothing(lack):
    found, unused = levels([sale(price_new=None, **lack)], TABLES, {})
    assert found == []
    assert [one.reason for one in unused] == [
        "no price new, and no row of the table prices_new for its class, size and currency"
    ]


def market(count: int, factor: float, *, stated: bool) -> list:
    """Return sales of grands at a factor of what the tables give them, their price new stated or not."""
    found = []
    for k in range(count):
        one = sale(made=str(1990 + 5 * (k % 6)), date=date(2026, 1 + k % 9, 1), size_cm=170.0)
        one = replace(one, price_new=price_new(replace(one, price_new=None), TABLES).price)
        price = float(np.interp(factor, RATIOS, model(instrument(one, TABLES), TABLES).medians))
        found.append(replace(one, price=Decimal(round(price)), price_new=one.price_new if stated else None))
    return found


def test_a_price_new_that_was_looked_up_counts_less_and_is_marked():
    by = {}
    for stated in (True, False):
        found, _ = levels(market(18, 0.7, stated=stated), TABLES, {})
        assert [level.assumed for level in found] == [not stated] * 18
        by[stated] = learn(found, TABLES)
    moved = {
        stated: log(next(row for row in learned.rows if row.row.key == "base_grand").after.mid)
        for stated, learned in by.items()
    }
    assert log(0.7) < moved[True] < moved[False] < 0.0  # both towards the market, the stated ones farther
    assert exp(moved[False]) < 0.97
    assert (by[True].assumed, by[False].assumed) == (0, 18)
    assert "18 of them with a price new of the table prices_new" in sales_rows(by[False])[1].title
    assert "prices_new" not in sales_rows(by[True])[1].title
