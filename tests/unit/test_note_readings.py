"""A line of the keybed strip: a value, or notes and a value; many lines at once; a file."""

from __future__ import annotations

import pytest

from appraise.model.problem import InputError
from appraise.model.quantities import Units
from appraise.services.note_readings import column_of, line_typed, lines_typed


@pytest.fixture
def torque(tables):
    return tables.checks["pin_torque"]


@pytest.mark.parametrize(
    ("text", "notes", "value"),
    [
        ("7.4", (40,), 7.4),
        ("7,4", (40,), 7.4),
        ("A4 7.4", (49,), 7.4),
        ("49: 7.4", (49,), 7.4),
        ("46-48=7.4", (46, 47, 48), 7.4),
        ("65 in·lb", (40,), 7.344),
    ],
)
def test_notes_and_value_of_one_line(torque, text, notes, value):
    found, read = line_typed(text, (40,), torque, 88)
    assert found == notes
    assert read == pytest.approx(value, abs=0.001)


def test_a_number_alone_is_in_the_unit_of_the_case(torque):
    assert line_typed("A4 65", (40,), torque, 88, Units.INCH)[1] == pytest.approx(7.344, abs=0.001)
    assert line_typed("A4 7.4 N·m", (40,), torque, 88, Units.INCH)[1] == 7.4


def test_a_fraction_alone_is_in_inches_where_the_case_is(tables):
    assert line_typed("A4 3/8", (40,), tables.checks["key_dip"], 88, Units.INCH) == ((49,), pytest.approx(9.525))


@pytest.mark.parametrize("text", ["", "7 1/2", "A4", "heavy"])
def test_what_is_neither_is_refused_in_one_line(torque, text):
    with pytest.raises(InputError) as refused:
        line_typed(text, (40,), torque, 88)
    assert "\n" not in str(refused.value)


def test_lines_go_upwards_from_where_they_name_no_note(torque):
    values, following = lines_typed("7.1\n\nC4 6.8\n7.2\n", (20, 21), torque, 88)
    assert values == {20: 7.1, 40: 6.8, 41: 7.2}
    assert following == 42


def test_a_column_of_a_file_begins_at_a_note(torque, tmp_path):
    path = tmp_path / "pins.csv"
    path.write_text("value\n65\n66\n", encoding="utf-8")
    inches = column_of(path, torque, 30, Units.INCH)
    assert list(inches) == [30, 31]
    assert inches[30] == pytest.approx(7.344, abs=0.001)
