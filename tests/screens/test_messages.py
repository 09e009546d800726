"""What is said in passing: one message at a time, where it covers nothing that is needed, gone with the next change."""

import errno
import os

import pytest
from textual import events
from textual.geometry import Region
from textual.widgets import Input

from appraise.app import AppraiseApp
from appraise.messages import being_edited
from appraise.screens.entry import EntryScreen
from appraise.screens.readings import ReadingsScreen
from appraise.services.opening import open_sheet
from appraise.services.walk import grade_given
from appraise.store import files
from appraise.tables.rows import CheckKind
from appraise.widgets.check_form import CheckForm
from appraise.widgets.field_rows import FieldRows
from appraise.widgets.footer import Foot
from appraise.widgets.key_hints import KeyHints
from appraise.widgets.next_checks import NextChecks
from tests.helpers.screen_text import screen_text, settle

SIZES = [(80, 24), (60, 20), (120, 40)]
SHORT = "Saved grand.toml"
LONG = (
    "grand.toml was changed by another program. Nothing is overwritten: F2 lays both versions side by side. "
    "Your work is in memory only (No space left on device). Ctrl+E saves it under another name."
)


def toasts(app):
    """The messages on the screen in front."""
    return list(app.screen.query("Toast"))


async def said(pilot, text, *, wrong=False):
    """Say something on the screen in front."""
    pilot.app.screen.notify(text, severity="error" if wrong else "information", timeout=60, markup=False)
    await settle(pilot)
    await pilot.pause()


def free(region: Region, app) -> bool:
    return all(not toast.region.overlaps(region) for toast in toasts(app))


@pytest.fixture(params=SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def size(request):
    return request.param


async def test_only_the_newest_is_shown(app_on, sheet, size):
    app = app_on(sheet)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        for text in ("One", "Two", "Three"):
            await said(pilot, text)
        assert len(toasts(app)) == 1
        text = screen_text(app)
        assert "Three" in text
        assert "Two" not in text


@pytest.mark.parametrize("text", [SHORT, LONG], ids=["short", "long"])
async def test_on_the_walk_the_advice_the_keys_and_the_checks_stay_in_view(app_on, sheet, size, text):
    app = app_on(sheet)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        for key in ("home", "end"):
            app.screen.query_one(CheckForm).focus()
            await pilot.press(key)
            await said(pilot, text, wrong=text is LONG)
            (toast,) = toasts(app)
            assert toast.region.height >= 1
            for kept in (app.screen.query_one(Foot), app.screen.query_one(NextChecks)):
                assert free(kept.region, app)
            assert free(app.screen.query_one(CheckForm).region_of_cursor(), app)
            # All of it can be read.
            shown = " ".join(screen_text(app).replace("▌", " ").replace("█", " ").split())
            assert all(word in shown for word in text.split())


@pytest.mark.parametrize("text", [SHORT, LONG], ids=["short", "long"])
async def test_in_the_particulars_the_field_under_the_cursor_stays_in_view(app_on, sheet, size, text):
    app = app_on(sheet)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        await said(pilot, text, wrong=True)
        rows = app.screen.query_one(FieldRows)
        # Wherever the cursor goes while the message stands.
        for key in ("home", "down", "down", "pagedown", "end", "pageup", "home"):
            await pilot.press(key)
            await pilot.pause()
            assert len(toasts(app)) == 1
            assert free(rows.region_of_cursor(), app)
            assert free(app.screen.query_one(Foot).region, app)


async def test_the_line_that_is_typed_into_stays_in_view(app_on, sheet, size):
    app = app_on(sheet)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        await said(pilot, LONG, wrong=True)
        for row in ("identity.model", "identity.serial"):
            app.screen.query_one(FieldRows).go(row)
            await pilot.press("enter")
            await settle(pilot)
            assert isinstance(app.screen, EntryScreen)
            assert len(toasts(app)) == 1
            assert free(app.screen.query_one(Input).region, app)
            assert free(being_edited(app.screen), app)
            await pilot.press("escape")
            await settle(pilot)


async def test_note_by_note_the_line_and_its_hints_stay_in_view(app_on, sheet, size):
    app = app_on(sheet)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        app.screen.walk_to("pin_block", "pin_torque")
        app.screen.query_one(CheckForm).focus()
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, ReadingsScreen)
        await said(pilot, SHORT)
        assert free(app.screen.query_one(Input).region, app)
        assert free(app.screen.query_one(KeyHints).region, app)


async def test_the_next_change_that_is_kept_takes_the_message_away(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        check = next(
            row for row in sheet.tables.checks.values() if row.kind is CheckKind.GRADED and "grand" in row.kinds
        )
        key = check.key
        app.screen.walk_to(check.station, key)
        app.screen.query_one(CheckForm).focus()
        await settle(pilot)
        await said(pilot, "Old news")
        await pilot.press("down", "up")
        await settle(pilot)
        assert "Old news" in screen_text(app)
        app.screen.query_one(CheckForm).go(key)
        await pilot.press("4")
        await settle(pilot)
        assert grade_given(sheet.case, key).grade == 4
        assert toasts(app) == []
        assert "Old news" not in screen_text(app)
        # What a change says of itself stays.
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert "Undone: grade of" in screen_text(app)
        await pilot.press("5")
        await settle(pilot)
        assert toasts(app) == []


async def test_a_change_that_could_not_be_kept_leaves_the_message(app_on, folder, tables, monkeypatch):
    opened = open_sheet(folder / "grand.toml", tables)
    app = AppraiseApp(folder, tables, opened)

    def full(handle, content):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        with monkeypatch.context() as patch:
            patch.setattr(files.system, "write", full)
            for maker in ("In memory", "Still in memory"):
                opened.worksheet.put(("identity", "maker"), maker)
                app.screen.show_case()
                await settle(pilot)
                assert "Your work is in memory only" in screen_text(app)
        opened.worksheet.put(("identity", "maker"), "On the disk again")
        app.screen.show_case()
        await settle(pilot)
        assert toasts(app) == []


async def test_what_is_wrong_is_told_by_a_sign_too(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await said(pilot, "It went wrong", wrong=True)
        assert "✗ It went wrong" in screen_text(app)


async def test_a_refusal_that_is_repeated_stands_once_and_stays_in_its_place(folder, tables, size):
    path = folder / "grand.toml"
    first = open_sheet(path, tables)
    app = AppraiseApp(folder, tables, open_sheet(path, tables))
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        await pilot.press("end")
        for _ in range(3):
            await pilot.press("3")
            await settle(pilot)
            (toast,) = toasts(app)
            assert toast.region.y == 0
            assert len(app.screen.query("ToastHolder")) == 1
        # Faster than a message can come on the screen.
        await pilot.press("4", "3", "4", "3")
        await settle(pilot)
        (toast,) = toasts(app)
        assert toast.region.y == 0
        assert " ".join(screen_text(app).split()).count("read-only:") == 1
    first.worksheet.close()


async def test_of_several_said_at_once_the_last_is_shown(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        for text in ("One", "Two", "Three"):
            app.notify(text, timeout=60)
        await settle(pilot)
        await pilot.pause()
        assert len(toasts(app)) == 1
        assert "Three" in screen_text(app)


async def test_a_key_whose_turn_comes_when_all_is_closed_does_no_harm(folder, tables):
    app = AppraiseApp(folder, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
    assert app.screen_stack == []
    key = events.Key("down", None)
    app._handed = key  # it waited, and was handed on just before
    await app.on_event(key)
    assert not app._waiting
