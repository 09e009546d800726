"""The replacement cost new known by its ends: both are used, one alone is said to be too little, everywhere."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from appraise.cli.parser import main
from appraise.engine.setup import replacement_range
from appraise.engine.valuation import value_case
from appraise.report.appraisal import appraisal
from appraise.report.kinds import document_for
from appraise.report.terminal import value_page
from appraise.tables.load import load_tables
from tests.helpers.pseudo import shown_strings
from tests.helpers.report_cases import grand
from tests.helpers.terminal_text import drawn

TABLES = load_tables()
CASE = """\
schema = 1

[identity]
kind = "grand"
made = 1985

[assignment]
inspected = 2026-11-20

[market]
"""


def priced(new=None, low=None, high=None):
    case = grand()
    amounts = (None if amount is None else Decimal(amount) for amount in (new, low, high))
    names = ("replacement_cost_new", "replacement_cost_low", "replacement_cost_high")
    return replace(case, market=replace(case.market, **dict(zip(names, amounts, strict=True))))


def test_both_ends_stand_for_the_cost_whose_median_they_are():
    """Of a lognormal quantity the median is the geometric mean of its 10 % and 90 % quantiles."""
    found = replacement_range(priced(low=40_000, high=50_000), TABLES)
    middle = (40_000 * 50_000) ** 0.5
    assert (found.low, found.mid, found.high) == (40_000, middle, 50_000)
    stated = value_case(priced(new=f"{middle:.10f}", low=40_000, high=50_000), TABLES, draws=200)
    assert value_case(priced(low=40_000, high=50_000), TABLES, draws=200).value == stated.value


def test_the_middle_says_how_it_came_about():
    item = appraisal(priced(low=40_000, high=50_000), TABLES, draws=100)
    node = item.figures.get("replacement_cost_new")
    assert node.how.startswith("middle of the least and the most, by ratio, as prices spread")
    assert node.shown == "EUR 44,700"
    assert {part.figure for part in node.parts} == {"replacement_cost_new.low", "replacement_cost_new.high"}


ONE_END = [
    ({"low": 40_000}, "only the low figure of the replacement cost new was given, EUR 40,000, not the high"),
    ({"high": 40_000}, "only the high figure of the replacement cost new was given, EUR 40,000, not the low"),
    ({"low": 40_000, "high": 30_000}, "the low figure of the replacement cost new is above the high"),
    ({}, "no replacement cost new was given"),
]


@pytest.mark.parametrize(("ends", "words"), ONE_END)
@pytest.mark.parametrize("kind", ["full", "summary"])
def test_every_report_says_what_is_missing(ends, words, kind):
    item = appraisal(priced(**ends), TABLES, draws=100)
    assert item.valuation.value is None
    assert f"none: {words}" in shown_strings(document_for(kind, item))
    assert words in item.figures.get("value").how


@pytest.mark.parametrize(("ends", "words"), ONE_END)
def test_the_terminal_says_what_is_missing(ends, words):
    shown = drawn(*value_page(appraisal(priced(**ends), TABLES, draws=100)))
    assert f"No value in money: {words}." in " ".join(shown)


@pytest.mark.parametrize("end", ["low", "high"])
@pytest.mark.parametrize("command", [["value"], ["report", "-o", "r.md"]], ids=["value", "report"])
def test_the_command_points_at_the_line(tmp_path, capsys, monkeypatch, end, command):
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "case.toml"
    path.write_text(f'{CASE}replacement_cost_{end} = "40000"\n', encoding="utf-8")
    assert main([*command, str(path)]) == 0
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "market.replacement_cost_new: found nothing, expected the cost itself, or both " in said


def test_a_ranking_leaves_it_out_and_says_why(tmp_path, capsys):
    path = tmp_path / "case.toml"
    path.write_text(f'{CASE}replacement_cost_low = "40000"\n', encoding="utf-8")
    assert main(["rank", str(path)]) == 2  # none is left
    assert (
        "market.replacement_cost_new: found one of its ends alone, expected the cost of a comparable instrument, new"
        in (capsys.readouterr().err)
    )
