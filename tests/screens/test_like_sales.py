"""Like sales on the screen: proposed at both sizes, struck out, taken as one edit, and nothing without a key."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.evidence.book import book
from appraise.screens.ask import AskScreen
from appraise.screens.like_sales import LikeSalesScreen
from appraise.screens.particulars import LIKE, ParticularsScreen
from appraise.widgets.field_rows import FieldRows
from appraise.widgets.like_rows import LikeRows
from tests.helpers.sales import sale
from tests.helpers.screen_text import screen_text, settle


@pytest.fixture
def kept(tmp_path, monkeypatch):
    monkeypatch.setenv("APPRAISE_SETTINGS", str(tmp_path / "settings.toml"))
    path = tmp_path / "sales.sqlite3"
    like = sale(made="1934", grade=2.5, sale="private_sale", price_new=Decimal(45_000), size_cm=185.0)
    sold = [
        replace(like, price=Decimal(7_000 + 350 * k), date=date(2026, 1 + k, 5), made=str(1925 + 3 * k), line=k)
        for k in range(8)
    ]
    sold += [replace(like, kind="upright", line=20), replace(like, grade=None, line=21)]
    sold += [replace(like, made="", line=22)]
    with book(path, create=True) as found:
        found.add([replace(one, file="ledger.csv", file_sha256="1") for one in sold])
    return path


async def opened(app, pilot):
    await settle(pilot)
    await pilot.press("f6")
    await settle(pilot)
    assert isinstance(app.screen, ParticularsScreen)
    app.screen.query_one(FieldRows).go(LIKE)
    await pilot.press("enter")
    await settle(pilot)
    assert isinstance(app.screen, LikeSalesScreen)
    return app.screen.query_one(LikeRows)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_like_sales_are_proposed(app_on, sheet, kept, size, screen_snapshot):
    app = app_on(sheet)
    async with app.run_test(size=size) as pilot:
        await opened(app, pilot)
        assert screen_text(app) == screen_snapshot


async def test_what_is_ticked_is_taken_as_one_edit(app_on, sheet, kept):
    app, before = app_on(sheet), sheet.case
    async with app.run_test(size=(80, 24)) as pilot:
        rows = await opened(app, pilot)
        proposed = rows.taken
        assert proposed
        assert sheet.case == before
        await pilot.press("space")
        await settle(pilot)
        assert rows.taken == proposed[1:]
        await pilot.press("space", "down", "space", "f8")
        await settle(pilot)
        assert isinstance(app.screen, ParticularsScreen)
        new = sheet.case.market.comparables[len(before.market.comparables) :]
        wanted = [one for one in proposed if one is not proposed[1]] if len(proposed) > 1 else [*proposed]
        assert [one.price for one in new] == [one.sale.price for one in wanted]
        assert all(one.source.startswith("own sales book sales.sqlite3: ledger.csv, line ") for one in new)
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert sheet.case == before


async def test_nothing_ticked_is_said_and_leaving_takes_nothing(app_on, sheet, kept):
    app, before = app_on(sheet), sheet.case
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        rows = await opened(app, pilot)
        for _ in range(len(rows.taken)):
            await pilot.press("space", "down")
        await pilot.press("f8")
        await settle(pilot)
        assert "No sale is ticked" in screen_text(app)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, AskScreen), "other ticks than the proposed ones are asked about"
        await pilot.press("right", "enter")
        await settle(pilot)
        assert isinstance(app.screen, ParticularsScreen)
        assert sheet.case == before


async def test_proposed_ticks_are_left_without_a_question_and_changed_ones_taken_at_it(app_on, sheet, kept):
    app, before = app_on(sheet), sheet.case
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, ParticularsScreen)
        assert sheet.case == before
        await pilot.press("enter")
        await settle(pilot)
        rows = app.screen.query_one(LikeRows)
        await pilot.press("space", "escape", "enter")
        await settle(pilot)
        assert isinstance(app.screen, ParticularsScreen)
        assert len(sheet.case.market.comparables) == len(before.market.comparables) + len(rows.taken)


async def test_without_a_book_it_says_so(app_on, sheet, tmp_path, monkeypatch):
    monkeypatch.setenv("APPRAISE_SETTINGS", str(tmp_path / "settings.toml"))
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot)
        assert "a book of sales" in screen_text(app)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_a_sale_that_stands_out_is_told(app_on, sheet, kept, size, screen_snapshot):
    with book(kept) as found:
        other = next(one for one in found.sales() if one.line == 2)
        found.put_in_place(other, replace(other, price=Decimal(790_000)))
    app = app_on(sheet)
    async with app.run_test(size=size) as pilot:
        rows = await opened(app, pilot)
        while rows.current is not None and rows.current.outlying is None:
            await pilot.press("down")
            await settle(pilot)
        assert rows.current is not None
        assert (rows.current.sale.line, rows.current.outlying.against) == (2, "others")
        assert screen_text(app) == screen_snapshot
