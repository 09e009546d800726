"""The score of past valuations, against statsmodels and SciPy."""

from __future__ import annotations

import json
from dataclasses import replace
from math import log

import pytest
from scipy.stats import kstest
from statsmodels.stats.proportion import proportion_confint

from appraise.cli.parser import main
from appraise.evidence.book import book
from appraise.evidence.score import advice, calibration, place, score
from tests.helpers.sales import Z90, sale, valued


def test_counts_and_wilson_interval():
    """Wilson's interval against statsmodels."""
    (group, *others) = score([*valued(90), sale()])
    assert group.n == group.within + group.below + group.above == 90
    low, high = proportion_confint(group.within, 90, alpha=0.05, method="wilson")
    assert group.interval == pytest.approx((low, high), abs=1e-9)
    assert [other.name for other in others] == ["grand", "upright"]
    assert sum(other.n for other in others[:2]) == 90


def test_places_are_even_where_ranges_are_calibrated():
    """Probability integral transform against SciPy's Kolmogorov test."""
    (group, *_) = score(valued(2000))
    assert kstest(group.pit, "uniform").pvalue > 0.01
    assert group.wider == pytest.approx(1.0, abs=0.06)
    (narrow, *_) = score(valued(2000, told=0.1))
    assert kstest(narrow.pit, "uniform").pvalue < 1e-6
    assert narrow.wider == pytest.approx(2.0, abs=0.12)


def test_a_price_at_an_end_of_its_range_has_that_percentile():
    (one,) = valued(1)
    assert place(replace(one, price=one.low)) == pytest.approx(-Z90, abs=1e-3)
    assert place(replace(one, price=one.middle)) == pytest.approx(0.0, abs=1e-9)
    assert place(replace(one, price=one.high)) == pytest.approx(Z90, abs=1e-3)


def test_advice_in_words():
    (sound, *_) = score(valued(100, seed=3))
    assert "hold what they promise" in advice(sound)[0]
    (high, *_) = score(valued(60, shift=-0.3, seed=3))
    assert "too high" in advice(high)[0]
    assert log(high.ratio) == pytest.approx(-0.3, abs=0.1)
    (narrow, *_) = score(valued(100, told=0.08))
    assert "too narrow" in advice(narrow)[0]
    (wide, *_) = score(valued(100, told=0.6))
    assert "wider than they need be" in advice(wide)[0]
    (few, *_) = score(valued(4))
    assert advice(few)[0].startswith("4 of 10 sales")


def test_the_chart_shows_every_sale():
    (group, *_) = score(valued(25))
    chart = calibration(group)
    assert len(chart.series[0].points) == 25
    assert [y for _, y in chart.series[0].points] == sorted(y for _, y in chart.series[0].points)


def test_ranges_that_only_lean_are_not_called_too_narrow():
    (group, *_) = score(valued(400, shift=-0.3, sd=0.19))
    assert group.leans
    assert group.misses
    middle, width = advice(group)
    assert "too high" in middle
    assert width.endswith("about the moved middle your ranges would be wide enough.")


def test_command(tmp_path, capsys):
    kept, picture = tmp_path / "sales.sqlite3", tmp_path / "score.svg"
    with book(kept, create=True) as found:
        found.add(valued(40, shift=-0.3))
    assert main(["sales", "score", "--book", str(kept), "--svg", str(picture)]) == 0
    out = capsys.readouterr().out
    assert "too high" in out
    assert "Calibration of past ranges" in out
    assert picture.read_text().rstrip().endswith("</svg>")
    assert main(["sales", "score", "--book", str(kept), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["groups"][0]["n"] == 40
