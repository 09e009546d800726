"""Dating a renewal: the answer and the figures behind its plot."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from appraise.engine.age import histories
from appraise.model.case import Renewal
from appraise.model.problem import InputError
from appraise.model.span import Span
from appraise.services.instruments.dating import date_clues, date_renewal
from appraise.tables.load import load_tables
from tests.helpers.depth import examples
from tests.helpers.report_cases import grand

TABLES = load_tables()
DAY = date(2026, 11, 20)
KEYS = st.lists(st.sampled_from(sorted(TABLES.dating_clues)), max_size=5, unique=True)
MADE = st.none() | st.integers(1850, 2026).map(Span.of_year)


def outputs(dated):
    return {figure.key: figure.value for figure in dated.measurement.outputs}


@settings(max_examples=examples(60), deadline=None)
@given(KEYS, MADE, st.none() | st.integers(1980, 2026).map(Span.of_year))
def test_the_density_integrates_to_one_and_order_does_not_matter(keys, made, documented):
    if made is not None and documented is not None and documented.latest < made.earliest:
        documented = None
    plot = date_clues(keys, TABLES, inspected=DAY, made=made, documented=documented).plot
    assert float(plot.density @ plot.widths) == pytest.approx(1.0, abs=1e-9)
    assert plot.years.shape == plot.density.shape == plot.widths.shape
    assert (plot.density >= 0).all()
    assert (np.diff(plot.years) > 0).all()
    assert plot.low <= plot.median <= plot.high
    again = date_clues(list(reversed(keys)), TABLES, inspected=DAY, made=made, documented=documented).plot
    assert list(again.density) == list(plot.density)
    assert again.clues == plot.clues


def test_the_answer_is_the_age_that_the_engine_uses():
    case = grand()
    renewal = case.renewals[1]
    dated = date_renewal(case, renewal, TABLES)
    history = histories(case, TABLES, ["plain_strings"])["plain_strings"]
    assert outputs(dated)["median_years"] == pytest.approx(history.age)
    assert (dated.plot.low, dated.plot.high) == pytest.approx(history.age_bounds)
    assert {clue.key for clue in dated.plot.clues} == set(renewal.clues)


def test_a_documented_date_wins_and_the_clues_only_stand_beside_it():
    clues = ["copper_bright", "copper_dark"]
    dated = date_clues(clues, TABLES, inspected=DAY, documented=Span.parse("1998"))
    found = outputs(dated)
    assert 27.5 < found["low_years"] < found["median_years"] < found["high_years"] < 29
    assert found["median_year"] == "1998"
    assert [clue.key for clue in dated.plot.clues if clue.disagrees] == ["copper_bright"]
    assert dated.plot.documented
    assert "wins" in dated.measurement.says[0]


def test_clues_that_disagree_are_named():
    keys = ["copper_bright", "wire_grey", "copper_dull"]
    dated = date_clues(keys, TABLES, inspected=DAY, made=Span.of_year(1931))
    assert [clue.key for clue in dated.plot.clues if clue.disagrees] == ["copper_bright"]
    assert outputs(dated)["disagreeing"] == 1
    assert "disagrees with the rest" in dated.measurement.says[0]


def test_without_a_clue_every_year_is_alike():
    dated = date_clues([], TABLES, inspected=DAY, made=Span(date(1926, 11, 20), date(1926, 11, 20)))
    assert outputs(dated)["median_years"] == pytest.approx(50, abs=0.01)
    assert (dated.plot.low, dated.plot.high) == pytest.approx((10, 90), abs=0.02)


@pytest.mark.parametrize(
    ("keys", "more", "words"),
    [
        (["copper_dul"], {}, "expected a dating clue"),
        (["copper_dull", "copper_dull"], {}, "twice"),
        ([], {"documented": Span.of_year(2030)}, "after the inspection"),
        ([], {"made": Span.of_year(2030)}, "after the inspection"),
        ([], {"made": Span.of_year(1950), "documented": Span.of_year(1931)}, "before the instrument"),
    ],
)
def test_what_cannot_be_is_refused(keys, more, words):
    with pytest.raises(InputError, match=words):
        date_clues(keys, TABLES, inspected=DAY, **more)


def test_an_undated_renewal_in_a_case_made_this_year():
    case = replace(grand(), identity=replace(grand().identity, made=Span.parse("2026-11")))
    dated = date_renewal(case, Renewal(("hammers",)), TABLES)
    assert 0 <= dated.plot.low <= dated.plot.high < 0.3
