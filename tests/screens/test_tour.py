"""The tour: each step goes on when what it asks for is done, on any screen, and it can be left at any time."""

from __future__ import annotations

import shutil

import pytest

from appraise.app import AppraiseApp
from appraise.cli.demo import TOUR
from appraise.services.opening import open_sheet
from appraise.tour import STEPS, TourLine
from tests.helpers.samples import copied_samples
from tests.helpers.screen_text import screen_text, settle


@pytest.fixture
def touring(tmp_path, tables):
    shutil.copytree(copied_samples(), tmp_path / "demo")
    opened = open_sheet(tmp_path / "demo" / TOUR, tables)
    app = AppraiseApp(tmp_path / "demo", tables, opened)
    app.touring = True
    yield app
    opened.worksheet.release()


def at(app) -> int:
    """Return the number of the step that the line on the screen in front shows."""
    (line,) = app.screen.query(TourLine)
    return int(line._text.removeprefix("Tour ").partition("/")[0])


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=str)
async def test_it_is_walked_from_the_first_key_to_the_report(touring, size, screen_snapshot, tmp_path):
    app = touring
    async with app.run_test(size=size) as pilot:

        async def press(*keys):
            for key in keys:
                await pilot.press(key)
            await settle(pilot)
            return at(app)

        async def answer():
            """Answer the check under the cursor as its kind asks."""
            before = app.screen.worksheet.case
            for keys in (("y",), ("3",), ("enter",)):
                if app.screen is not app.screen_stack[1] or app.screen.worksheet.case == before:
                    await press(*keys)
            return at(app)

        await settle(pilot)
        assert at(app) == 1
        assert screen_text(app) == screen_snapshot
        assert await press("f1", "escape", "5", "ctrl+z") == 1, "what it does not ask for leads nowhere"
        assert await press("down") == 2
        assert await press("down") == 2
        assert await press("right") == 3
        assert await answer() == 4
        assert await press("ctrl+z") == 5
        assert await press("f3") == 6
        assert await answer() == 7
        assert await press("f4") == 8
        assert await press("right", "down") == 8
        assert await press("escape") == 9
        assert await press("f5") == 10
        assert await press("f5") == 11
        assert await press("escape") == 12
        assert await press("f12") == 13
        assert "f2" not in STEPS[12].text
        assert await press("f2") == len(STEPS)
        assert screen_text(app) == screen_snapshot
        assert [path.suffix for path in (tmp_path / "demo").glob("barely*") if path.suffix == ".pdf"]


async def test_it_is_left_by_a_click_and_nothing_else_is(touring):
    app = touring
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        await settle(pilot)
        await pilot.click(TourLine)
        await settle(pilot)
        assert not app.screen.query(TourLine)
        await pilot.press("escape")
        await settle(pilot)
        assert type(app.screen).__name__ == "WalkScreen"
        assert not app.screen.query(TourLine)
        await pilot.press("down")
        await settle(pilot)
        assert not app.screen.query(TourLine)


def test_every_step_names_commands_that_are_there(monkeypatch):
    from appraise import commands

    for each in commands.COMMANDS:
        monkeypatch.setitem(commands._own, each.id, f"f1{len(each.id)}")
    for step in STEPS:
        assert "{" not in commands.told(step.text), step.text


async def test_a_message_stands_below_the_step_that_is_to_be_read(touring):
    app = touring
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        for keys in (("y",), ("ctrl+z",)):
            await pilot.press(*keys)
            await settle(pilot)
        line = app.screen.query_one(TourLine)
        shown = [" ".join(text.split()) for text in screen_text(app).splitlines()]
        for at_line, text in enumerate(line._lines(line.content_size.width)):
            assert " ".join(text.plain.split()) in shown[line.region.y + at_line]
        assert any("Undone" in text for text in shown[line.region.bottom :])
