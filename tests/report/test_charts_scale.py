"""Axes: round figures, few enough, on the values; days and notes as people call them."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.report.charts.scale import day_axis, nice, note_axis, number_axis
from appraise.report.charts.words import fold

finite = st.floats(-1e12, 1e12, allow_nan=False, allow_infinity=False)


@pytest.mark.parametrize(
    ("size", "up", "near"),
    [
        (1.0, 1.0, 1.0),
        (1.4, 2.0, 1.0),
        (2.0, 2.0, 2.0),
        (3.5, 5.0, 5.0),
        (7.5, 10.0, 10.0),
        (0.013, 0.02, 0.01),
        (42.0, 50.0, 50.0),
    ],
)
def test_nice_numbers(size, up, near):
    """Heckbert's rule: 1, 2, 5 and 10 times a power of ten, up to the next one or to the nearest."""
    assert nice(size, up=True) == pytest.approx(up)
    assert nice(size, up=False) == pytest.approx(near)


def test_loose_labels():
    """Loose labels hold the data: for 105 to 543 they are 100, 200 … 600 (Heckbert's own example, from memory)."""
    axis = number_axis([105.0, 543.0], 5)
    assert [text for _, text in axis.ticks] == ["100", "200", "300", "400", "500", "600"]


@given(st.lists(finite, min_size=1, max_size=6), st.integers(2, 12), st.booleans(), st.booleans())
def test_an_axis_holds_its_values_and_its_ticks_rise(values, most, loose, zero):
    axis = number_axis(values, most, loose=loose, zero=zero)
    assert axis.low < axis.high
    slack = 1e-6 * max(1.0, abs(axis.low), abs(axis.high))
    assert all(axis.low - slack <= value <= axis.high + slack for value in values)
    assert all(first < second for (first, _), (second, _) in pairwise(axis.ticks))
    assert len(axis.ticks) <= 2 * most + 2
    assert all(0.0 <= axis.at(value) <= 1.0 for value in values)
    if zero:
        assert axis.low <= 0.0 <= axis.high


@given(st.dates(date(1900, 1, 1), date(2200, 1, 1)), st.integers(1, 40000), st.integers(1, 12))
def test_days_have_ticks_within_and_few_enough(first, days, most):
    low = float(first.toordinal())
    axis = day_axis(low, low + days, most)
    assert axis.low < low
    assert axis.high > low + days
    assert all(axis.low <= place <= axis.high for place, _ in axis.ticks)
    assert len(axis.ticks) <= most + 2


@pytest.mark.parametrize(
    ("first", "last", "texts"),
    [
        (date(2026, 3, 1), date(2026, 3, 9), ["1 Mar 2026", "3 Mar 2026", "5 Mar 2026", "7 Mar 2026", "9 Mar 2026"]),
        (date(2026, 1, 10), date(2026, 6, 1), ["Feb 2026", "Mar 2026", "Apr 2026", "May 2026", "Jun 2026"]),
        (date(2019, 5, 1), date(2023, 5, 1), ["2020", "2021", "2022", "2023"]),
    ],
)
def test_days_as_the_prose_writes_them(first, last, texts):
    axis = day_axis(float(first.toordinal()), float(last.toordinal()), 6)
    assert [text for _, text in axis.ticks] == texts


def test_notes_are_named_at_the_cs_of_the_usual_compass():
    assert note_axis(88, 8).ticks == tuple((4.0 + 12 * n, f"C{n + 1}") for n in range(8))
    assert [text for _, text in note_axis(88, 4).ticks] == ["C1", "C3", "C5", "C7"]
    assert [text for _, text in note_axis(97, 9).ticks] == ["1", "12", "24", "36", "48", "60", "72", "84", "96"]


@given(st.text(alphabet="ab 鋼—", max_size=60), st.integers(3, 20), st.integers(1, 5))
def test_folded_text_fits_and_loses_nothing_without_saying(text, room, most):
    from rich.cells import cell_len

    folded = fold(text, room, most, cell_len)
    assert 1 <= len(folded) <= most
    assert all(cell_len(line) <= room for line in folded)
    whole = "".join(text.split())
    told = "".join("".join(folded).split())
    assert told == whole or (told.endswith("…") and whole.startswith(told[:-1]))
