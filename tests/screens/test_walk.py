"""The walk: what keys and mouse write, and that nothing is lost."""

from dataclasses import replace

import pytest
from textual import events
from textual.widgets import Input, OptionList, Static

from appraise.app import AppraiseApp
from appraise.model.case import LeftOut
from appraise.model.span import Span
from appraise.screens.ask import AskScreen
from appraise.screens.cases import CasesScreen
from appraise.screens.entry import EntryScreen
from appraise.screens.readings import ReadingsScreen
from appraise.screens.walk import WalkScreen
from appraise.services.case_session import CaseSession
from appraise.services.walk import answered, checks_of, grade_given, overruling, progress, readings_of
from appraise.store.own_settings import OwnSettings
from appraise.store.read import read_case
from appraise.store.settings_sections import WalkSettings
from appraise.tables.rows import CheckKind
from appraise.widgets.check_form import CheckForm
from appraise.widgets.next_checks import NextChecks
from appraise.widgets.walk_rail import WalkRail
from tests.helpers.screen_text import screen_text, settle
from tests.helpers.worksheet_cases import bare

STATION = "case"


def of_kind(sheet, kind, per_note=False, station=None):
    """The first check of a kind that nobody has made."""
    from appraise.model.case import STATIONS

    done = answered(sheet.case)
    for name in STATIONS if station is None else (station,):
        for check in checks_of(sheet.tables, sheet.case.identity.kind, name):
            if check.kind is kind and check.per_note == per_note and check.key not in done:
                return check
    raise AssertionError(kind)


async def at(pilot, check):
    """Walk to a check."""
    pilot.app.screen.walk_to(check.station, check.key)
    pilot.app.screen.query_one(CheckForm).focus()
    await settle(pilot)
    assert pilot.app.screen.query_one(CheckForm).key == check.key


async def typed(pilot, text):
    names = {",": "comma", ".": "full_stop", " ": "space", "·": "·", "+": "plus", "-": "minus"}
    await pilot.press(*(names.get(letter, letter) for letter in text))


@pytest.fixture
def walking(app_on, sheet):
    return app_on(sheet)


async def test_digits_and_half_steps_grade(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.GRADED)
        await at(pilot, check)
        before = sheet.valuation
        for keys, grade in (
            ("2", 2.0),
            ("+", 2.5),
            ("+", 3.0),
            ("-", 2.5),
            ("4", 4.0),
            (",", 4.5),
            ("5", 4.5),
            ("+", 5.0),
            ("+", 5.0),
        ):
            await typed(pilot, keys)
            await settle(pilot)
            assert grade_given(sheet.case, check.key).grade == grade
        after = sheet.known_valuation
        assert after is not None
        assert after.station(check.station).grade.mid > before.station(check.station).grade.mid
        assert after.exact.mid <= before.exact.mid
        await pilot.press("delete")
        await settle(pilot)
        assert grade_given(sheet.case, check.key) is None


async def test_undo_and_redo_by_key(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        start = sheet.case
        await at(pilot, of_kind(sheet, CheckKind.GRADED))
        await pilot.press("2", "3", "4")
        graded = sheet.case
        await pilot.press("ctrl+z", "ctrl+z", "ctrl+z")
        await settle(pilot)
        assert sheet.case is start
        await pilot.press("ctrl+z")
        assert sheet.case is start
        await pilot.press("ctrl+y", "ctrl+y", "ctrl+y", "ctrl+y")
        await settle(pilot)
        assert sheet.case is graded


async def test_next_check_goes_there_across_stations(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for _ in range(3):
            wanted = sheet.guide.left(sheet.case)[0]
            await pilot.press("f3")
            await settle(pilot)
            screen = walking.screen
            assert (screen.station, screen.query_one(CheckForm).key) == (wanted.station, wanted.check)
            check = sheet.tables.checks[wanted.check]
            if check.kind is CheckKind.GRADED:
                await pilot.press("3")
            else:
                sheet.set_grade(wanted.check, 3)
                screen.show_case()
            await settle(pilot)


async def test_clicking_a_next_check_goes_there(walking, sheet):
    async with walking.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        wanted = sheet.guide.left(sheet.case)[1]
        await pilot.click(NextChecks, offset=(5, 2))
        await settle(pilot)
        assert walking.screen.query_one(CheckForm).key == wanted.check


async def test_next_check_again_goes_to_the_second_until_an_answer_is_given(walking, sheet):
    async with walking.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        wanted = [check.check for check in sheet.guide.left(sheet.case)]
        assert len(wanted) > 3
        for key in wanted[:3]:
            await pilot.press("f3")
            await settle(pilot)
            assert walking.screen.query_one(CheckForm).key == key
        sheet.set_grade(wanted[2], 3)
        walking.screen.show_case()
        await settle(pilot)
        anew = sheet.guide.left(sheet.case)[0].check
        await pilot.press("f3")
        await settle(pilot)
        assert walking.screen.query_one(CheckForm).key == anew


async def test_a_check_that_cannot_be_made_here_is_left_out_and_stands_in_the_case(walking, sheet):
    async with walking.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        before = [check.check for check in sheet.guide.left(sheet.case)]
        then = progress(sheet.case, sheet.tables)[sheet.tables.checks[before[0]].station]
        await pilot.press("f3", "ctrl+k", *"no key", "enter")
        await settle(pilot)
        left = [check.check for check in sheet.guide.left(sheet.case)]
        assert before[0] not in left
        assert walking.screen.query_one(CheckForm).key == left[0]
        assert sheet.case.left_out == (LeftOut(before[0], "no key"),)
        now = progress(sheet.case, sheet.tables)[sheet.tables.checks[before[0]].station]
        assert (now.done, now.total) == (then.done, then.total - 1)
        assert before[0] in [check.check for check in sheet.valuation.next_checks]
        walking.screen.walk_to(sheet.tables.checks[before[0]].station, before[0])
        await settle(pilot)
        assert "cannot be done here" in screen_text(walking)
        await pilot.press("ctrl+k")
        await settle(pilot)
        assert sheet.case.left_out == ()
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert sheet.case.left_out == (LeftOut(before[0], "no key"),)
        now = progress(sheet.case, sheet.tables)[sheet.tables.checks[before[0]].station]
        assert (now.done, now.total) == (then.done, then.total - 1)


async def test_minutes_left_bound_the_visit(walking, sheet):
    async with walking.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+g")
        await settle(pilot)
        await pilot.press("backspace", "backspace", "6", "enter")
        await settle(pilot)
        left = sheet.guide.left(sheet.case)
        assert 5.8 < sheet.guide.minutes <= 6.0
        assert sheet.guide.timed
        assert 0.0 < sum(check.minutes for check in left) <= 6.0
        promised = (
            f"{left[-1].cumulative_pct:.0f}%" if left[-1].cumulative_pct >= 1 else f"{left[-1].cumulative_pct:.1f}%"
        )
        assert f"6 min left: these narrow it by {promised}" in screen_text(walking)


async def test_the_minutes_run_and_the_visit_shrinks_with_them(walking, sheet, monkeypatch):
    now = [0.0]
    monkeypatch.setattr(sheet.guide, "_clock", lambda: now[0])
    async with walking.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        sheet.guide.set_minutes(20.0)
        walking.screen.show_visit()
        await settle(pilot)
        assert "20 min left" in screen_text(walking)
        now[0] = 60.0 * 17
        walking.screen.show_visit()
        await settle(pilot)
        assert "3 min left" in screen_text(walking)
        assert sum(check.minutes for check in sheet.guide.left(sheet.case)) <= 3.0
        now[0] = 60.0 * 21
        walking.screen.show_visit()
        await settle(pilot)
        assert "Time is up; Ctrl+G allows more." in screen_text(walking)


async def test_quantity_with_comma_and_unit(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = next(
            check
            for check in sheet.tables.checks.values()
            if check.kind is CheckKind.MEASURED and check.unit == "mm" and not check.per_note and "grand" in check.kinds
        )
        sheet.clear(check.key)
        await at(pilot, check)
        low, high = check.plausible
        centimetres = (low + high) / 20
        await typed(pilot, f"{centimetres:.3f}".replace(".", ","))
        await typed(pilot, " cm")
        await pilot.press("enter")
        await settle(pilot)
        (reading,) = readings_of(sheet.case, check.key)
        assert reading.value == pytest.approx(round(centimetres, 3) * 10)
        assert reading.unit == "mm"


async def test_implausible_is_refused_and_nothing_lost(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.MEASURED)
        await at(pilot, check)
        before = sheet.case
        await typed(pilot, "999999")
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(walking.screen, EntryScreen)
        assert walking.screen.query_one(Input).value == "999999"
        assert "expected" in str(walking.screen.query_one("#wrong", Static).content)
        assert f"{check.plausible[1]:g}" in screen_text(walking)
        assert sheet.case is before
        # What was typed is not dropped unasked: Esc goes back to it, and taking it says again what is wrong.
        for answer in ("escape", "enter"):
            await pilot.press("escape")
            await settle(pilot)
            assert isinstance(walking.screen, AskScreen)
            await pilot.press(answer)
            await settle(pilot)
            assert isinstance(walking.screen, EntryScreen)
            assert walking.screen.query_one(Input).value == "999999"
        await pilot.press("escape", "right", "enter")
        await settle(pilot)
        assert isinstance(walking.screen, WalkScreen)
        assert sheet.case is before


async def test_yes_and_no(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.YES_NO)
        await at(pilot, check)
        await pilot.press("y")
        assert readings_of(sheet.case, check.key)[0].value is True
        await pilot.press("n")
        assert [reading.value for reading in readings_of(sheet.case, check.key)] == [False]
        await settle(pilot)
        await at(pilot, check)
        await pilot.press("left", "right")
        await at(pilot, check)
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("up", "enter")
        await settle(pilot)
        assert readings_of(sheet.case, check.key)[0].value is True


async def test_suspected_with_and_without_a_probability(walking, sheet):
    async with walking.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.YES_NO)
        await at(pilot, check)
        assert "y/n/s" in screen_text(pilot.app)
        await pilot.press("s")
        await settle(pilot)
        (found,) = readings_of(sheet.case, check.key)
        assert (found.value, found.probability_pct) == ("suspected", None)
        assert "50 % by the table" in screen_text(pilot.app)
        await pilot.press("3", "0")
        await settle(pilot)
        (found,) = readings_of(sheet.case, check.key)
        assert (found.value, found.probability_pct) == ("suspected", 30.0)
        assert "suspected, 30 %" in screen_text(pilot.app)
        await pilot.press("0")  # 300 % is no probability
        await settle(pilot)
        assert readings_of(sheet.case, check.key) == [found]
        sheet.undo()  # s, 3 and 0 are one edit
        assert not readings_of(sheet.case, check.key)


async def test_suspected_and_not_seen_can_be_chosen(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.YES_NO)
        await at(pilot, check)
        await pilot.press("enter")
        await settle(pilot)
        assert "cannot be seen here" in screen_text(pilot.app)
        await pilot.press("down", "down", "enter")
        await settle(pilot)
        await pilot.press("2", "0", "enter")
        await settle(pilot)
        (found,) = readings_of(sheet.case, check.key)
        assert (found.value, found.probability_pct) == ("suspected", 20.0)
        await pilot.press("ctrl+z")
        await settle(pilot)
        await at(pilot, check)
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("down", "down", "down", "enter")
        await settle(pilot)
        await typed(pilot, "dark")
        await pilot.press("enter")
        await settle(pilot)
        assert [(left.check, left.reason) for left in sheet.case.left_out] == [(check.key, "dark")]


async def recorded(pilot, sheet, text):
    """Type an answer to a check that is answered in words, and return the check."""
    record = next(row for row in sheet.tables.checks.values() if row.kind is CheckKind.RECORD and "grand" in row.kinds)
    sheet.clear(record.key)
    await at(pilot, record)
    await typed(pilot, text)
    await pilot.press("enter")
    await settle(pilot)
    return record


async def test_count_and_record(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.COUNT)
        await at(pilot, check)
        await pilot.press("3", "enter")
        await settle(pilot)
        assert readings_of(sheet.case, check.key)[0].value == 3
        record = await recorded(pilot, sheet, "a [/ b")
        assert readings_of(sheet.case, record.key)[0].value == "a [/ b"


async def test_a_record_takes_no_grade(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        record = await recorded(pilot, sheet, "3")
        assert "this check takes no grade" in screen_text(pilot.app)
        assert not readings_of(sheet.case, record.key)


async def test_a_key_that_is_no_answer_says_what_would_be(walking, sheet):
    async with walking.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        for kind, key, told in (
            (CheckKind.YES_NO, "3", "y, n or s answers this check"),
            (CheckKind.GRADED, "n", "1 to 5 grades this check"),
        ):
            check = of_kind(sheet, kind)
            await at(pilot, check)
            await pilot.press(key)
            await settle(pilot)
            assert told in screen_text(pilot.app)
            assert check.key not in answered(sheet.case)


async def test_readings_note_by_note(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = sheet.tables.checks["pin_torque"]
        await at(pilot, check)
        for text in ("40 7,4", "41 65 in·lb", "99 7", "40 7000", "7.4"):
            await typed(pilot, text)
            await pilot.press("enter")
            await settle(pilot)
            if walking.screen.query_one(Input).value:
                assert "✗" in screen_text(walking)
                walking.screen.query_one(Input).value = ""
        await pilot.press("escape")
        await settle(pilot)
        found = [(reading.note, round(reading.value, 2)) for reading in readings_of(sheet.case, "pin_torque")]
        assert found == [(40, 7.4), (41, 7.34), (42, 7.4)]


async def test_grade_words_can_be_picked(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.GRADED)
        await at(pilot, check)
        await pilot.press("enter")
        await settle(pilot)
        await pilot.press("4", "enter")
        await settle(pilot)
        assert grade_given(sheet.case, check.key).grade == 4


async def test_overruling_asks_for_a_reason(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.GRADED)
        await at(pilot, check)
        await pilot.press("f8")
        await settle(pilot)
        await pilot.press("2", "enter")
        await settle(pilot)
        await pilot.press("enter")
        assert overruling(sheet.case, check.component) is None
        await typed(pilot, "rebuilt last year")
        await pilot.press("enter")
        await settle(pilot)
        found = overruling(sheet.case, check.component)
        assert (found.grade, found.reason) == (2.0, "rebuilt last year")


async def test_overruling_begins_at_the_grade_that_the_part_has_now(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.GRADED)
        await at(pilot, check)
        part = walking.screen.valued_part(check.component)
        await pilot.press("f8")
        await settle(pilot)
        options = walking.screen.query_one(OptionList)
        grades = sorted(row.grade for row in sheet.tables.condition_classes.values())
        assert grades[options.highlighted] == pytest.approx(part.grade.mid, abs=0.25)
        assert options.highlighted > 0
        # Nothing is marked as chosen: nobody has overruled it yet.
        assert "●" not in str(options.get_option_at_index(options.highlighted).prompt)


async def test_a_click_on_the_scale_grades(walking, sheet):
    async with walking.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        check = of_kind(sheet, CheckKind.GRADED)
        await at(pilot, check)
        form = walking.screen.query_one(CheckForm)
        for digit in (2.0, 3.5):
            line = form.line_of_cursor()
            text = screen_text(walking).splitlines()[line]
            scale = text.index(check.label[:8]) + text[text.index(check.label[:8]) :].index("·") - 1
            await pilot.click(offset=(scale + int((digit - 1) * 2), line))
            await settle(pilot)
            assert grade_given(sheet.case, check.key).grade == digit


async def test_stations_by_keys_and_mouse(walking):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert walking.screen.station == "pin_block"
        await pilot.press("right")
        assert walking.screen.station == "strings"
        await pilot.press("left", "left", "left", "left", "left")
        assert walking.screen.station == "structure"
        await pilot.click("#rail", offset=(4, 15))
        await settle(pilot)
        assert walking.screen.station == "case"


async def test_save_then_reload_is_equal(walking, sheet, tables):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await at(pilot, of_kind(sheet, CheckKind.GRADED))
        await pilot.press("4", "f2")
        await settle(pilot)
        assert not sheet.dirty
        assert read_case(sheet.path, tables)[0] == sheet.case


async def test_leaving_with_unsaved_work_asks(walking, sheet, tables):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await at(pilot, of_kind(sheet, CheckKind.GRADED))
        await pilot.press("4", "escape")
        await settle(pilot)
        assert "not saved" in screen_text(walking)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(walking.screen, WalkScreen)
        await pilot.press("ctrl+q")
        await settle(pilot)
        assert "not saved" in screen_text(walking)
        await pilot.press("escape", "escape")
        await settle(pilot)
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(walking.screen, CasesScreen)
        assert read_case(sheet.path, tables)[0] == sheet.case


async def test_a_file_that_cannot_be_written_keeps_the_work(walking, sheet):
    async with walking.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await at(pilot, of_kind(sheet, CheckKind.GRADED))
        await pilot.press("4")
        sheet.path = sheet.path.parent / "no such folder" / "case.toml"
        assert walking.screen.save_now() is False
        await settle(pilot)
        assert sheet.dirty


@pytest.mark.parametrize("size", [(1, 1), (20, 5), (60, 20), (200, 60)])
async def test_odd_sizes_do_no_harm(walking, size):
    async with walking.run_test(size=size) as pilot:
        await settle(pilot)
        for key in ("f5", "escape", "f4", "escape", "f6", "escape", "f1", "escape", "f3"):
            await pilot.press(key)
            await settle(pilot)


async def test_a_burst_of_edits_ends_with_the_last(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await at(pilot, of_kind(sheet, CheckKind.GRADED))
        await pilot.press(*"12345123451234")
        await settle(pilot)
        assert sheet.known_valuation is not None
        assert sheet.known_valuation == CaseSession(sheet.path, sheet.case, sheet.tables).valuation


class TestTypedAtOnce:
    """A keyboard hands over many keys at once where somebody is quick, or where a gauge types for him."""

    @staticmethod
    async def at_once(pilot, text):
        names = {".": "full_stop", " ": "space", "-": "minus", "·": "·", "\n": "enter"}
        for letter in text:
            pilot.app.post_message(events.Key(names.get(letter, letter), "\r" if letter == "\n" else letter))
        await settle(pilot)

    async def test_a_quantity_keeps_every_digit(self, walking, sheet):
        check = of_kind(sheet, CheckKind.MEASURED)
        low, high = check.plausible or (0.0, 100.0)
        value = round((low + high) / 2 + 0.25, 2)
        async with walking.run_test(size=(80, 24)) as pilot:
            await at(pilot, check)
            await self.at_once(pilot, f"{value} {check.unit}\n")
            assert isinstance(pilot.app.screen, WalkScreen)
        assert [reading.value for reading in readings_of(sheet.case, check.key)] == [value]

    async def test_readings_note_by_note_keep_their_order(self, walking, sheet, tables):
        check = tables.checks["pin_torque"]
        sheet.clear(check.key)
        async with walking.run_test(size=(80, 24)) as pilot:
            await at(pilot, check)
            for line in ("1 65 in·lb", "12.5", "49 9.75"):
                await self.at_once(pilot, f"{line}\n")
            assert isinstance(pilot.app.screen, ReadingsScreen)
        found = {reading.note: reading.value for reading in readings_of(sheet.case, check.key)}
        assert found == {1: pytest.approx(7.344, abs=1e-3), 2: 12.5, 49: 9.75}

    async def test_a_grade_on_a_part_keeps_the_first_words_of_its_reason(self, walking, sheet):
        async with walking.run_test(size=(80, 24)) as pilot:
            await settle(pilot)
            component = pilot.app.screen.query_one(CheckForm).current.component
            await pilot.press("f8")
            await self.at_once(pilot, "4\n2 cracks seen\n")
        assert overruling(sheet.case, component).reason == "2 cracks seen"
        assert overruling(sheet.case, component).grade == 4.0


async def test_without_a_price_the_share_says_of_what_it_is(app_on, folder, tables):
    app = app_on(CaseSession(folder / "bare.toml", bare(), tables))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert "% of cost new  no value without a replacement cost new (F6)" in screen_text(app)


async def test_the_cursor_stays_where_the_settings_say_so(folder, tables, sheet):
    app = AppraiseApp(folder, tables, sheet, OwnSettings(WalkSettings(move_on=False)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        form = app.screen.query_one(CheckForm)
        app.screen.walk_to("structure", "plate_finish")
        form.focus()
        await settle(pilot)
        await pilot.press("3", "enter")
        await settle(pilot)
        assert grade_given(sheet.case, "plate_finish").grade == 3.0
        assert form.key == "plate_finish"


async def test_what_to_mind_before_a_hand_is_put_on_it_heads_the_first_station_alone(walking, sheet):
    async with walking.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        walking.screen.walk_to("structure")
        walking.screen.query_one(CheckForm).focus()
        await pilot.press("home")
        await settle(pilot)
        shown = screen_text(walking)
        assert "Before you start" in shown
        assert "hinges" in shown
        assert "Legs and lyre" in shown
        assert "Tips over" not in shown  # a grand does not
        walking.screen.walk_to("soundboard")
        await settle(pilot)
        assert "Before you start" not in screen_text(walking)


async def test_figures_that_come_late_do_not_lead_back(app_on, sheet):
    """The rail follows the walk when the figures are there; a station that was left since is not gone back to."""
    app = app_on(sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        walk = app.screen
        walk.station = "dampers"
        walk._show_values(sheet.known_valuation)
        walk.action_station_after()
        await settle(pilot)
        assert walk.station == "keys"
        assert walk.query_one(WalkRail).key == "keys"
        assert walk.query_one(CheckForm).current.check.station == "keys"


async def test_a_part_due_by_its_age_alone_is_to_be_inspected(tables, tmp_path):
    """The screen says what the documents say: nobody has seen that a part of which nothing is known is worn out."""
    case = bare()
    old = replace(case, identity=replace(case.identity, made=Span.of_year(1955)))
    walk = AppraiseApp(tmp_path, tables, CaseSession(tmp_path / "old.toml", old, tables))
    async with walk.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        text = screen_text(walk)
        due = {part.station for part in walk.screen.worksheet.valuation.due}
        assert due
        assert "inspect first" in text if walk.screen.station in due else " inspect" in text
        assert "due now" not in text
