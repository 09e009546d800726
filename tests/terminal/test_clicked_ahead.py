"""Every click counts where it was made: thirty events of the mouse a second, whether the disk is slow or quick."""

from __future__ import annotations

import random

import pytest

from appraise.app import AppraiseApp
from appraise.model.case import STATIONS
from appraise.services.opening import open_sheet
from appraise.services.walk import checks_of
from appraise.store.read import read_case
from appraise.store.write import write_case
from appraise.tables.rows import CheckKind
from appraise.widgets.check_form import CheckForm
from tests.helpers import worksheet_cases
from tests.helpers.screen_text import screen_text, settle
from tests.helpers.typist import THIRTY_A_SECOND, Typist
from tests.helpers.walked import answers_of

SIZE = (120, 40)
"""Columns and lines; the rows of the station are all in view."""
CLICKS = 60


@pytest.fixture
def upright(tmp_path, tables):
    path = tmp_path / "upright.toml"
    write_case(path, worksheet_cases.upright(), tables)
    return path


async def scales(case, tables):
    """Return where the scale of each graded check of the first station is shown: line and column of its figures."""
    kind = worksheet_cases.upright().identity.kind
    graded = [check for check in checks_of(tables, kind, STATIONS[0]) if check.kind is CheckKind.GRADED]
    opened = open_sheet(case, tables)
    app = AppraiseApp(case.parent, tables, opened)
    found = {}
    async with app.run_test(size=SIZE) as pilot:
        await settle(pilot)
        form = app.screen.query_one(CheckForm).region
        for line, text in enumerate(screen_text(app).splitlines()):
            row = text[form.x : form.right]
            for check in graded:
                if check.label[:20] in row and "·3·" in row:
                    found[check.key] = (line, form.x + row.rindex("·3·") - 3)
    opened.worksheet.release()
    return found


@pytest.mark.parametrize("disk", [0.0, 0.25])
async def test_no_click_is_lost_or_comes_down_elsewhere(upright, tables, disk):
    places = await scales(upright, tables)
    assert len(places) >= 4
    chance = random.Random(7)
    typist = Typist(upright, disk=disk, share=0.3, size=SIZE[::-1])
    typist.wait(b"best")
    expected: dict[str, float] = {}
    key = ""
    for _ in range(CLICKS):
        key = chance.choice([other for other in places if other != key])  # twice in one place is a double click
        grade = chance.randrange(1, 6)
        line, column = places[key]
        typist.click(column + 2 * (grade - 1), line, gap=THIRTY_A_SECOND)
        for down in chance.choice([(), (), (True, False)]):  # all rows are in view: there is nowhere to roll to
            typist.roll(column, line, down=down)
        expected[key] = float(grade)
    typist.type(["f2", "ctrl+q"])
    assert typist.end() == 0, typist.text()
    assert answers_of(read_case(upright, tables)[0]) == expected
