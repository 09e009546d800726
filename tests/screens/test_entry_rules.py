"""What is typed is what stands: grades whole and half, Enter everywhere, nothing made up, nothing lost."""

from __future__ import annotations

import pytest
from textual.widgets import Input, TextArea

from appraise.model.case import STATIONS, Comparable
from appraise.screens.ask import AskScreen
from appraise.screens.entry import EntryScreen, LongEntryScreen
from appraise.screens.fields import RecordScreen
from appraise.screens.form import FormLine, FormScreen
from appraise.screens.particulars import ParticularsScreen
from appraise.screens.walk import WalkScreen
from appraise.services.case_session import CaseSession, compute
from appraise.services.walk import answered, checks_of, form_rows, grade_given, overruling, readings_of
from appraise.store.read import read_case
from appraise.tables.rows import CheckKind
from appraise.widgets.check_form import CheckForm
from appraise.widgets.field_rows import FieldRows
from tests.helpers import worksheet_cases
from tests.helpers.screen_text import screen_text, settle


@pytest.fixture
def blank(folder, tables):
    """An upright that nobody has looked at."""
    return CaseSession(folder / "cottage.toml", worksheet_cases.upright(), tables)


def first(sheet, kind, *, per_note=False):
    return next(
        check
        for station in STATIONS
        for check in checks_of(sheet.tables, sheet.case.identity.kind, station)
        if check.kind is kind and check.per_note is per_note
    )


async def stand(pilot, check):
    pilot.app.screen.walk_to(check.station, check.key)
    pilot.app.screen.query_one(CheckForm).focus()
    await settle(pilot)


async def typed(pilot, text):
    names = {",": "comma", ".": "full_stop", " ": "space", "½": "½", "\n": "enter"}
    await pilot.press(*(names.get(letter, letter) for letter in text))
    await settle(pilot)


def following(sheet, check):
    checks = checks_of(sheet.tables, sheet.case.identity.kind, check.station)
    return checks[checks.index(check) + 1]


@pytest.mark.parametrize("text", ["2.5", "2,5", "2½", "25", "2."])
async def test_a_half_grade_on_its_row(app_on, blank, text):
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        check = first(blank, CheckKind.GRADED)
        await stand(pilot, check)
        await typed(pilot, text)
        assert grade_given(blank.case, check.key).grade == 2.5
        assert len(blank.case.grades) == 1
        await typed(pilot, "\n")
        assert app.screen.query_one(CheckForm).key == following(blank, check).key
        assert grade_given(blank.case, check.key).grade == 2.5


@pytest.mark.parametrize("text", ["2.5", "2½", "25"])
async def test_a_half_grade_is_one_step_of_undo(app_on, blank, text):
    app = app_on(blank)
    check = first(blank, CheckKind.GRADED)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await stand(pilot, check)
        await typed(pilot, text)
        assert grade_given(blank.case, check.key).grade == 2.5
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert grade_given(blank.case, check.key) is None
        await pilot.press("ctrl+y")
        await settle(pilot)
        assert grade_given(blank.case, check.key).grade == 2.5
        await typed(pilot, "34")  # a slip and its mend stay two steps
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert grade_given(blank.case, check.key).grade == 3.0


@pytest.mark.parametrize("text", ["2.5", "2,5", "2½", "25"])
async def test_a_half_grade_among_its_words_and_in_an_overruling(app_on, blank, text):
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        check = first(blank, CheckKind.GRADED)
        await stand(pilot, check)
        await typed(pilot, f"\n{text}\n")
        assert grade_given(blank.case, check.key).grade == 2.5
        await stand(pilot, check)
        await pilot.press("f8")
        await typed(pilot, f"{text}\nseen whole\n")
        assert overruling(blank.case, check.component).grade == 2.5


async def test_a_digit_that_follows_is_never_taken_silently(app_on, blank):
    app = app_on(blank)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        check = first(blank, CheckKind.GRADED)
        await stand(pilot, check)
        await typed(pilot, "2.3")
        assert grade_given(blank.case, check.key).grade == 2.5
        assert "2.3 is not a grade" in screen_text(app)
        await pilot.press("delete")
        await typed(pilot, "23")
        assert grade_given(blank.case, check.key).grade == 3.0
        assert "3 in place of 2" in screen_text(app)
        await pilot.press("down", "up")
        app.clear_notifications()
        await typed(pilot, "5")  # a new entry
        assert grade_given(blank.case, check.key).grade == 5.0
        assert "in place of" not in screen_text(app)


async def test_the_arrows_go_from_check_to_check_and_a_heading_takes_no_digit(app_on, blank):
    app = app_on(blank)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        form = app.screen.query_one(CheckForm)
        await pilot.press("home")
        wanted = [check.key for check in checks_of(blank.tables, blank.case.identity.kind, app.screen.station)]
        seen = [form.key]
        for _ in wanted[1:]:
            await pilot.press("down")
            seen.append(form.key)
        assert seen == wanted
        await pilot.press("home", "ctrl+up")
        await settle(pilot)
        assert form.current.check is None
        await typed(pilot, "4")
        assert isinstance(app.screen, WalkScreen)
        assert not blank.case.grades
        assert "F8 overrules" in screen_text(app)
        component = form.current.component
        await typed(pilot, "\n4\n2n220\n")
        assert isinstance(app.screen, EntryScreen)
        assert "a reason in words" in screen_text(app)
        app.screen.query_one(Input).value = ""
        await typed(pilot, "two cracks\n")
        assert overruling(blank.case, component).reason == "two cracks"


async def test_an_old_reason_is_not_offered_for_another_grade(app_on, blank):
    component = first(blank, CheckKind.GRADED).component
    blank.overrule(component, 4.0, "cracked right through")
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        await stand(pilot, first(blank, CheckKind.GRADED))
        await pilot.press("f8")
        await typed(pilot, "2\n")
        assert app.screen.query_one(Input).value == ""
        await pilot.press("escape", "f8")
        await typed(pilot, "4\n")
        assert app.screen.query_one(Input).value == "cracked right through"


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        (CheckKind.GRADED, "3\n"),
        (CheckKind.GRADED, "\n3\n"),
        (CheckKind.YES_NO, "y\n"),
        (CheckKind.YES_NO, "\n\n"),
        (CheckKind.COUNT, "2\n"),
        (CheckKind.RECORD, "none seen\n"),
    ],
)
async def test_after_an_answer_enter_goes_to_the_next_check(app_on, blank, kind, text):
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        check = first(blank, kind)
        await stand(pilot, check)
        await typed(pilot, text)
        assert isinstance(app.screen, WalkScreen)
        assert answered(blank.case) == {check.key}
        form = app.screen.query_one(CheckForm)
        checks = checks_of(blank.tables, blank.case.identity.kind, check.station)
        if check is checks[-1]:
            assert app.screen.station == STATIONS[STATIONS.index(check.station) + 1]
        else:
            assert form.key == following(blank, check).key


async def test_enter_takes_a_text_of_several_lines(app_on, blank):
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        app.screen.query_one(FieldRows).go("assignment.limits")
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, LongEntryScreen)
        await typed(pilot, "one")
        await pilot.press("ctrl+j")
        await typed(pilot, "two")
        assert app.screen.query_one(TextArea).text == "one\ntwo"
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, ParticularsScreen)
        assert blank.case.assignment.limits == "one\ntwo"


@pytest.mark.parametrize("key", ["f2", "ctrl+s"])
async def test_in_an_open_entry_f2_takes_the_value_and_saves(app_on, blank, tables, key):
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        check = first(blank, CheckKind.COUNT)
        await stand(pilot, check)
        await pilot.press("2", key)
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)
        assert not blank.dirty
        assert [one.value for one in readings_of(read_case(blank.path, tables)[0], check.key)] == [2.0]


async def test_quitting_asks_about_what_is_being_typed(app_on, blank):
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        await stand(pilot, first(blank, CheckKind.COUNT))
        await pilot.press("2", "ctrl+q")
        await settle(pilot)
        assert isinstance(app.screen, AskScreen)
        await pilot.press("enter")
        await settle(pilot)
        assert len(blank.case.readings) == 1


class TestNewRecords:
    """A new record begins empty, and is in the case when it has what it needs."""

    async def to(self, pilot, adder):
        await settle(pilot)
        await pilot.press("f6")
        await settle(pilot)
        pilot.app.screen.query_one(FieldRows).go(adder)
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(pilot.app.screen, RecordScreen)

    async def fill(self, pilot, key, text):
        rows = pilot.app.screen.query_one(FieldRows)
        assert rows.go(next(row.key for row in rows._fields if row.key.endswith(key)))
        await typed(pilot, f"{text}\n")

    async def test_a_comparable_counts_when_it_is_complete(self, app_on, blank, tables):
        app = app_on(blank)
        before = compute(blank.case, tables).value
        async with app.run_test(size=(100, 30)) as pilot:
            await self.to(pilot, "market.comparables.add")
            assert "Counts for nothing until it has" in screen_text(app)
            assert "1000" not in screen_text(app)
            await self.fill(pilot, ".label", "a like one")
            await self.fill(pilot, ".price", "1.250,00")
            await self.fill(pilot, ".date", "2026-05-01")
            await self.fill(pilot, ".made", "1910")
            assert blank.case.market.comparables == ()
            assert compute(blank.case, tables).value == before
            await self.fill(pilot, ".grade", "3")
            await pilot.press("escape")
            await settle(pilot)
            assert isinstance(app.screen, AskScreen)
            assert "kind of sale" in screen_text(app)
            await pilot.press("enter")
            await settle(pilot)
            await self.fill(pilot, ".sale", "\n")
            (made,) = blank.case.market.comparables
            assert isinstance(made, Comparable)
            assert (made.label, float(made.price), made.grade) == ("a like one", 1250.0, 3.0)
            await self.fill(pilot, ".source", "a list")
            assert blank.case.market.comparables[0].source == "a list"
            await pilot.press("escape")
            await settle(pilot)
            assert isinstance(app.screen, ParticularsScreen)
        assert blank.undo() == "source"
        assert blank.undo() == "comparable"
        assert blank.case.market.comparables == ()

    @pytest.mark.parametrize("adder", ["renewals.add", "pitch_log.add", "drying_clues.add", "market.adjustments.add"])
    async def test_one_that_is_left_empty_is_not_kept(self, app_on, blank, adder):
        app, before = app_on(blank), blank.case
        async with app.run_test(size=(80, 24)) as pilot:
            await self.to(pilot, adder)
            await pilot.press("escape")
            await settle(pilot)
            assert isinstance(app.screen, ParticularsScreen)
        assert blank.case == before
        assert not blank.dirty

    async def test_one_that_is_incomplete_is_asked_about_and_can_be_dropped(self, app_on, blank):
        app, before = app_on(blank), blank.case
        async with app.run_test(size=(80, 24)) as pilot:
            await self.to(pilot, "pitch_log.add")
            await self.fill(pilot, ".note", "A4")
            await pilot.press("ctrl+q")
            await settle(pilot)
            assert isinstance(app.screen, AskScreen)
            await pilot.press("right", "enter")
            await settle(pilot)
            assert isinstance(app.screen, ParticularsScreen)
        assert blank.case == before

    async def test_undo_takes_back_its_last_field(self, app_on, blank):
        app = app_on(blank)
        async with app.run_test(size=(80, 24)) as pilot:
            await self.to(pilot, "pitch_log.add")
            await self.fill(pilot, ".note", "A4")
            await pilot.press("ctrl+z")
            await settle(pilot)
            assert isinstance(app.screen, RecordScreen)
            assert not app.screen.unfinished


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (120, 40)])
async def test_every_name_stands_whole_on_the_walk(app_on, blank, tables, size):
    app = app_on(blank)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        for station in STATIONS:
            app.screen.walk_to(station)
            await settle(pilot)
            form = app.screen.query_one(CheckForm)
            named = [row for row in form._rows if row.key != "before"]
            for row, wanted in zip(named, form_rows(blank.case, tables, station, None), strict=True):
                text = " ".join("".join(line.plain for line in row.lines).replace("─", " ").split())
                assert "…" not in "".join(line.plain for line in row.lines)[: len(wanted.label) + 4], text
                for word in wanted.label.split():
                    assert word in text, (station, wanted.label)


class TestNothingTypedIsDroppedUnasked:
    """Esc in a line that holds something new asks; in one that is as it was it leaves at once."""

    async def test_a_number_on_the_walk(self, app_on, blank):
        app = app_on(blank)
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(pilot)
            check = first(blank, CheckKind.COUNT)
            await stand(pilot, check)
            await pilot.press("2", "escape")
            await settle(pilot)
            assert isinstance(app.screen, AskScreen)
            await pilot.press("enter")
            await settle(pilot)
            assert [(one.check, one.value) for one in blank.case.readings] == [(check.key, 2.0)]
            await stand(pilot, check)
            depth = len(app.screen_stack)
            await pilot.press("enter", "escape")
            await settle(pilot)
            assert len(app.screen_stack) == depth

    async def test_a_new_case(self, app_on, folder):
        app, before = app_on(), set(folder.iterdir())
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(pilot)
            depth = len(app.screen_stack)
            await pilot.press("f3", "escape")
            await settle(pilot)
            assert len(app.screen_stack) == depth
            for leave in ("escape", "ctrl+q"):
                await pilot.press("f3", "u", "enter", *"Ostravell", leave)
                await settle(pilot)
                assert isinstance(app.screen, AskScreen)
                await pilot.press("right", "enter")
                await settle(pilot)
                assert len(app.screen_stack) == depth
            assert set(folder.iterdir()) == before
            await pilot.press("f3", "u", "enter", *"Ostravell", "escape", "enter")
            await settle(pilot)
            assert (folder / "ostravell.toml").is_file()

    async def test_the_lines_of_a_form(self, app_on, sheet):
        app = app_on(sheet)
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(pilot)
            found = []
            app.push_screen(FormScreen("Sold", [FormLine("price", "Price", "", "how much", str.strip)]), found.append)
            await settle(pilot)
            await pilot.press(*"6500", "escape")
            await settle(pilot)
            assert isinstance(app.screen, AskScreen)
            await pilot.press("enter")
            await settle(pilot)
            assert found == [{"price": "6500"}]
