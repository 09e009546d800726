"""A new case begun on the screen: as in the last case, a key a line, never what was found."""

from __future__ import annotations

import os
import shutil

import pytest
from textual.widgets import Input

from appraise.model.case import Kind
from appraise.model.market import Costs
from appraise.screens.new_case import NewCaseScreen, TermsButton
from appraise.screens.walk import WalkScreen
from appraise.store.own_settings import OwnSettings
from appraise.store.read import read_case
from appraise.store.settings_sections import NewCaseSettings
from appraise.tables.folder import data_folder
from appraise.widgets.field_rows import FieldRows
from tests.helpers.screen_text import screen_text, settle

LAST = "trade_in_grand.toml"


@pytest.fixture
def shop(folder):
    """The bench, and a case in it that was written last."""
    shutil.copy(data_folder("sample_cases") / LAST, folder)
    os.utime(folder / LAST, (4e9, 4e9))
    return folder


async def open_new(app, pilot):
    await settle(pilot)
    await pilot.press("f3")
    await settle(pilot)
    assert isinstance(app.screen, NewCaseScreen)
    return app.screen


async def test_all_of_the_shop_in_one_key_and_a_line_in_another(app_on, shop, tables):
    old = read_case(shop / LAST, tables)[0]
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await open_new(app, pilot)
        assert f"F4 as in {LAST}, F5 all lines of the shop" in screen_text(app)
        await pilot.press("u", "enter", *"Oskelmoor", "f5")
        await settle(pilot)
        screen.query_one("#client", Input).value = "Somebody else"
        await pilot.press("f2")
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)
    new = read_case(shop / "oskelmoor.toml", tables)[0]
    assert (new.identity.kind, new.identity.maker, new.identity.serial) == (Kind.UPRIGHT, "Oskelmoor", "")
    keys = ("assessor", "place", "currency", "basis", "purpose")
    assert {key: getattr(new.assignment, key) for key in keys} == {key: getattr(old.assignment, key) for key in keys}
    assert (new.assignment.client, new.costs) == ("Somebody else", old.costs)
    assert new.circumstances.climate == old.circumstances.climate
    assert (new.readings, new.remarks, new.renewals, new.grades) == ((), (), (), ())


async def test_one_line_alone_and_the_settings_before_it(app_on, shop, tables):
    old = read_case(shop / LAST, tables)[0]
    app = app_on()
    app.settings = OwnSettings(new_case=NewCaseSettings("R. Hale", currency="CHF"))
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await open_new(app, pilot)
        assert screen.query_one("#assessor", Input).value == "R. Hale"
        screen.query_one("#place", Input).focus()
        await pilot.press("f4", "down", "down")
        assert (screen.focused.id, screen.query_one("#place", Input).value) == ("climate", old.assignment.place)
        await pilot.press("up", "up", "up", "f4")
        assert screen.query_one("#client", Input).value == old.assignment.client
        screen.query_one(TermsButton).focus()
        await pilot.press("space", "space", "f4")
        await pilot.press("f2")
        await settle(pilot)
    new = read_case(shop / "new-grand.toml", tables)[0]
    assert (new.assignment.assessor, new.assignment.currency) == ("R. Hale", "CHF")
    # In another currency no amount is taken over.
    assert new.costs == Costs(margin_pct=old.costs.margin_pct, overhead_pct=old.costs.overhead_pct,
                              contingency_pct=old.costs.contingency_pct)  # fmt: skip


async def test_in_an_empty_folder_there_is_nothing_to_take_over(app_on, folder):
    for path in folder.glob("*.toml"):
        path.unlink()
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await open_new(app, pilot)
        await pilot.press("f5", "f2")
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)


MOST_KEYS = 150
"""For who and what a second piano of the same shop is, in the new-case form and in Particulars: about two minutes."""


async def test_the_second_piano_of_a_shop_takes_few_keys(app_on, shop, tables):
    """Every line that a range hangs on and that the shop cannot know, typed as a person types it."""
    old = read_case(shop / LAST, tables)[0]
    app, typed = app_on(), 0
    async with app.run_test(size=(80, 24)) as pilot:

        async def press(*keys):
            nonlocal typed
            typed += len(keys)
            await pilot.press(*keys)
            await settle(pilot)

        async def go(key):
            """Walk down to a field by the key that goes there."""
            rows = app.screen.query_one(FieldRows)
            for _ in range(60):
                if rows.key == key:
                    return
                await press("down")
            raise AssertionError(f"{key} was never reached")

        await open_new(app, pilot)
        typed += 1
        await press("u", "enter", *"Oskelmoor", "enter", *"C1", "enter", *"121", "enter", *"44127", "enter", *"1988")
        await press("f5", "enter", "enter")
        assert app.focused.id == "client"
        await press(*"J. Hale", "f2")
        await press("f6")
        await go("identity.tier")
        await press("o", "enter")
        await press("p", "enter")
        await press("p", "enter")
        await go("identity.last_tuned")
        await press(*"2024", "enter")
        await press("1", "enter")
        await press("2", "enter")
        await go("market.replacement_cost_new")
        await press(*"9800", "enter")
        await press("f2")
    new = read_case(shop / "oskelmoor-c1.toml", tables)[0]
    assert typed <= MOST_KEYS, typed
    assert (new.identity.tier, new.identity.finish, new.identity.key_covering) == ("ordinary", "polyester", "plastic")
    assert (new.identity.stairs, new.identity.owners) == (1, 2)
    assert (new.assignment.client, new.assignment.assessor) == ("J. Hale", old.assignment.assessor)
    assert new.assignment.equipment == old.assignment.equipment
    assert new.costs == old.costs
    assert new.market.replacement_cost_new == 9800
