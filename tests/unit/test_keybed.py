"""The keybed strip: which key stands where, on every compass, and what a sample says beside it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.model.case import Reading
from appraise.model.notes import name_of
from appraise.services.keybed_view import note_label, sections, strip_band, strip_marks, summary
from appraise.services.note_readings import notes_typed
from appraise.widgets.keybed import level, pitch_class, places


@pytest.mark.parametrize(
    ("compass", "naturals", "sharps"),
    # Common practice, no source: 88 notes have 52 naturals and 36 sharps; 85 end at A7; 97 begin at C0.
    [(88, 52, 36), (85, 50, 35), (97, 57, 40)],
)
def test_naturals_and_sharps_of_a_compass(compass, naturals, sharps):
    at = places(compass)
    assert sum(not sharp for _, sharp in at) == naturals
    assert sum(sharp for _, sharp in at) == sharps
    assert at[-1][0] + 1 == naturals


def test_sharps_stand_over_the_natural_to_their_left():
    at = places(88)
    for note, (column, sharp) in enumerate(at, 1):
        assert sharp is ("#" in name_of(note))
        if sharp:
            assert at[note - 2] == (column, False)


def test_the_extra_notes_lie_below():
    # Common practice, no source: a compass of 97 goes down to C0, so its tenth note is A0.
    assert pitch_class(1, 9) == 0
    assert pitch_class(10, 9) == pitch_class(1)


@given(st.floats(1.0, 5.0), st.floats(1.0, 5.0))
def test_a_worse_grade_never_has_a_lower_mark(first, second):
    marks = "▁▂▄▆▇"
    low, high = sorted((first, second))
    assert marks.index(level(low)) <= marks.index(level(high))


@pytest.mark.parametrize(
    ("text", "notes"),
    [("49", (49,)), ("A4", (49,)), ("46-48", (46, 47, 48)), ("C8", (88,)), ("0", None), ("89", None), ("x", None)],
)
def test_notes_as_typed(text, notes):
    assert notes_typed(text, 88) == notes


def test_a_short_compass_refuses_what_it_lacks():
    assert notes_typed("C8", 85) is None
    assert notes_typed("84-88", 85) is None
    assert note_label(49, 88) == "49 A4"
    assert note_label(49, 97) == "49"


def readings(check, values):
    return [Reading(check.key, value, check.unit, note) for note, value in values.items()]


def test_marks_carry_the_grade_of_the_anchors(tables):
    check = tables.checks["pin_torque"]
    marks = strip_marks(check, readings(check, {1: 9.0, 40: 5.4, 88: 2.8}))
    assert marks == {1: (9.0, 1.5), 40: (5.4, 3.0), 88: (2.8, 4.5)}


@given(st.lists(st.floats(0.1, 44.0), min_size=1, max_size=88))
def test_the_scale_holds_nearly_all(values):
    from appraise.tables.load import load_tables

    check = load_tables().checks["pin_torque"]
    low, high, sound = strip_band(check, values)
    assert low < high
    assert sum(not low <= value <= high for value in values) <= max(2, len(values) // 10 + 1)
    assert all(low <= a <= b <= high for a, b in sound)


def test_a_sample_is_not_the_whole_compass(tables):
    check = tables.checks["pin_torque"]
    few = summary(check, readings(check, {1: 9.0, 30: 9.1, 60: 8.9}), 88, tables)
    every = summary(check, readings(check, dict.fromkeys(range(1, 89), 9.0)), 88, tables)
    assert any("whole compass, 90% sure" in line for line in few)
    assert not any("whole compass" in line for line in every)
    assert every[0].startswith("88 of 88 notes")


def test_notes_out_of_tolerance_are_named(tables):
    check = tables.checks["pin_torque"]
    said = summary(check, readings(check, {49: 3.0, 60: 9.0}), 88, tables)
    assert "out of tolerance (from 5.4 N·m): 49 A4" in said


def test_sections_rise(tables):
    starts = [first for _, first in sections(tables)]
    assert starts == sorted(starts)
    assert starts[0] == 1
