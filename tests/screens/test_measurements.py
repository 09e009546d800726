"""The instruments on the screen: what the case holds, what is typed beside it, and the way to the notes."""

import pytest
from textual.widgets import Input, Static

from appraise.model.quantities import Units
from appraise.screens.measurements import MeasurementsScreen, ToolRows
from appraise.screens.readings import ReadingsScreen
from tests.helpers.screen_text import screen_text, settle


async def open_at(pilot, app, sheet, key):
    await settle(pilot)
    await app.push_screen(MeasurementsScreen(sheet, key))
    await settle(pilot)
    await pilot.pause()


async def test_an_instrument_without_readings_says_where_to_take_them(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_at(pilot, app, sheet, "touch")
        assert "No downweights yet" in screen_text(app)
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, ReadingsScreen)


async def test_readings_of_the_case_come_to_an_answer(app_on, sheet):
    for note, down, up in ((1, 56, 32), (40, 50, 26), (88, 46, 24)):
        sheet.set_reading("downweight_grand", float(down), note=note)
        sheet.set_reading("upweight", float(up), note=note)
    app = app_on(sheet)
    async with app.run_test(size=(120, 40)) as pilot:
        await open_at(pilot, app, sheet, "touch")
        text = screen_text(app)
        assert "Touchweight, grand: 3 of 88 notes" in text
        assert "11.67 g" in text  # friction: the mean of 12, 12 and 11 g


async def test_a_figure_is_typed_and_the_answer_follows(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(120, 40)) as pilot:
        await open_at(pilot, app, sheet, "string")
        assert "763.9 N" in screen_text(app)  # the worked string: 440 Hz, 400 mm, 1 mm
        app.screen.query_one(ToolRows).go("string.length")
        for text, refused in (("4000 km", True), ("200 mm", False)):
            await pilot.press("enter")
            await settle(pilot)
            app.screen.query_one(Input).value = text
            await pilot.press("enter")
            await settle(pilot)
            if refused:
                assert "✗" in str(app.screen.query_one("#wrong", Static).content)
                await pilot.press("escape", "right", "enter")
                await settle(pilot)
        assert "191 N" in screen_text(app)  # half the length, a quarter of the tension


async def test_walking_down_the_list_shows_each(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_at(pilot, app, sheet, "touch")
        seen = set()
        for _ in range(30):
            seen.add(app.screen.chosen.key)
            await pilot.press("down")
            await settle(pilot)
        assert seen >= {"touch", "regulation", "torque", "dampers", "wood", "string"}


async def test_a_logger_file_is_named_or_refused(app_on, sheet, tmp_path):
    good, bad = tmp_path / "log.csv", tmp_path / "bad.csv"
    lines = "".join(f"2026-01-{day:02} 12:00,20,{30 + day}\n" for day in range(1, 29))
    good.write_text("time,temp C,rh\n" + lines, encoding="utf-8")
    bad.write_text("time,temp C,rh\n2026-01-01 12:00,20,300\n2026-01-02 12:00,20,40\n", encoding="utf-8")
    app = app_on(sheet)
    async with app.run_test(size=(120, 40)) as pilot:
        await open_at(pilot, app, sheet, "wood")
        app.screen.query_one(ToolRows).go("wood.log")
        for path in (bad, good):
            await pilot.press("enter")
            await settle(pilot)
            app.screen.query_one(Input).value = str(path)
            await pilot.press("enter")
            await settle(pilot)
            if path is bad:
                assert "bad.csv:2" in str(app.screen.query_one("#wrong", Static).content)
                await pilot.press("escape", "right", "enter")
                await settle(pilot)
        assert "Data logger: the air of the room" in screen_text(app)


async def test_what_is_typed_on_a_figure_goes_into_it(app_on, sheet, tmp_path):
    path = tmp_path / "a_folder_with_a_long_name_for_readings" / "log.csv"
    path.parent.mkdir()
    lines = "".join(f"2026-01-{day:02} 12:00,20,{30 + day}\n" for day in range(1, 29))
    path.write_text("time,temperature_c,rh_pct\n" + lines, encoding="utf-8")
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_at(pilot, app, sheet, "wood")
        app.screen.query_one(ToolRows).go("wood.log")
        for letter in str(path):
            await pilot.press("slash" if letter == "/" else "full_stop" if letter == "." else letter)
        await settle(pilot)
        assert app.screen.query_one(Input).value == str(path)
        await pilot.press("enter")
        await settle(pilot)
        text = screen_text(app)
        assert "Data logger: the air of the room" in text
        assert "log.csv" in text  # its end is what tells one file from another
        # On an instrument itself a letter opens nothing.
        app.screen.query_one(ToolRows).go("wood")
        await pilot.press("x")
        await settle(pilot)
        assert isinstance(app.screen, MeasurementsScreen)


@pytest.mark.parametrize("units", list(Units))
async def test_units_stand_in_the_columns_of_their_headings(app_on, sheet, screen_snapshot, units):
    for note, torque in ((3, 9.8), (9, 10.4), (30, 8.6), (41, 3.4), (60, 9.1), (75, 8.2), (86, 12.5)):
        sheet.set_reading("pin_torque", torque, note=note)
    sheet.put(("assignment", "units"), units, "units")
    app = app_on(sheet)
    async with app.run_test(size=(120, 40)) as pilot:
        await open_at(pilot, app, sheet, "torque")
        app.screen.query_one("#answer").scroll_to(y=16, animate=False)
        await settle(pilot)
        text = screen_text(app)
    assert text == screen_snapshot
