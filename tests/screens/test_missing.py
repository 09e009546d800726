"""What is missing before a case is handed over: on a screen that leads there."""

from __future__ import annotations

import pytest

from appraise.model.case import Remark
from appraise.screens.missing import MissingRows, MissingScreen
from appraise.screens.particulars import ParticularsScreen
from appraise.screens.walk import WalkScreen
from appraise.services.case_session import CaseSession
from appraise.services.hand_over import Lack, missing
from appraise.widgets.check_form import CheckForm
from appraise.widgets.field_rows import FieldRows
from tests.helpers import worksheet_cases
from tests.helpers.screen_text import screen_text, settle


@pytest.fixture
def blank(folder, tables):
    """An upright that nobody has looked at."""
    return CaseSession(folder / "cottage.toml", worksheet_cases.upright(), tables)


def of(sheet, lack):
    return [one.row for one in missing(sheet.case, sheet.tables, sheet.path.parent) if one.lack is lack]


def test_what_was_answered_left_out_stated_or_photographed_is_not_missing(blank):
    assert "plate_crack" in of(blank, Lack.UNANSWERED)
    assert "back_gap" in of(blank, Lack.UNANSWERED)
    blank.set_reading("plate_crack", False)
    blank.leave_out("back_gap", "against the wall")
    assert not {"plate_crack", "back_gap"} & {*of(blank, Lack.UNANSWERED)}
    assert "bridge_cap_cracks" in of(blank, Lack.UNSEEN)
    blank.look({"bridges": 3.0})
    assert "bridge_cap_cracks" in of(blank, Lack.PRELIMINARY)
    assert "bridge_cap_cracks" not in of(blank, Lack.UNSEEN)
    assert "assignment.limits" in of(blank, Lack.UNSTATED)
    blank.put(("assignment", "limits"), "back not opened")
    assert "assignment.limits" not in of(blank, Lack.UNSTATED)
    blank.add(("remarks",), Remark("case", "A dent", photos=("dent.jpg",)), "remark")
    assert of(blank, Lack.UNPHOTOGRAPHED) == ["remarks.0"]
    (blank.path.parent / "dent.jpg").write_bytes(b"")
    assert of(blank, Lack.UNPHOTOGRAPHED) == []


async def test_enter_leads_to_the_row_and_back_it_is_gone(app_on, blank, screen_snapshot):
    app = app_on(blank)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+u")
        await settle(pilot)
        assert isinstance(app.screen, MissingScreen)
        assert screen_text(app) == screen_snapshot
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)
        assert app.screen.query_one(CheckForm).key == "plate_crack"
        await pilot.press("n", "ctrl+u", "end")
        await settle(pilot)
        last = app.screen.query_one(MissingRows).current
        assert not last.station
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, ParticularsScreen)
        assert app.screen.query_one(FieldRows).key == last.row
        await pilot.press("escape")
        await settle(pilot)
        assert "Plate crack" not in screen_text(app)
