"""Like sales of the book: which are picked, in whatever order the book is, and what taking them does to a value."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from math import exp, log
from random import Random
from statistics import fmean
from typing import TYPE_CHECKING

import numpy as np
import pytest

from appraise.engine.comparables import RATIOS
from appraise.engine.valuation import value_case
from appraise.evidence.book import book
from appraise.evidence.levels import instrument, model
from appraise.evidence.like import Like, Subject, lack, like
from appraise.model.case import Outcome
from appraise.model.market import Comparable
from appraise.model.problem import InputError
from appraise.model.span import Span
from appraise.services.like_sales import comparable, likes, with_comparables
from appraise.services.sales import own_sale
from appraise.store.files import digest_of
from appraise.store.read import parse_case
from appraise.store.write import write_case
from appraise.tables.load import load_tables
from tests.helpers.sales import sale

if TYPE_CHECKING:
    from pathlib import Path

TABLES = load_tables()
DAY = date(2026, 10, 1)


def subject(**changes):
    """Return the case of a grand of middling condition, on a private sale."""
    one = sale(**({"date": DAY, "sale": "private_sale", "made": "1992", "grade": 3.0} | changes))
    return instrument(one, TABLES)


def stock():
    """Return a dozen like instruments sold, each with what the model gives it at every level of the market."""
    found = []
    for k in range(12):
        one = sale(
            date=date(2026, 1 + k % 9, 3),
            sale="private_sale",
            made=str(1982 + 2 * k),
            grade=(2.5, 3.0, 3.0, 3.5)[k % 4],
            file_sha256=f"{k:064d}",
            line=k,
        )
        found.append((one, model(instrument(one, TABLES), TABLES).medians))
    return found


def priced(stock, level: float, scatter: float, seed: int):
    """Return the sales of a market at a level against the tables', each price scattering about it."""
    chance = Random(seed)
    prices = [np.interp(exp(level + chance.gauss(0.0, scatter)), RATIOS, medians) for _, medians in stock]
    return [replace(one, price=Decimal(round(float(price)))) for (one, _), price in zip(stock, prices, strict=True)]


def test_sales_taken_narrow_the_range_and_do_not_bias_it():
    case, known = subject(), stock()
    its = model(case, TABLES).medians
    levels = [-0.45 + 0.06 * k for k in range(16)]
    without = value_case(case, TABLES, draws=512).exact
    errors, widths = {0: [], 3: [], 6: []}, {0: [], 3: [], 6: []}
    for seed, level in enumerate(levels):
        true = float(np.interp(exp(level), RATIOS, its))
        nearest, _ = like(Subject(case, 3.0), priced(known, level, 0.16, seed), TABLES)
        for k in errors:
            found = value_case(with_comparables(case, nearest[:k], "b"), TABLES, draws=512).exact if k else without
            errors[k].append(log(found.mid / true))
            widths[k].append(log(found.high / found.low))
    # the standard error of a mean of 16 such errors is some 0.16 / √3 / √16 ≈ 0.02
    assert abs(fmean(errors[3])) < 0.06
    assert abs(fmean(errors[6])) < 0.06
    assert fmean(widths[6]) < fmean(widths[3]) < fmean(widths[0])
    assert all(six < none for six, none in zip(widths[6], widths[0], strict=True))
    spread = {k: fmean(each**2 for each in errors[k]) for k in errors}
    assert spread[6] < spread[3] < spread[0]


def test_the_order_of_the_book_does_not_matter():
    case, sales = subject(), priced(stock(), -0.1, 0.2, 1)
    sales += [replace(sales[0], file_sha256="f" * 64, line=99, note="the same on all counts but its line")]
    expected = [one.sale for one in like(Subject(case, 3.0), sales, TABLES)[0]]
    for seed in range(5):
        Random(seed).shuffle(sales)
        assert [one.sale for one in like(Subject(case, 3.0), sales, TABLES)[0]] == expected


def test_the_nearest_comes_first_and_each_step_is_told():
    case = subject()
    same = sale(date=DAY, sale="private_sale", made="1992", grade=3.0)
    steps = [
        replace(same, date=date(2016, 10, 1)),
        replace(same, sale="retail"),
        replace(same, price_new=Decimal("30000.00")),
        replace(same, made="1960"),
        replace(same, grade=4.0),
        replace(same, maker_class=""),
    ]
    found, unused = like(Subject(case, 3.0), [*steps, same], TABLES)
    assert unused == []
    assert found[0].sale == same
    assert found[0].distance < 1e-9
    by = {one.sale: dict(one.steps) for one in found}
    for one, name in zip(steps, ("time", "kind of sale", "size", "age", "condition", "class unknown"), strict=True):
        assert by[one][name] > 0.02
        assert sum(step for key, step in by[one].items() if key not in (name, "age")) < 1e-9 or name == "age"


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"price": Decimal(0)}, "no price"),
        ({"kind": ""}, "no kind"),
        ({"kind": "upright"}, "another kind of instrument"),
        ({"currency": "GBP"}, "another currency than EUR"),
        ({"date": date(2026, 11, 1)}, "sold after the inspection"),
        ({"made": ""}, "no year made"),
        ({"made": "2027"}, "sold before it was made"),
        ({"grade": None}, "no condition"),
        ({"sale": "barter"}, "a kind of sale that the tables do not know"),
        ({"maker_class": "top"}, "another class of maker, for which the grid adjusts nothing"),
    ],
)
def test_a_sale_that_cannot_be_compared_counts_for_nothing_and_says_so(changes, why):
    good = sale(date=DAY)
    found, unused = like(Subject(subject(), 3.0), [good, replace(good, **changes)], TABLES)
    assert [one.sale for one in found] == [good]
    assert [(one.reason, one.count) for one in unused] == [(why, 1)]
    assert lack(replace(good, **changes), subject(), TABLES) == why


def test_a_comparable_names_the_book_and_can_be_written(tmp_path):
    one = sale(date=date(2025, 10, 1), file="ledger 2025.csv", line=12, size_cm=12.0)
    case = subject()
    case = replace(case, market=replace(case.market, yearly_price_change_pct=10.0))
    made = comparable(one, "sales.sqlite3", case)
    assert made.source == "own sales book sales.sqlite3: ledger 2025.csv, line 12"
    assert made.size_cm is None  # no grand is so short: a file would not take it
    assert made.replacement_cost_new == Decimal("41797.35")  # 38,000 and ten per cent a year, 365 days of 365.25
    assert made == Comparable(
        label="Ostravell 1990",
        price=Decimal("12500.50"),
        date=date(2025, 10, 1),
        sale="retail",
        made=Span.of_year(1990),
        grade=3.0,
        replacement_cost_new=Decimal("41797.35"),
        source=made.source,
    )
    path = tmp_path / "case.toml"
    write_case(path, with_comparables(case, [Like(one, ())], "sales.sqlite3"), TABLES)
    again, problems = parse_case(path.read_text(), TABLES, file="case.toml")
    assert problems == []
    assert again.market.comparables == (made,)


def kept_book(path: Path, *sales):
    with book(path, create=True) as found:
        found.add(sales)
    return path


def test_its_own_sale_is_never_its_comparable(tmp_path):
    path = tmp_path / "grand.toml"
    case = subject()
    write_case(path, case, TABLES)
    good = sale(date=DAY, file_sha256="1", line=0)
    own = [
        replace(good, case_sha256=digest_of(path.read_bytes()), line=1),
        replace(good, case_file="grand.toml", maker="", made="1992", line=2),
        replace(good, price=Decimal("9000"), date=date(2026, 9, 1), line=3),
    ]
    sold = replace(case, outcome=Outcome(sold=Decimal("9000.00"), day=date(2026, 9, 1), sale="private_sale"))
    assert [own_sale(sold, path)(one) for one in (good, *own)] == [False, True, True, True]
    kept = kept_book(tmp_path / "b.sqlite3", good, *own)
    found = likes(sold, value_case(sold, TABLES), path, kept, TABLES)
    assert [one.sale.line for one in found.found] == [0]
    assert [(one.reason, one.count) for one in found.unused] == [("the sale of this instrument itself", 3)]


def test_what_is_a_comparable_already_is_not_proposed_again(tmp_path):
    path = tmp_path / "grand.toml"
    case = subject()
    write_case(path, case, TABLES)
    kept = kept_book(tmp_path / "b.sqlite3", *priced(stock(), 0.0, 0.1, 2))
    first = likes(case, value_case(case, TABLES), path, kept, TABLES)
    assert (len(first.found), first.there) == (12, 0)
    assert 0 < first.proposed <= 6
    more = with_comparables(case, first.found[:4], first.book)
    again = likes(more, value_case(more, TABLES), path, kept, TABLES)
    assert (len(again.found), again.there) == (8, 4)


def test_without_a_year_made_nothing_is_compared(tmp_path):
    case = subject(made="")
    with pytest.raises(InputError, match=r"expected identity\.made"):
        likes(case, value_case(case, TABLES), tmp_path / "x.toml", kept_book(tmp_path / "b.sqlite3"), TABLES)


def test_a_sale_that_contradicts_the_others_is_marked_and_proposed_all_the_same(tmp_path):
    path = tmp_path / "grand.toml"
    case = subject()
    write_case(path, case, TABLES)
    known = priced(stock(), 0.0, 0.1, 2)
    wrong = replace(known[5], price=known[5].price * 10, note="a nought too many")
    kept = kept_book(tmp_path / "b.sqlite3", *known[:5], wrong, *known[6:])
    found = likes(case, value_case(case, TABLES), path, kept, TABLES)
    marked = [one for one in found.found if one.outlying is not None]
    assert [one.sale.note for one in marked] == ["a nought too many"]
    assert (marked[0].outlying.against, marked[0].outlying.times > 3) == ("others", True)
    assert len(found.found) == len(known)
    taken = with_comparables(case, found.found, found.book)
    lines = value_case(taken, TABLES, draws=128).grid
    assert [line.outlying is not None for line in lines] == [one in marked for one in found.found]
