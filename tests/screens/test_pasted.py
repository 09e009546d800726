"""What is pasted or scanned loses no word: Tabs and line ends keep words apart, wherever text is taken."""

from __future__ import annotations

import pytest
from textual import events

from appraise.services.fields import get
from appraise.widgets.field_rows import FieldRows
from tests.helpers.screen_text import settle


@pytest.mark.parametrize("begun", [True, False], ids=["in the entry", "on the row"])
@pytest.mark.parametrize(
    ("key", "text", "kept", "take"),
    [
        ("assignment.place", "Harrowmere\thall", "Harrowmere hall", "enter"),
        ("assignment.place", "Harrowmere\nhall\tgallery", "Harrowmere hall gallery", "enter"),
        ("identity.serial", "21\t864\t", "21 864", "enter"),
        ("assignment.limits", "lid\tscrewed\nbottom\tboard", "lid screwed\nbottom board", "f2"),
    ],
)
async def test_pasted_text_keeps_its_words(app_on, sheet, key, text, kept, take, begun):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        app.screen.query_one(FieldRows).go(key)
        await pilot.press("delete")
        if begun:
            await pilot.press("enter")
        await settle(pilot)
        app.post_message(events.Paste(text))
        await settle(pilot)
        await pilot.press(take)
        await settle(pilot)
        assert get(sheet.case, tuple(key.split("."))) == kept


@pytest.mark.parametrize(("key", "take"), [("assignment.place", "enter"), ("assignment.limits", "f2")])
async def test_a_scanner_types_tab_between_words_and_behind_the_last(app_on, sheet, key, take):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        app.screen.query_one(FieldRows).go(key)
        await pilot.press("delete", "a", "tab", "b", "tab", take)
        await settle(pilot)
        assert get(sheet.case, tuple(key.split("."))).strip() == "a b"
