"""Sales that contradict the others: the rule against SciPy's deviation, and what a mark may never do."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import exp, log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import median_abs_deviation

from appraise.engine.outlying import outlying
from appraise.engine.valuation import value_case
from appraise.model.result import Outlying
from appraise.report.appraisal import appraisal
from appraise.report.kinds import ReportKind, document_for
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.depth import examples

TABLES = load_tables()
SCATTER = TABLES.setting("comparable_sd")
CUTOFF = TABLES.setting("sale_outside_score")
CASE, _ = read_case(data_folder("sample_cases") / "renewed_grand.toml", TABLES)
DRAWS = 128


def marks(logs, *, unsure=0.3, scatter=SCATTER):
    return outlying([exp(each) for each in logs], [unsure] * len(logs), scatter, TABLES)


def with_prices(*factors: float, grade: float | None = None):
    """Return a sample with its comparables' prices times factors."""
    sold = tuple(
        replace(one, price=(one.price * Decimal(str(factor))).quantize(Decimal("0.01")))
        for one, factor in zip(CASE.market.comparables, factors, strict=True)
    )
    grades = CASE.grades if grade is None else tuple(replace(each, grade=grade) for each in CASE.grades)
    return replace(CASE, market=replace(CASE.market, comparables=sold), grades=grades)


@given(st.lists(st.floats(-2.0, 1.5), min_size=3, max_size=30))
@settings(max_examples=examples(300), deadline=None)
def test_the_score_is_the_modified_z_score(logs):
    """Against scipy.stats.median_abs_deviation, scaled to the normal, no less than the scatter of one sale."""
    spread = max(float(median_abs_deviation(logs, scale="normal")), SCATTER)
    for at, one in zip(logs, marks(logs, unsure=10.0), strict=True):
        score = (at - float(np.median(logs))) / spread
        assert (one is not None) == (abs(score) > CUTOFF)
        if one is not None:
            assert (one.against, one.score) == ("others", pytest.approx(score))
            assert log(one.times) == pytest.approx(at - float(np.median(logs)))


def test_the_rule_worked_by_hand():
    """Median 2.1, MAD 0.1: 0.6745 · (3.0 − 2.1) / 0.1 = 6.07, beyond 3.5; 0.6745 · 0.1 / 0.1 is not."""
    found = marks([2.0, 2.1, 2.2, 2.1, 3.0], unsure=10.0, scatter=0.01)
    assert found[:4] == (None,) * 4
    assert found[4].score == pytest.approx(6.0705, abs=1e-4)
    assert found[4].times == pytest.approx(exp(0.9))


@pytest.mark.parametrize(
    ("logs", "against"),
    [
        ([], []),
        ([0.3], [""]),
        ([1.6], ["tables"]),
        ([-1.6], ["tables"]),
        ([0.0, 1.6], ["", "tables"]),  # of two that contradict each other the tables tell which
        ([0.0, 0.0, 1.6], ["", "", "others"]),
        ([0.0, 0.05, -1.6], ["", "", "others"]),
        ([1.6, 1.6, 1.6], ["", "", ""]),  # they bear each other out; the tables' own doubt is told elsewhere
        ([0.0, 0.8, 1.6, -0.9], ["", "", "tables", ""]),  # so scattered, they vouch for nobody
    ],
)
def test_whom_a_sale_contradicts(logs, against):
    assert ["" if one is None else one.against for one in marks(logs)] == against


def test_a_slip_of_the_pen_is_told_and_still_counts():
    """A nought too many in one of four prices, in the value, the tree, the report; weights stay as they were."""
    case = with_prices(1, 10, 1, 1)
    found = appraisal(case, TABLES, draws=DRAWS)
    plain = value_case(CASE, TABLES, draws=DRAWS)
    marked = [line.outlying for line in found.valuation.grid]
    assert [one is not None for one in marked] == [False, True, False, False]
    assert marked[1].against == "others"
    assert marked[1].score > CUTOFF
    assert [line.weight for line in found.valuation.grid] == [line.weight for line in plain.grid]
    assert all(line.outlying is None for line in plain.grid)
    (sentence,) = (one for chapter in found.chapters for one in chapter.sentences if "stands out" in one.text)
    assert sentence.text.startswith("Comparable No. 2 (Orvendal Salon 180, 1974, never renewed) stands out: ")
    assert "(stands out)" in str(document_for(ReportKind.FULL, found))


def test_no_figure_hangs_on_a_mark():
    case = with_prices(1, 10, 1, 0.1)
    loud, silent = (
        value_case(
            case,
            replace(
                TABLES,
                settings={
                    **TABLES.settings,
                    "sale_outside_score": replace(TABLES.settings["sale_outside_score"], value=cutoff),
                },
            ),
            draws=DRAWS,
        )
        for cutoff in (1.0, 20.0)
    )
    assert any(line.outlying for line in loud.grid)
    assert not any(line.outlying for line in silent.grid)
    assert replace(loud, grid=tuple(replace(line, outlying=None) for line in loud.grid)) == silent


@pytest.mark.parametrize("grade", [1.0, 2.5, 4.0, 5.0])
def test_no_grade_moves_a_mark(grade):
    expected = [line.outlying for line in value_case(with_prices(1, 4, 1, 1), TABLES, draws=DRAWS).grid]
    assert isinstance(expected[1], Outlying)
    found = value_case(with_prices(1, 4, 1, 1, grade=grade), TABLES, draws=DRAWS)
    assert [line.outlying for line in found.grid] == expected
