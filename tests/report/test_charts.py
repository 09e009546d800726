"""What the charts show of a case: the reasoned figures, in words as in marks, and nothing where there is nothing."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from appraise.model.case import PitchReading, Reading
from appraise.model.chart import Bars, Curves, Ranges, Scatter
from appraise.model.loss import Terms
from appraise.report.appraisal import appraisal
from appraise.report.charts import build, condition, worth
from appraise.report.charts.alt import alt
from appraise.report.charts.readings import pitch_log, touch
from appraise.report.loss.compared import StateFile
from appraise.services.loss import Consignment, compared
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.report_cases import CASES, DAY
from tests.report.conftest import DRAWS, valued

MADE = {
    "value_range": {"grand", "priced", "unwanted", "young", "hostile"},
    "what_drives": set(CASES),
    "component_contribution": set(CASES),
    "survival": set(CASES),
    "pitch_log": {"watched"},
    "touch": set(),
}
"""Which of the invented cases give which chart."""

_DAY = re.compile(r"\b\d{1,2} [A-Z][a-z]+ \d{4}\b")
_NOTE = re.compile(r"\b[A-G]#?[0-8]\b")
_NUMBER = re.compile(r"−?\d+(?:,\d{3})*(?:\.\d+)?")


def numbers(text):
    return set(_NUMBER.findall(_NOTE.sub("", _DAY.sub("", text))))


def texts(chart):
    """Every text that is written beside a mark."""
    if isinstance(chart, Ranges):
        return [text for row in chart.rows for text in row.shown]
    if isinstance(chart, Bars):
        return [row.shown for row in chart.rows]
    if isinstance(chart, Curves):
        return [curve.shown for curve in chart.curves]
    assert isinstance(chart, Scatter)
    return [series.shown for series in chart.series] + ([chart.trend.shown] if chart.trend else [])


@pytest.fixture(scope="module")
def weighed():
    """A grand whose touch was weighed across the compass, a note of it far off."""
    case = CASES["grand"]()
    weights = {1: (56, 24), 16: (54, 25), 28: (53, 25), 40: (70, 20), 52: (50, 25), 64: (49, 25), 88: (47, 26)}
    readings = [Reading("downweight_grand", float(down), "g", note) for note, (down, _) in weights.items()]
    readings += [Reading("upweight", float(up), "g", note) for note, (_, up) in weights.items()]
    return appraisal(replace(case, readings=(*case.readings, *readings)), load_tables(), draws=DRAWS)


@pytest.fixture(scope="module")
def moved():
    """A move that damaged an instrument, from the sample cases."""
    tables = load_tables()
    states = []
    for name in ("removal_before.toml", "removal_after.toml"):
        case, problems = read_case(data_folder("sample_cases") / name, tables)
        assert case is not None, problems
        states.append(StateFile(name, "ab" * 32, case))
    return compared(*states, tables, terms=Terms(), consignment=Consignment(), draws=DRAWS)


@pytest.mark.parametrize("name", sorted(CASES))
def test_a_chart_where_there_is_something_to_draw_and_none_where_not(name):
    item = valued(name)
    given = {make for make in MADE if getattr(build, make)(item) is not None}
    assert given == {make for make, cases in MADE.items() if name in cases}
    assert len(build.drawings(item)) == len(given)


def test_every_figure_is_a_node_of_the_tree(item, weighed):
    for each in (item, weighed):
        known = {number for node in each.tree.walk() for number in numbers(node.shown)}
        for drawing in build.drawings(each):
            for text in texts(drawing.chart):
                assert numbers(text) <= known, text
            assert numbers(drawing.says) <= known, drawing.says
            assert drawing.caption.endswith(".")
            assert drawing.says.endswith(".")


def test_what_the_charts_show_is_what_they_say(item, weighed):
    """The first figures of a chart stand in its caption too."""
    for each in (item, weighed):
        for drawing in build.drawings(each):
            first = next(text for text in texts(drawing.chart) if text)
            assert numbers(first) <= numbers(drawing.says)


def test_who_does_not_see_a_chart_is_told_its_kind_and_its_axes(item, weighed):
    """The finding stands in the caption; the text alternative says what picture it is."""
    kinds = {Ranges: "Range chart", Bars: "Bar chart", Curves: "Line chart", Scatter: "Scatter chart"}
    for each in (item, weighed):
        for drawing in build.drawings(each):
            chart, told = drawing.chart, alt(drawing)
            assert told.startswith(f"{kinds[type(chart)]} “{chart.title}”")
            axes = (chart.axis,) if isinstance(chart, Ranges | Bars) else (chart.x, chart.y)
            assert all(axis in told for axis in axes)
            assert drawing.says not in told


def test_every_mark_knows_the_node_it_shows(item):
    for drawing in build.drawings(item):
        chart = drawing.chart
        rows = chart.rows if isinstance(chart, Ranges | Bars) else chart.curves if isinstance(chart, Curves) else ()
        for row in rows:
            assert item.figures.get(row.figure) is not None, row


def test_marks_lie_where_their_figures_say():
    item = valued("grand")
    value = worth.value_range(item).chart.rows[0]
    node = item.figures.get("value")
    assert (value.low, value.mid, value.high) == (item.valuation.value.low, node.value, item.valuation.value.high)
    assert [label for label, _ in value.ticks] == ["5", "25", "75", "95"]
    assert [place for _, place in value.ticks] == [
        amount for p, amount in item.valuation.percentiles if p in (5, 25, 75, 95)
    ]
    for row in worth.what_drives(item).chart.rows:
        assert row.value == pytest.approx(100 * item.figures.get(row.figure).value)
    for row in condition.component_contribution(item, most=None).chart.rows:
        part = item.valuation.component(row.figure.partition(".")[0])
        assert row.value == pytest.approx(100 * part.share * part.depreciation.mid)
        assert row.whole == pytest.approx(100 * part.share)


def test_rows_come_largest_first_and_what_was_lost_adds_up(item):
    for make in (worth.what_drives, condition.component_contribution):
        values = [row.value for row in make(item).chart.rows]
        assert values == sorted(values, reverse=True)
    every = condition.component_contribution(item, most=None).chart.rows
    left = 100.0 - sum(row.value for row in every)
    assert left / 100 == pytest.approx(dict(item.valuation.laws)[item.case.assignment.law], abs=1e-6)
    few = condition.component_contribution(item, most=3)
    assert few.chart.rows == every[:3]


def test_a_survival_falls_from_all_to_the_reported_median(item):
    chart = condition.survival(item).chart
    for curve in chart.curves:
        median = item.figures.get(curve.figure).value
        assert curve.mark == (median, 50.0)
        assert curve.points[0] == (0.0, pytest.approx(100.0))
        heights = [y for _, y in curve.points]
        assert all(above >= below for above, below in pairwise(heights))
        if median > 0.05:  # what is spent falls within a moment
            assert dict(curve.points)[median] == pytest.approx(50.0, abs=1e-3)
    first, *others = chart.curves
    assert first.emphasis
    for curve in others:
        alone = dict(curve.points)
        assert all(y <= alone[x] + 1e-9 for x, y in first.points if x in alone)


def test_the_pitch_log_shows_every_reading_and_its_drift():
    item = valued("watched")
    chart = pitch_log(item).chart
    drawn = sorted(point for series in chart.series for point in series.points)
    assert drawn == sorted((float(r.date.toordinal()), r.cents) for r in item.case.pitch_log)
    assert [series.label for series in chart.series] == ["A2", "A4"]
    (x0, y0), (x1, y1) = chart.trend.points
    assert (y1 - y0) / ((x1 - x0) / 365.2425) == pytest.approx(item.figures.get("pitch.drift").value)
    assert chart.trend.shown == item.figures.spread("pitch.drift")
    assert [point for series in chart.series for point in series.odd] == [
        (float(DAY.replace(2025, 3, 2).toordinal()), -55.0)
    ]
    assert "A4 on 2 March 2025" in pitch_log(item).says


def test_many_notes_of_a_pitch_log_share_the_last_mark():
    readings = tuple(
        PitchReading(DAY.replace(month=month), note, float(note - month))
        for note in range(30, 42)
        for month in (3, 6, 9)
    )
    item = appraisal(replace(CASES["watched"](), pitch_log=readings), load_tables(), draws=DRAWS)
    series = pitch_log(item).chart.series
    assert len(series) == 6
    assert series[-1].label == "other notes"
    assert sum(len(each.points) for each in series) == len(readings)


def test_one_day_of_pitch_is_no_chart():
    assert pitch_log(valued("hostile")) is None


def test_touch_shows_friction_that_follows_and_names_what_stands_out(weighed):
    drawing = touch(weighed)
    series = {each.label: dict(each.points) for each in drawing.chart.series}
    assert list(series) == ["Downweight", "Upweight", "Friction"]
    assert series["Friction"] == {
        note: pytest.approx((down - series["Upweight"][note]) / 2) for note, down in series["Downweight"].items()
    }
    out = {each.label: [note for note, _ in each.odd] for each in drawing.chart.series}
    assert 40.0 in out["Downweight"]
    assert 40.0 in out["Friction"]
    assert "C4" in drawing.says
    norms = weighed.tables.note_norms
    bands = {band.label: band.edges for band in drawing.chart.bands}
    assert set(bands) == {"downweight", "upweight, at least", "friction"}
    line = norms["downweight_grand"]
    assert bands["downweight"][0][1:] == (line.points[0][1] - line.departure, line.points[0][1] + line.departure)
    assert all(high is None for _, _, high in bands["upweight, at least"])


def test_an_upright_shows_its_downweight_alone():
    case = CASES["priced"]()
    readings = tuple(Reading("downweight_upright", 50.0 + n, "g", note) for n, note in enumerate((1, 40, 88)))
    item = appraisal(replace(case, readings=readings), load_tables(), draws=DRAWS)
    assert [each.label for each in touch(item).chart.series] == ["Downweight"]
    one = appraisal(replace(case, readings=readings[:1]), load_tables(), draws=DRAWS)
    assert touch(one) is None


def test_a_larger_compass_counts_its_notes(weighed):
    case = replace(weighed.case, identity=replace(weighed.case.identity, compass=92))
    drawing = touch(appraisal(case, load_tables(), draws=DRAWS))
    assert drawing.chart.notes == 92
    assert "note 40" in drawing.says


def test_before_and_after_are_the_figures_of_the_loss(moved):
    drawing = worth.before_after(moved)
    rows = drawing.chart.rows
    assert [row.label for row in rows] == ["Before", "After", "After, all of unknown origin counted"]
    values = [moved.loss.value_before, *(scenario.value_after for scenario in moved.loss.scenarios)]
    for row, value in zip(rows, values, strict=True):
        assert (row.low, row.mid, row.high) == (value.low, value.mid, value.high)
        assert row.shown == tuple(moved.amount(edge) for edge in (value.low, value.mid, value.high))
        assert moved.spread(value) in drawing.says
    assert worth.before_after(replace(moved, loss=replace(moved.loss, value_before=None))) is None
