"""Settings on the screen: the same file as the command's, changed at once, in force at once."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from appraise.app import AppraiseApp
from appraise.commands import put_in_force
from appraise.screens.choose import ChooseScreen
from appraise.screens.entry import EntryScreen
from appraise.screens.own_settings import SettingRows, SettingsScreen
from appraise.store.own_settings import OwnSettings, own_settings
from appraise.store.read import read_case
from appraise.store.settings_sections import NewCaseSettings, WalkSettings
from appraise.widgets.field_rows import FieldRows
from tests.helpers.screen_text import screen_text, settle


@pytest.fixture
def own(tmp_path, monkeypatch):
    path = tmp_path / "mine" / "settings.toml"
    monkeypatch.setenv("APPRAISE_SETTINGS", str(path))
    return path


async def opened(app, pilot):
    await settle(pilot)
    await pilot.press("ctrl+x")
    await settle(pilot)
    assert isinstance(app.screen, SettingsScreen)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
async def test_what_holds_is_shown_with_what_each_does(app_on, own, size, screen_snapshot, monkeypatch):
    monkeypatch.chdir(own.parent.parent)
    monkeypatch.setenv("APPRAISE_SETTINGS", "mine/settings.toml")
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot)
        assert screen_text(app) == screen_snapshot


async def test_each_is_changed_where_it_stands_and_kept_at_once(app_on, own, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await opened(app, pilot)
        await pilot.press("space")
        await settle(pilot)
        assert own_settings() == app.settings == OwnSettings(WalkSettings(move_on=False))
        await pilot.press("down", *"R. Hale", "enter")
        await settle(pilot)
        app.screen.query_one(SettingRows).go("new_case.currency")
        await pilot.press(*"eux", "enter")
        await settle(pilot)
        assert isinstance(app.screen, EntryScreen)
        assert "expected a currency of ISO 4217" in screen_text(app)
        await pilot.press("backspace", *"r", "enter")
        await settle(pilot)
        app.screen.query_one(SettingRows).go("new_case.units")
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, ChooseScreen)
        await pilot.press("i", "enter")
        await settle(pilot)
        begun = NewCaseSettings("R. Hale", currency="EUR", units="inch")
        assert own_settings() == app.settings == OwnSettings(WalkSettings(move_on=False), begun)
        await pilot.press("delete")
        await settle(pilot)
        assert own_settings().new_case.units == ""
        await pilot.press("escape")
        await settle(pilot)
        assert app.screen.moves_on is False


async def test_what_cannot_be_kept_is_said_and_does_not_hold(app_on, own):
    own.parent.write_text("")
    app = app_on()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await opened(app, pilot)
        await pilot.press("enter")
        await settle(pilot)
        assert app.settings == OwnSettings()
        assert "cannot be written" in screen_text(app)


async def test_a_new_case_begins_with_them(app_on, own, folder, tables):
    app = app_on()
    app.settings = OwnSettings(
        new_case=NewCaseSettings("R. Hale", "Torque gauge", "GBP", "en_GB", "inch", labour_rate="62.5", margin_pct="35")
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f3", "u", "enter", *"Ostravell", "f2")
        await settle(pilot)
    case = read_case(folder / "ostravell.toml", tables)[0]
    asked = case.assignment
    assert (str(case.costs.labour_rate), case.costs.margin_pct) == ("62.5", 35.0)
    assert (asked.assessor, asked.equipment, asked.currency) == ("R. Hale", "Torque gauge", "GBP")
    assert (asked.locale, asked.units.value) == ("en_GB", "inch")


async def test_own_keys_work_and_are_shown_on_every_screen(folder, tables, own, sheet):
    own.parent.mkdir()
    own.write_text(
        '[keys]\nwhy = "F5"\nresult = "F4"\nsave = "F24 Ctrl+S"\ncommand_palette = "Ctrl+B"\nundo = "Ctrl+N"\n'
        'next_check = "F3"\n'
    )
    app = AppraiseApp(folder, tables, sheet, own_settings())
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        foot = screen_text(app).splitlines()[-1]
        assert "F24 Save" in foot
        assert "F4 Result" in foot
        assert "Ctrl+B More" in foot
        await pilot.press("f4")
        await settle(pilot)
        assert type(app.screen).__name__ == "ResultScreen"
        await pilot.press("f1")
        await settle(pilot)
        assert "F24 Ctrl+S" in screen_text(app)
        await pilot.press("escape", "escape")
        await settle(pilot)
        await pilot.press("f2")
        await settle(pilot)
        assert not sheet.dirty
        await pilot.press("f5")
        await settle(pilot)
        assert type(app.screen).__name__ == "WhyScreen"
        await pilot.press("escape", "f6")
        await settle(pilot)
        app.screen.query_one(FieldRows).go("assignment.limits")
        await pilot.press("x")
        await settle(pilot)
        await pilot.press("f24")  # taken and saved, in a dialog as well
        await settle(pilot)
        assert sheet.case.assignment.limits == "x"
        assert not sheet.dirty
        await pilot.press("ctrl+n")
        await settle(pilot)
        assert sheet.case.assignment.limits == ""
        await pilot.press("ctrl+b")
        await settle(pilot)
        assert "(F24)" in screen_text(app)
    put_in_force({})


async def test_a_key_is_changed_on_the_screen_and_one_that_is_taken_is_refused(app_on, own, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await opened(app, pilot)
        app.screen.query_one(SettingRows).go("keys.save")
        await pilot.press("enter", *("backspace",) * 9, *"F5", "enter")
        await settle(pilot)
        assert "which is Result as well" in " ".join(screen_text(app).split())
        await pilot.press("enter", *("backspace",) * 9, *"F20", "enter")
        await settle(pilot)
        assert own_settings().keys.save == "F20"
        await pilot.press("escape")
        await settle(pilot)
        assert "F20 Save" in screen_text(app).splitlines()[-1]
    put_in_force({})


async def test_colours_are_kept_when_somebody_changes_them_and_never_else(app_on, own, folder, tables):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert app.theme == "workshop"
    assert not own.exists()
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f9")
        await settle(pilot)
        assert app.theme == "daylight"
    assert tomllib.loads(own.read_text()) == {"schema": 1, "screen": {"theme": "daylight"}}
    app = AppraiseApp(folder, tables, settings=own_settings())
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert app.theme == "daylight"


async def test_alone_they_are_left_for_good(own):
    app = AppraiseApp(Path(), settings=OwnSettings(), alone="own_settings")
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert isinstance(app.screen, SettingsScreen)
        assert len(app.screen_stack) == 2
        await pilot.press("space")
        await settle(pilot)
        assert own_settings().walk.move_on is False
        await pilot.press("escape")
        await settle(pilot)
    assert app.return_value == 0
