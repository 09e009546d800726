"""One of several, by letters: from the row itself, one letter or the whole word, never into the next field."""

from __future__ import annotations

import pytest
from textual.widgets import Button, OptionList

from appraise.model.case import Kind
from appraise.screens.ask import AskScreen
from appraise.screens.choose import ChooseScreen, ChooseSeveralScreen
from appraise.screens.particulars import ParticularsScreen
from appraise.services.particulars import SECTIONS
from appraise.widgets.field_rows import FieldRows
from tests.helpers.screen_text import screen_text, settle


@pytest.mark.parametrize(
    ("field", "before", "keys", "found"),
    [
        ("identity.kind", Kind.GRAND, "u", Kind.UPRIGHT),
        ("identity.kind", Kind.GRAND, "upright", Kind.UPRIGHT),
        ("identity.drop_action", None, "n", False),
        ("identity.drop_action", None, "y", True),
        ("circumstances.use", "institutional", "d", "domestic"),
    ],
)
async def test_letters_choose_from_the_row_and_enter_goes_on(app_on, sheet, field, before, keys, found):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        rows = app.screen.query_one(FieldRows)
        rows.go(field)
        section, name = field.split(".")
        sheet.put((section, name), before)
        following = rows.field_after(field)
        await pilot.press(*keys)
        await settle(pilot)
        assert isinstance(app.screen, ChooseScreen)
        await pilot.press("enter")
        await settle(pilot)
        assert getattr(getattr(sheet.case, section), name) == found
        assert isinstance(app.screen, ParticularsScreen)
        assert rows.key == following


async def test_what_is_chosen_already_stays_under_its_letter_and_the_letter_again_goes_on(app_on, sheet, tables):
    field = next(each for _, fields in SECTIONS for each in fields if each.path == ("assignment", "basis"))
    choices = field.choices(sheet.case, tables)
    now = next(key for key, words in choices if sum(w[0] == words[0] for _, w in choices) > 1)
    letter = dict(choices)[now][0].casefold()
    alike = [at for at, (_, words) in enumerate(choices) if words.casefold().startswith(letter)]
    app = app_on(sheet)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        app.push_screen(ChooseScreen(field.label, choices, now=now, typed=letter))
        await settle(pilot)
        options = app.screen.query_one(OptionList)
        seen = [options.highlighted]
        for _ in range(len(alike)):
            await pilot.press(letter)
            seen.append(options.highlighted)
        assert seen[0] == next(at for at, (key, _) in enumerate(choices) if key == now)
        assert sorted(seen[:-1]) == alike
        assert seen[-1] == seen[0]


@pytest.mark.parametrize(
    ("answer", "taken"), [("Take them", True), ("Drop it", False), ("Tick on", None)], ids=["take", "drop", "stay"]
)
async def test_changed_ticks_are_asked_about_and_unchanged_ones_are_not(app_on, answer, taken):
    results = []
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for changed in (False, True):
            app.push_screen(ChooseSeveralScreen("Bases", [("a", "Apple"), ("b", "Pear")], ("a",)), results.append)
            await settle(pilot)
            await pilot.press(*(["down", "space"] if changed else ["space", "space"]), "escape")
            await settle(pilot)
        assert results == [None]
        assert isinstance(app.screen, AskScreen)
        assert "not taken yet" in screen_text(app)
        app.screen.query_one(f"#{next(b.id for b in app.screen.query(Button) if str(b.label) == answer)}").focus()
        await pilot.press("enter")
        await settle(pilot)
        if taken is None:
            assert isinstance(app.screen, ChooseSeveralScreen)
            await pilot.press("f2")
            await settle(pilot)
        assert results == [None, None if taken is False else ("a", "b")]


async def test_quitting_asks_about_changed_ticks_first(app_on):
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.push_screen(ChooseSeveralScreen("Bases", [("a", "Apple"), ("b", "Pear")], ()))
        await settle(pilot)
        await pilot.press("space", "ctrl+q")
        await settle(pilot)
        assert isinstance(app.screen, AskScreen)
        assert not app._exit
