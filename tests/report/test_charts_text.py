"""Charts drawn with letters: never wider than asked, every mark and figure there, alike every time."""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from appraise.report.charts import build, condition, worth
from appraise.report.charts.terminal import charts_page
from appraise.report.charts.text import MARKS, NARROWEST, body, lines
from tests.helpers.drawings import HOSTILE, every
from tests.report.conftest import valued

KINDS = sorted(every())
WIDTHS = [NARROWEST, 40, 41, 55, 60, 79, 80, 100, 137]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("label", ["Oak", "鋼琴の響板と駒" * 5, HOSTILE, "unbroken" * 20])
def test_no_line_is_wider_than_asked(kind, width, label):
    for shown in ("EUR 1,200", label):
        drawn = lines(every(label, label, shown)[kind], width)
        assert len(drawn) > 5
        for line in drawn:
            assert cell_len(line) <= width, line
            assert line == line.rstrip()
            assert not set(line) & set("\x00\x1b\x85\u202e\u2066\n")


@pytest.mark.parametrize("width", [40, 60, 80, 100])
def test_charts_of_every_case_fit_and_show_their_figures(item, width):
    for drawing in build.drawings(item):
        drawn = lines(drawing, width)
        assert max(map(cell_len, drawn)) <= width
        told = " ".join(" ".join(drawn).split())
        chart = drawing.chart
        shown = [
            *(row.shown for row in getattr(chart, "rows", ())),
            *(curve.shown for curve in getattr(chart, "curves", ())),
        ]
        for each in shown:
            for text in each if isinstance(each, tuple) else (each,):
                assert text in told, drawn


@pytest.mark.parametrize("kind", KINDS)
def test_a_chart_of_letters(kind, text_snapshot):
    assert lines(every()[kind], 72) == lines(every()[kind], 72)
    assert "\n".join(lines(every()[kind], 72)) + "\n" == text_snapshot


def test_marks_and_letters_are_all_different():
    assert len({mark for pair in MARKS for mark in pair}) == 2 * len(MARKS)
    assert all(cell_len(mark) == 1 for pair in MARKS for mark in pair)
    told = "\n".join(lines(every()["scatter"], 80))
    for full, hollow in MARKS:
        assert full in told
        assert hollow in told
    curves = lines(every()["curves"], 80)
    for letter in "ABCDEFG":
        assert sum(letter in line for line in curves) >= 2


def test_lines_know_the_figures_they_show():
    item = valued("grand")
    for make in (worth.value_range, worth.what_drives, condition.component_contribution, condition.survival):
        drawing = make(item)
        asked = {figure for _, figure in body(drawing, 60) if figure}
        rows = getattr(drawing.chart, "rows", None) or drawing.chart.curves
        assert asked == {row.figure for row in rows}


def test_a_bar_is_as_long_as_its_share():
    drawn = lines(every()["bars"], 72)
    first = next(line for line in drawn if "Oak 1" in line)
    second = next(line for line in drawn if "Oak 2" in line)
    assert first.count("█") / second.count("█") == pytest.approx(7 / 3, rel=0.05)
    assert (first.count("█") + first.count("░")) / second.count("█") == pytest.approx(3, rel=0.05)


def test_the_page_of_charts_has_them_all(item):
    page = "\n".join(text.plain for text in charts_page(item, 80))
    for drawing in build.drawings(item):
        assert drawing.chart.title in page
    assert max(cell_len(line) for line in page.splitlines()) <= 80
    assert max(cell_len(text.plain) for text in charts_page(item, 400)) <= 100
