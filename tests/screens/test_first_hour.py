"""What a stranger tries in the first hour: the key pressed is taken, or it is said why not."""

from __future__ import annotations

import pytest
from textual.widgets import Input, OptionList

from appraise.model.case import STATIONS
from appraise.screens.choose import ChooseScreen
from appraise.screens.entry import EntryScreen
from appraise.screens.fields import RecordScreen
from appraise.screens.remarks import RemarksScreen
from appraise.screens.walk import WalkScreen
from appraise.screens.why import ReasonTree, WhyScreen
from appraise.services.opening import open_sheet
from appraise.services.walk import answered, checks_of, grade_given, readings_of
from appraise.tables.rows import CheckKind
from appraise.widgets.check_form import CheckForm
from appraise.widgets.value_band import ValueBand
from tests.helpers.screen_text import screen_text, settle


def first(sheet, kind):
    """The first check of a kind that nobody has made and that is made once."""
    done = answered(sheet.case)
    return next(
        check
        for station in STATIONS
        for check in checks_of(sheet.tables, sheet.case.identity.kind, station)
        if check.kind is kind and not check.per_note and check.key not in done
    )


async def stand_on(pilot, check):
    pilot.app.screen.walk_to(check.station, check.key)
    pilot.app.screen.query_one(CheckForm).focus()
    await settle(pilot)


async def test_what_is_typed_beside_the_details_reaches_their_check(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = first(sheet, CheckKind.GRADED)
        await stand_on(pilot, check)
        app.screen.query_one("#details").focus()
        await pilot.press("3")
        await settle(pilot)
        assert grade_given(sheet.case, check.key).grade == 3.0
        assert app.screen.query_one(CheckForm).has_focus

        measured = first(sheet, CheckKind.MEASURED)
        await stand_on(pilot, measured)
        app.screen.query_one("#details").focus()
        await pilot.press("7", "comma", "4")
        await settle(pilot)
        assert isinstance(app.screen, EntryScreen)
        assert app.screen.query_one(Input).value == "7,4"


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_where_the_keys_go_is_seen_without_colours(app_on, sheet, size):
    app = app_on(sheet)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        heavy = []
        for place in ("form", "details", "rail"):
            app.screen.query_one(f"#{place}").focus()
            await settle(pilot)
            heavy.append(sum(screen_text(app).count(line) for line in "━┃"))
    assert heavy[0] == 0
    assert heavy[1] > 3
    assert heavy[2] > 3


@pytest.mark.parametrize("key", ["f2", "ctrl+s", "enter"])
async def test_a_line_is_taken_by_the_key_that_takes_a_text(app_on, sheet, key):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = first(sheet, CheckKind.COUNT)
        await stand_on(pilot, check)
        await pilot.press("2", key)
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)
    assert [reading.value for reading in readings_of(sheet.case, check.key)] == [2.0]


async def test_a_new_remark_begins_where_the_cursor_stood(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = first(sheet, CheckKind.GRADED)
        await stand_on(pilot, check)
        before = sheet.case.remarks
        await pilot.press("f7", "f3")
        await settle(pilot)
        assert isinstance(app.screen, RecordScreen)
        assert sheet.case.remarks[-1].place == check.component
        await pilot.press("escape")  # nothing was written, so nothing is kept
        await settle(pilot)
        assert isinstance(app.screen, RemarksScreen)
        assert sheet.case.remarks == before


async def test_what_cannot_be_kept_is_said_before_it_is_typed(app_on, folder, tables):
    owner = open_sheet(folder / "grand.toml", tables).worksheet
    other = open_sheet(folder / "grand.toml", tables).worksheet
    assert other.read_only
    app = app_on(other)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        for check, keys in (
            (first(other, CheckKind.MEASURED), ("7", "2")),
            (first(other, CheckKind.COUNT), ("f8",)),
        ):
            await stand_on(pilot, check)
            app.clear_notifications()
            await pilot.press(*keys)
            await settle(pilot)
            assert isinstance(app.screen, WalkScreen)
            assert any("has it open" in str(notice.message) for notice in app._notifications)
        await pilot.press("f6", "down")
        await settle(pilot)
        place = app.screen
        await pilot.press("x")
        await settle(pilot)
        assert app.screen is place
        await pilot.press("enter")  # to read it whole is no edit
        await settle(pilot)
        assert isinstance(app.screen, EntryScreen)
    assert other.case == owner.case
    other.close()
    owner.close()


async def test_the_reasons_open_and_close_with_the_arrows(app_on, sheet):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f5", "enter")
        await settle(pilot)
        assert isinstance(app.screen, WhyScreen)
        tree = app.screen.query_one(ReasonTree)
        at = next(index for index, node in enumerate(tree.root.children) if node.allow_expand)
        await pilot.press(*["down"] * (at + 1))
        node = tree.cursor_node
        await pilot.press("right")
        await settle(pilot)
        assert node.is_expanded
        assert tree.cursor_node is node
        await pilot.press("right")
        await settle(pilot)
        assert tree.cursor_node is node.children[0]
        await pilot.press("left")
        assert tree.cursor_node is node
        await pilot.press("left")
        await settle(pilot)
        assert not node.is_expanded
        await pilot.press("left")
        assert tree.cursor_node is tree.root
        await pilot.press("left", "right")
        await settle(pilot)
        assert tree.root.is_expanded
        assert tree.scroll_offset.x == 0


@pytest.mark.parametrize("theme", ["ansi-dark", "ansi-light", "workshop", "daylight"])
async def test_what_a_question_is_about_stays_in_sight(app_on, sheet, theme):
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.theme = theme
        await pilot.press("f8")
        await settle(pilot)
        assert isinstance(app.screen, ChooseScreen)
        assert app.screen.query_one(OptionList).has_focus
        assert "depreciation" in screen_text(app)


@pytest.mark.parametrize("columns", [60, 70, 80, 90, 120])
async def test_the_basis_and_the_change_never_run_into_each_other(app_on, sheet, columns):
    app = app_on(sheet)
    async with app.run_test(size=(columns, 24)) as pilot:
        await settle(pilot)
        sheet.set_grade("wippen_cushions", 5.0)
        app.screen.show_case()
        await settle(pilot)
        line = app.screen.query_one(ValueBand).render().plain.split("\n")[0]
    _, percent, _ = line.rpartition("%")
    assert not percent or line.partition("%")[0].rstrip("0123456789")[-1] == " "
    assert columns < 80 or "%" in line


@pytest.mark.parametrize("columns", [100, 120, 160, 200])
async def test_a_check_stays_near_its_answer_and_words_get_the_room(app_on, sheet, columns):
    app = app_on(sheet)
    async with app.run_test(size=(columns, 50)) as pilot:
        await settle(pilot)
        form, details = app.screen.query_one("#form"), app.screen.query_one("#details")
        assert form.size.width <= 100
        assert details.outer_size.width >= 38
        assert details.region.right == columns
