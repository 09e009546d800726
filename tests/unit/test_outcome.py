"""The outcome of a case: no figure looks at it, it goes into the book once, is corrected, and the score counts it."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

import appraise
from appraise.engine.ranking import trade_in
from appraise.engine.valuation import value_case
from appraise.evidence.book import book
from appraise.evidence.score import score
from appraise.explain import reason_tree
from appraise.model.case import Offer, Outcome, Practice
from appraise.model.problem import InputError
from appraise.services.sales import to_be_written, with_outcomes, write_outcome
from appraise.store.read import parse_case, read_case
from appraise.store.write import write_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.depth import whole

TABLES = load_tables()
SAMPLES = sorted(data_folder("sample_cases").glob("*.toml"))
SOLD = Outcome(
    asked=Decimal("9900.00"),
    bought=Decimal("2500.00"),
    sold=Decimal("8400.00"),
    day=date(2026, 11, 25),
    sale="private_sale",
    verified="receipt",
)
DEALT = {
    "outcome": SOLD,
    "offer": Offer(Decimal(1), date(2027, 1, 1), "the stool"),
    "practice": Practice("Invented house", statement="We own none of it."),
}


def case_of(path: Path):
    case, problems = read_case(path, TABLES)
    assert case is not None, problems
    return case


@pytest.mark.parametrize("path", whole(SAMPLES, SAMPLES[:3]), ids=lambda path: path.stem)
def test_no_figure_looks_at_outcome_offer_or_practice(path):
    case = case_of(path)
    dealt = replace(case, **DEALT)
    assert value_case(dealt, TABLES, draws=256) == value_case(case, TABLES, draws=256)
    if case.market.cost_new is not None:
        assert trade_in(dealt, TABLES, draws=256) == trade_in(case, TABLES, draws=256)
    found = value_case(case, TABLES, draws=256)
    assert reason_tree(dealt, TABLES, found) == reason_tree(case, TABLES, found)


def test_engine_and_reasons_never_name_them():
    named = re.compile(r"\.(outcome|offer|practice)\b(?!\()")
    folder = Path(appraise.__file__).parent
    for package in ("engine", "explain"):
        for path in (folder / package).rglob("*.py"):
            told = [line for line in path.read_text().splitlines() if named.search(line) and "case" in line]
            assert told == [], path


def saved(tmp_path, outcome=SOLD, name="grand.toml"):
    path = tmp_path / name
    write_case(path, replace(case_of(data_folder("sample_cases") / "renewed_grand.toml"), outcome=outcome), TABLES)
    return path


def test_it_is_written_once_and_corrected_when_it_changes(tmp_path):
    path, place = saved(tmp_path), tmp_path / "b.sqlite3"
    assert to_be_written(case_of(path), path, place)
    assert "sold on 2026-11-25 for 8,400.00" in write_outcome(path, TABLES, place)
    assert not to_be_written(case_of(path), path, place)
    with pytest.raises(InputError, match="in the book already"):
        write_outcome(path, TABLES, place)
    with book(place) as kept:
        (first,) = kept.sales()
    assert (first.price, first.asked, first.bought, first.note) == (*map(Decimal, ("8400", "9900", "2500")), "receipt")
    saved(tmp_path, replace(SOLD, sold=Decimal("8150.00")))
    assert to_be_written(case_of(path), path, place)
    assert write_outcome(path, TABLES, place).startswith("Corrected in the sales book: ")
    with book(place) as kept:
        (second,) = kept.sales()
    assert second == replace(first, price=Decimal("8150.00"), revision=1)  # the range is that of before anybody knew


def test_an_outcome_that_is_not_finished_is_not_written(tmp_path):
    path = saved(tmp_path, Outcome(sold=Decimal(5000)))
    assert not to_be_written(case_of(path), path, tmp_path / "b.sqlite3")
    with pytest.raises(InputError, match=r"expected outcome\.sold, outcome\.day and outcome\.sale"):
        write_outcome(path, TABLES, tmp_path / "b.sqlite3")
    assert not (tmp_path / "b.sqlite3").exists()


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ('sold = "8400"\n', 'outcome: found no "day", "sale", expected "day", "sale" as well'),
        ('sold = "8400"\nday = 1900-01-01\nsale = "retail"\n', "outcome.day: found 1900-01-01, expected a day after"),
        ('sold = "0"\n', "outcome.sold: found"),
        ('sale = "barter"\n', "outcome.sale: found"),
    ],
)
def test_what_does_not_fit_is_said_in_one_line(tmp_path, lines, told):
    text = saved(tmp_path, Outcome()).read_text()
    _, problems = parse_case(f"{text}\n[outcome]\n{lines}", TABLES, file="case.toml")
    assert any(told in str(problem) for problem in problems), [str(problem) for problem in problems]


def test_the_score_counts_cases_once(tmp_path):
    path, place = saved(tmp_path), tmp_path / "b.sqlite3"
    saved(tmp_path, Outcome(), "unsold.toml")
    sales, left = with_outcomes([tmp_path], place, TABLES)
    assert (len(sales), left) == (1, [])
    assert score(sales)[0].n == 1
    write_outcome(path, TABLES, place)
    sales, left = with_outcomes([tmp_path], place, TABLES)
    assert (len(sales), left) == (1, [])
