"""A case measured in inches: every screen shows and takes lengths, torques and °F; the file stays metric."""

from __future__ import annotations

import pytest
from textual.widgets import Input, Static

from appraise.model.problem import InputError
from appraise.model.quantities import Units, with_unit
from appraise.screens.measurements import MeasurementsScreen
from appraise.screens.particulars import ParticularsScreen
from appraise.screens.readings import ReadingsScreen
from appraise.services.fields import parse, shown
from appraise.services.particulars import SECTIONS
from appraise.services.quantity_limits import quantity_of, tolerance
from appraise.services.walk import readings_of
from appraise.tables.load import load_tables
from appraise.widgets.check_form import CheckForm
from tests.helpers.screen_text import screen_text, settle

TABLES = load_tables()
TORQUE, DIP = TABLES.checks["pin_torque"], TABLES.checks["key_dip"]
FIELDS = {field.path: field for _, fields in SECTIONS for field in fields}
SIZE = FIELDS["identity", "size_cm"]


@pytest.fixture
def inches(sheet):
    sheet.put(("assignment", "units"), Units.INCH, "units")
    return sheet


@pytest.mark.parametrize(
    ("text", "kept"),
    # 1 in = 25.4 mm exactly; 1 in·lb = 0.112985 N·m: the international yard and pound agreement of 1959.
    [("0.4", 10.16), ("0.4 in", 10.16), ("10 mm", 10.0), ("1 cm", 10.0), ("3/8 in", 9.525), ('0.4"', 10.16)],
)
def test_a_number_alone_is_in_the_unit_that_is_shown_and_a_typed_one_wins(text, kept):
    assert quantity_of(DIP).read(text, Units.INCH) == pytest.approx(kept, abs=1e-5)


def test_in_metric_a_number_alone_is_metric():
    assert quantity_of(DIP).read("10.16") == 10.16
    assert quantity_of(TORQUE).read("60", Units.INCH) == pytest.approx(60 * 0.1129848290276167, abs=1e-5)


def test_what_cannot_be_is_refused_in_the_units_of_the_case():
    with pytest.raises(InputError, match=r"^found 10 in, which cannot be, expected .* in$"):
        quantity_of(DIP).read("10", Units.INCH)
    with pytest.raises(InputError, match=r"expected a number in inches$"):
        quantity_of(DIP).read("much", Units.INCH)


def test_tolerances_are_shown_in_them():
    low, high = TORQUE.plausible
    assert "in·lb" in tolerance(TORQUE, Units.INCH)
    assert "N·m" not in tolerance(TORQUE, Units.INCH)
    assert with_unit(25.4, "mm", Units.INCH) == "1 in"
    assert with_unit(20.0, "°C", Units.INCH) == "68 °F"
    assert with_unit(50.0, "g", Units.INCH) == "50 g"  # touch is weighed in grams everywhere
    assert low < high


def test_no_check_is_in_a_unit_whose_spread_would_need_another_nought():
    assert {check.unit for check in TABLES.checks.values()}.isdisjoint({"°C"})


def test_a_field_is_shown_and_taken_in_inches_and_kept_in_centimetres(inches):
    case = inches.case
    assert shown(SIZE, case, TABLES) == "72.8 in"  # 185 cm
    assert parse(SIZE, "74", case, TABLES) == pytest.approx(187.96, abs=0.05)
    assert parse(SIZE, "190 cm", case, TABLES) == 190.0
    assert parse(SIZE, "72.8", case, TABLES) == case.identity.size_cm  # what stood there, entered again
    with pytest.raises(InputError, match=r"not more than 196\.9 in"):
        parse(SIZE, "900", case, TABLES)


async def test_the_walk_shows_and_takes_inches(app_on, inches):
    app = app_on(inches)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        form = app.screen.query_one(CheckForm)
        lengths = (row for row in form._form if row.check is not None and row.check.unit == "mm")
        row = next(row for row in lengths if not row.check.per_note and not row.answer)
        check = row.check
        form.go(row.key)
        await settle(pilot)
        assert row.unit == "in"
        shown_text = screen_text(app)
        assert " in" in shown_text
        assert not any(f" {unit}" in shown_text for unit in ("N·m", "mm "))
        await pilot.press("enter")
        await settle(pilot)
        assert "[in]" in screen_text(app)
        middle = 0.5 * sum(check.plausible) / 25.4
        app.screen.query_one(Input).value = f"{middle:.3f}"
        await pilot.press("enter")
        await settle(pilot)
        (reading,) = readings_of(inches.case, check.key)
        assert (reading.value, reading.unit) == (pytest.approx(round(middle, 3) * 25.4), "mm")
        await pilot.press("enter", "enter")
        await settle(pilot)
        assert list(readings_of(inches.case, check.key)) == [reading]  # entered again as it stood


async def test_readings_note_by_note_and_the_strip_are_in_them(app_on, inches, tmp_path):
    app = app_on(inches)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        inches.clear("pin_torque")
        app.push_screen(ReadingsScreen(inches, TORQUE))
        await settle(pilot)
        text = screen_text(app)
        assert "[in·lb]" in text
        assert "N·m" not in text
        app.screen.query_one(Input).value = "40 65"
        await pilot.press("enter")
        app.screen.query_one(Input).value = "41 7.4 N·m"
        await pilot.press("enter")
        await settle(pilot)
        values = {reading.note: reading.value for reading in readings_of(inches.case, "pin_torque")}
        assert values == {40: pytest.approx(65 * 0.1129848290276167, abs=1e-5), 41: 7.4}
        text = screen_text(app)
        assert "65 in·lb" in text
        assert "65.5 in·lb" in text  # 7.4 N·m
        assert "N·m" not in text
        band = app.screen.query_one("#keybed")._band
        assert band.low < 65 < band.high  # the scale of the plot is that of the figures beside it
        file = tmp_path / "torque.csv"
        file.write_text("note,value\n42,70\n43,8 N·m\n")
        app.screen._take_file(file)
        values = {reading.note: reading.value for reading in readings_of(inches.case, "pin_torque")}
        assert values[42] == pytest.approx(70 * 0.1129848290276167, abs=1e-5)
        assert values[43] == 8.0


async def test_the_particulars_say_inches_beside_the_field(app_on, inches):
    app = app_on(inches)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        app.push_screen(ParticularsScreen(inches))
        await settle(pilot)
        assert "72.8 in" in screen_text(app)
        await pilot.press("down", "down", "down", "enter")
        await settle(pilot)
        assert "Size [in]" in screen_text(app)
        await pilot.press("enter")
        await settle(pilot)
    assert inches.case.identity.size_cm == 185.0


async def test_the_instruments_answer_and_ask_in_them(app_on, inches):
    app = app_on(inches)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        app.push_screen(MeasurementsScreen(inches, "wood"))
        await settle(pilot)
        screen = app.screen
        assert "68 °F" in screen_text(app)
        assert "°C" not in screen_text(app)
        screen._typed["wood"]["width"] = "48"
        screen._typed["wood"]["to_rh"] = "25 %"
        screen._show_answer()
        await settle(pilot)
        text = screen_text(app)
        assert "48 in" in text
        assert " mm" not in text
        app.push_screen(MeasurementsScreen(inches, "string"))
        await settle(pilot)
        assert "15.75 in" in screen_text(app)
        await pilot.press("down", "down", "enter")
        await settle(pilot)
        assert "String: length [in]" in screen_text(app)
        assert "a number alone is in in" in screen_text(app)
        app.screen.query_one(Input).value = "20"
        await pilot.press("enter")
        await settle(pilot)
        assert "20 in" in screen_text(app)
        assert isinstance(app.screen.query_one("#page", Static), Static)
