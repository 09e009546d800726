"""Plots drawn with letters: never wider than asked, every point and span there, hostile labels harmless."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from appraise.model.measurement import Plot
from appraise.report.measured import HEIGHT, plot_lines

numbers = st.floats(-1e6, 1e6)


@given(st.lists(st.tuples(numbers, numbers), max_size=40), st.integers(30, 120), st.text(max_size=60))
def test_never_wider_than_asked(points, width, label):
    plot = Plot("p", "p", "x", "g", tuple(points), spans=((label, -5.0, 5.0),))
    lines = plot_lines(plot, width)
    assert all(len(line) <= width + len("1.235e+06 x") for line in lines)
    assert not any(ord(letter) < 32 or ord(letter) == 127 for line in lines for letter in line)


def test_points_stand_where_they_are():
    lines = plot_lines(Plot("p", "p", "note", "g", ((1.0, 50.0), (88.0, 40.0))), 60)
    assert len(lines) == HEIGHT + 1
    assert lines[0].startswith("50 ●")
    assert lines[HEIGHT - 1].endswith("●")
    assert lines[-1].split() == ["1", "88", "note"]


def test_a_curve_is_highest_where_it_is_densest():
    points = tuple((float(n), 1.0 if n == 20 else 0.2) for n in range(41))
    lines = plot_lines(Plot("p", "p", "years", points=points, line=True, spans=(("clue", 10.0, 30.0),)), 60)
    assert lines[0].strip() in {"█", "▇"}
    assert "├" in lines[-2]
    assert "┤" in lines[-2]


def test_nothing_to_draw():
    assert plot_lines(Plot("p", "p", "x")) == []
