"""Money, percentages and days of any size in a case: refused in one line each, or the value comes out finite."""

from __future__ import annotations

import math
import tomllib
from datetime import date

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from appraise.cli.parser import main
from appraise.engine.valuation import value_case
from appraise.explain.tree import reason_tree
from appraise.model.problem import InputError
from appraise.services.valuation_overrides import on_day
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.depth import examples

TABLES = load_tables()
SAMPLES = {
    name: tomllib.loads((data_folder("sample_cases") / f"{name}.toml").read_text(encoding="utf-8"))
    for name in ("recent_grand", "trade_in_grand", "renewed_grand", "sell_as_is_upright")
}
BASES = tuple(TABLES.bases)

PRICES = ("replacement_cost_new", "replacement_cost_low", "replacement_cost_high", "price")
COSTS = ("labour_rate", "parts_rate", "carriage", "holding", "removal")
SHARES = ("overhead_pct", "contingency_pct", "margin_pct")

digits = st.integers(-1, 10**13) | st.sampled_from((0, 1, 2, 10**11 - 1, 10**11, 10**12 - 1))
money = st.builds("{}{}".format, digits, st.sampled_from(("", ".00", ".5", ".0001"))) | st.sampled_from(
    ("0.0001", "1", "99999999999.9999", "100000000000", "1e9", "-1")
)
percents = st.sampled_from((-100, -50, -49.9, 0, 89.9, 90, 95, 99.9, 100, 1000)) | st.floats(-1e6, 1e6)
days = st.dates() | st.dates(date(1600, 1, 1), date(2200, 12, 31)) | st.sampled_from((date(1600, 1, 1), date.max))


@st.composite
def extremes(draw):
    """A sample with a few of its figures replaced."""
    document = tomllib.loads(tomli_w.dumps(SAMPLES[draw(st.sampled_from(sorted(SAMPLES)))]))
    market, costs = document["market"], document.setdefault("costs", {})
    comparables = market.get("comparables", [])
    document["assignment"]["basis"] = draw(st.sampled_from(BASES))
    for _ in range(draw(st.integers(1, 4))):
        match draw(st.sampled_from(("price", "comparable", "cost", "share", "rate", "day", "sale", "made"))):
            case "price":
                market[draw(st.sampled_from(PRICES[:3]))] = draw(money)
            case "comparable" if comparables:
                draw(st.sampled_from(comparables))[draw(st.sampled_from((PRICES[0], PRICES[3])))] = draw(money)
            case "cost":
                costs[draw(st.sampled_from(COSTS))] = draw(money)
            case "share":
                costs[draw(st.sampled_from(SHARES))] = draw(percents)
            case "rate":
                market["yearly_price_change_pct"] = draw(percents)
            case "day":
                document["assignment"]["inspected"] = draw(days)
                document["assignment"].pop("reported", None)
            case "sale" if comparables:
                draw(st.sampled_from(comparables))["date"] = draw(days)
            case "made":
                document["identity"]["made"] = draw(days)
    return document


def finite(found):
    """Tell whether a valuation has figures alone."""
    spans = filter(None, (found.value, found.exact, found.share_of_new, found.salvage, found.left_alone))
    return all(math.isfinite(figure) for span in spans for figure in (span.low, span.mid, span.high))


@settings(max_examples=examples(120))
@given(document=extremes(), day=days)
def test_figures_of_any_size_are_refused_in_lines_or_valued(document, day, tmp_path_factory):
    path = tmp_path_factory.mktemp("case") / "case.toml"
    path.write_bytes(tomli_w.dumps(document).encode())
    case, problems = read_case(path, TABLES)
    for problem in problems:
        assert "\n" not in str(problem)
        assert str(problem).startswith(f"{path}:")
        assert problem.found
        assert problem.expected
    if case is None:
        assert problems
        return
    assert finite(value_case(case, TABLES, draws=100))
    try:
        other = on_day(case, day)
    except InputError as refused:
        assert "\n" not in str(refused)
        return
    assert finite(value_case(other, TABLES, draws=100))


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "1599-12-31", "2201-01-01"])
@pytest.mark.parametrize("command", ["value", "why", "check"])
def test_a_day_that_no_case_can_be_of_is_refused_in_one_line(command, day, capsys):
    path = data_folder("sample_cases") / "recent_grand.toml"
    code = main([command, str(path), "--date", day])
    err = capsys.readouterr().err
    assert code == 2
    assert len(err.splitlines()) == 1
    assert f'found "{day}", expected a year from 1600 to 2200' in err


@settings(max_examples=examples(40))
@given(document=extremes())
def test_figures_of_any_size_are_explained(document, tmp_path_factory):
    """Prices adjusted down to nothing or below it among them: carriage can come to more than an instrument brings."""
    path = tmp_path_factory.mktemp("case") / "case.toml"
    path.write_bytes(tomli_w.dumps(document).encode())
    case, _ = read_case(path, TABLES)
    if case is not None:
        tree = reason_tree(case, TABLES, value_case(case, TABLES, draws=100))
        assert all(math.isfinite(node.value) for node in walk(tree) if isinstance(node.value, float))


def walk(node):
    """Yield a node and everything below it."""
    yield node
    for part in node.parts:
        yield from walk(part)
