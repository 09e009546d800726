"""A quick look: one key a part, preliminary wherever it is seen, and over as soon as a part is checked."""

from __future__ import annotations

import pytest

from appraise.model.case import Grade
from appraise.model.problem import InputError
from appraise.screens.quick_look import QuickLookScreen
from appraise.services.case_session import CaseSession
from appraise.services.opening import open_sheet
from appraise.services.quick_look import QUICK_LOOK, look_rows
from appraise.services.walk import overruling
from appraise.store.read import read_case
from appraise.widgets.look_rows import DONE, LookRows
from tests.helpers import worksheet_cases
from tests.helpers.screen_text import screen_text, settle


@pytest.fixture
def blank(folder, tables):
    """An upright that nobody has looked at."""
    return CaseSession(folder / "cottage.toml", worksheet_cases.upright(), tables)


def parts(sheet):
    return [row.key for row in look_rows(sheet.case, sheet.tables) if row.component is not None]


def looked(sheet):
    return {grade.component: grade.grade for grade in sheet.case.grades if grade.preliminary}


async def test_one_key_a_part_grades_the_whole_piano(app_on, blank, screen_snapshot):
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+o")
        await settle(pilot)
        assert isinstance(app.screen, QuickLookScreen)
        every = parts(blank)
        await pilot.press(*("23" * len(every))[: len(every)])
        await settle(pilot)
        assert list(looked(blank)) == every
        assert [*looked(blank).values()] == [2.0, 3.0] * (len(every) // 2)
        assert app.screen.query_one(LookRows).key == DONE
        await pilot.press("5")  # one key too many
        await settle(pilot)
        assert [*looked(blank).values()] == [2.0, 3.0] * (len(every) // 2)
        assert screen_text(app) == screen_snapshot
        await pilot.press("escape")
        await settle(pilot)
        shown = screen_text(app)
        assert "preliminary" in shown.splitlines()[0]
        assert shown.count("preliminary") >= 3


@pytest.mark.parametrize("text", ["2.5", "2,5", "2½", "2."])
async def test_half_a_grade_is_for_the_part_just_graded_and_one_step_of_undo(app_on, blank, text):
    app = app_on(blank)
    names = {",": "comma", ".": "full_stop"}
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+o", *(names.get(letter, letter) for letter in text), "4")
        await settle(pilot)
        first, second, *_ = parts(blank)
        assert looked(blank) == {first: 2.5, second: 4.0}
        await pilot.press("ctrl+z", "ctrl+z")
        await settle(pilot)
        assert looked(blank) == {}
        await pilot.press("ctrl+y")
        await settle(pilot)
        assert looked(blank) == {first: 2.5}


async def test_a_digit_on_a_heading_grades_the_station_but_no_fault_of_the_whole(app_on, blank):
    app = app_on(blank)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+o", "ctrl+up", *"3", *"4")
        await settle(pilot)
        assert looked(blank) == {
            **dict.fromkeys(("plate", "rim_and_posts", "bridges"), 3.0),
            **dict.fromkeys(("soundboard", "ribs_and_glue"), 4.0),
        }
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert set(looked(blank)) == {"plate", "rim_and_posts", "bridges"}


def test_the_first_check_of_a_part_replaces_its_grade_and_a_note_does_not(blank):
    blank.look({"plate": 3.0, "hammers": 4.0})
    blank.set_reading("plate_serial_record", "48218")
    assert looked(blank) == {"plate": 3.0, "hammers": 4.0}
    blank.set_reading("plate_crack", False)
    assert looked(blank) == {"hammers": 4.0}
    blank.undo()
    assert looked(blank) == {"plate": 3.0, "hammers": 4.0}
    blank.add_readings("hammer_groove", {None: 1.0})
    assert looked(blank) == {"plate": 3.0}
    with pytest.raises(InputError, match="Hammers: checked"):
        blank.look({"hammers": 2.0})
    blank.overrule("bridges", 3.0, "cap lifted, seen with a mirror")
    with pytest.raises(InputError, match="Bridges: you set its grade"):
        blank.look({"bridges": 2.0})
    assert overruling(blank.case, "bridges").grade == 3.0


def test_it_is_kept_in_file_and_trail_and_comes_back_after_a_crash(folder, tables):
    path = folder / "cottage.toml"
    sheet = open_sheet(path, tables).worksheet
    sheet.look({"plate": 2.0})
    sheet.save()
    assert read_case(path, tables)[0].grades == (Grade(2.0, "", "plate", QUICK_LOOK, preliminary=True),)
    sheet.look({"bridges": 2.0})
    sheet.look({"bridges": 2.5}, joins=True)
    sheet.leave_out("back_gap", "against the wall")
    sheet.release()  # as a crash leaves it
    again = open_sheet(path, tables)
    left = again.unsaved.left
    assert left.case == sheet.case
    assert [what for what, _ in left.past] == [
        "quick look at bridges",
        "leaving out gap between pin block and back posts",
    ]
    again.worksheet.release()


def test_the_guide_goes_on_where_only_a_quick_look_was_taken(blank):
    blank.look(dict.fromkeys(parts(blank), 3.0))
    assert blank.valuation.next_checks  # each part is still to be checked
    blank.guide.plan(blank.case, blank.tables, 256)
    assert blank.guide.left(blank.case)[0].knock_out
