"""The foot of a screen: what it shows follows what keys work, and a mouse can do all that its keys do."""

from __future__ import annotations

from textual import events
from textual.widgets import Tooltip

from appraise.screens.result import ResultScreen
from appraise.widgets.footer import Foot
from tests.helpers.mouse import click_foot
from tests.helpers.screen_text import screen_text, settle, until


def foot(app) -> str:
    return screen_text(app).splitlines()[-1]


async def test_the_way_to_all_commands_stays_and_the_wheel_shows_what_has_no_room(app_on, sheet):
    async with app_on(sheet).run_test(size=(44, 24)) as pilot:
        app = pilot.app
        await settle(pilot)
        narrow = foot(app)
        assert narrow.startswith("F2 Save F3 Next check")
        assert narrow.endswith("▏Ctrl+P More")
        assert "Help" not in narrow
        line = app.screen.query_one(Foot)
        for _ in range(9):
            await pilot._post_mouse_events([events.MouseScrollDown], widget=line, offset=(2, 0), button=0)
        await settle(pilot)
        assert "F1 Help" in foot(app)
        assert foot(app).endswith("▏Ctrl+P More")
        for _ in range(9):
            await pilot._post_mouse_events([events.MouseScrollUp], widget=line, offset=(2, 0), button=0)
        await settle(pilot)
        assert foot(app) == narrow


async def test_a_click_does_what_the_key_does_and_between_two_keys_nothing(app_on, sheet):
    async with app_on(sheet).run_test(size=(80, 24)) as pilot:
        app = pilot.app
        await settle(pilot)
        front = app.screen
        await pilot.click(offset=(foot(app).index("F3") - 1, 23))
        await pilot.click(offset=(foot(app).index("Help") + 6, 23))
        await settle(pilot)
        assert app.screen is front
        await click_foot(pilot, "Result")
        assert isinstance(app.screen, ResultScreen)
        assert "F5 Charts" in foot(app)


async def test_a_key_under_the_mouse_says_what_it_does(app_on, sheet, monkeypatch):
    async with app_on(sheet).run_test(size=(80, 24), tooltips=True) as pilot:
        app = pilot.app
        monkeypatch.setattr(app, "TOOLTIP_DELAY", 0.01)
        await settle(pilot)
        line = app.screen.query_one(Foot)
        (save,) = (key for key in line.keys if key.description == "Save")
        assert save.tooltip
        await pilot.hover(offset=(1, 23))
        await until(pilot, lambda: app.screen.get_child_by_type(Tooltip).display)
        assert line.tooltip == save.tooltip
        assert line.styles.pointer == "pointer"
        await pilot.hover(offset=(1, 10))
        await settle(pilot)
        assert line.tooltip is None
