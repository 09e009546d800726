"""The sales book on the screen: what it shows at both sizes, its keys, and that rows are taken only once shown."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.evidence.book import book
from appraise.model.case import Outcome
from appraise.screens.ask import AskScreen
from appraise.screens.cases import CasesScreen
from appraise.screens.entry import EntryScreen
from appraise.screens.sales_book import SalesBookScreen
from appraise.store.files import digest_of
from appraise.tables.load import load_tables
from appraise.widgets.book_rows import LEARNED, SALES, SCORE, BookRows
from tests.helpers.sales import sale
from tests.helpers.screen_text import screen_text, settle


@pytest.fixture
def kept(tmp_path, monkeypatch):
    monkeypatch.setenv("APPRAISE_SETTINGS", str(tmp_path / "settings.toml"))
    path = tmp_path / "sales.sqlite3"
    ends = {"low": Decimal(11_000), "middle": Decimal(12_000), "high": Decimal(13_000)}
    sold = [
        replace(sale(**ends), price=Decimal(9_000 + 400 * k), date=date(2026, 1, 1 + k), file_sha256=str(k), line=0)
        for k in range(12)
    ]
    with book(path, create=True) as found:
        found.add(sold)
    return path


async def opened(app, pilot):
    await settle(pilot)
    await pilot.press("ctrl+k")
    await settle(pilot)
    assert isinstance(app.screen, SalesBookScreen)
    return app.screen.query_one(BookRows)


@pytest.mark.parametrize("part", [SALES, LEARNED, SCORE])
@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_it_shows_sales_rows_and_score(app_on, kept, size, part, screen_snapshot):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        rows = await opened(app, pilot)
        for _ in range((SALES, LEARNED, SCORE).index(part)):
            await pilot.press("right")
            await settle(pilot)
        assert rows.part == part
        assert screen_text(app) == screen_snapshot


async def test_rows_are_taken_only_once_they_were_shown(app_on, kept, tmp_path):
    app, folder = app_on(), tmp_path / "ours"
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        rows = await opened(app, pilot)
        await pilot.press("f8")
        await settle(pilot)
        assert isinstance(app.screen, SalesBookScreen)
        assert rows.part == LEARNED
        assert not folder.exists()
        await pilot.press("f8")
        await settle(pilot)
        assert isinstance(app.screen, EntryScreen)
        await pilot.press(*str(folder), "enter")
        await settle(pilot)
        assert load_tables(folder).market_factors["base_grand"].where == "own sales, n = 12, to 2026-01"
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, CasesScreen)


async def test_a_sale_is_struck_out_with_a_reason_and_counts_again(app_on, kept):
    app = app_on()
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        rows = await opened(app, pilot)
        first = rows.sale
        await pilot.press("delete")
        await settle(pilot)
        assert isinstance(app.screen, EntryScreen)
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, EntryScreen)  # without a reason nothing is struck out
        await pilot.press(*"twice", "enter")
        await settle(pilot)
        assert "Newest sales: 11 of 11, 1 struck out" in screen_text(app)
        assert "struck out: twice" in screen_text(app)
        with book(kept) as found:
            assert (found.count(), found.at(12).withdrawn) == (11, "twice")
            assert [one for _, one in found.earlier()] == [first]
        await pilot.press("delete")
        await settle(pilot)
        assert "Newest sales: 12 of 12 ─" in screen_text(app)
    with book(kept) as found:
        assert (found.count(), found.at(12)) == (12, replace(first, revision=2))


async def test_without_a_book_it_says_how_one_begins(app_on, tmp_path, monkeypatch):
    monkeypatch.setenv("APPRAISE_SETTINGS", str(tmp_path / "settings.toml"))
    app = app_on()
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot)
        assert "expected a book of sales" in " ".join(screen_text(app).split())


async def test_a_case_that_was_sold_goes_into_the_book_once(app_on, kept, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        await settle(pilot)
        for _ in range(2):
            await pilot.press("ctrl+w")
            await settle(pilot)
            await pilot.press(*"11500", "enter", *"2025-03-14", "f2")
            await settle(pilot)
    with book(kept) as found:
        assert found.count() == 13
        sold = found.sale_of(digest_of(sheet.path.read_bytes()))
    assert sold is not None
    assert (sold.price, sold.date, sold.sale) == (Decimal("11500.0"), date(2025, 3, 14), "retail")
    assert sold.valued


async def test_a_finished_outcome_is_asked_about_once(app_on, sheet, kept):
    app = app_on(sheet)
    told = Outcome(sold=Decimal("11000.00"), day=date(2025, 3, 14), sale="retail")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        for change, answer, count in (({}, "right", 12), ({"sold": Decimal("11250.00")}, "", 13), ({}, None, 13)):
            told = replace(told, **change)
            sheet.put(("outcome",), told, "outcome")
            await pilot.press("f2")
            await settle(pilot)
            assert isinstance(app.screen, AskScreen) == (answer is not None)
            if answer is not None:
                await pilot.press(*filter(None, (answer, "enter")))
                await settle(pilot)
                await app.workers.wait_for_complete()
            with book(kept) as found:
                assert found.count() == count
    with book(kept) as found:
        assert [one.price for one in found.of_cases()] == [Decimal("11250.00")]
