"""Every screen by mouse alone: no key is pressed anywhere below, and what would be typed is put into its line."""

import pytest
from textual.widgets import Input

from appraise.model.case import STATION_LABELS, STATIONS
from appraise.screens.candidates import CandidatesScreen
from appraise.screens.cases import CasesScreen
from appraise.screens.charts import ChartsScreen
from appraise.screens.choose import ChooseScreen
from appraise.screens.documents import DocumentsScreen
from appraise.screens.entry import EntryScreen
from appraise.screens.fields import RecordScreen
from appraise.screens.help import HelpScreen
from appraise.screens.measurements import MeasurementsScreen
from appraise.screens.new_case import NewCaseScreen
from appraise.screens.particulars import ParticularsScreen
from appraise.screens.readings import ReadingsScreen
from appraise.screens.remarks import RemarksScreen
from appraise.screens.result import ResultScreen
from appraise.screens.trail import TrailScreen
from appraise.screens.walk import WalkScreen
from appraise.screens.why import WhyScreen
from appraise.services.walk import answered, checks_of, grade_given, readings_of
from appraise.store.read import read_case
from appraise.tables.rows import CheckKind
from appraise.widgets.check_form import CheckForm
from appraise.widgets.field_rows import FieldRows
from appraise.widgets.keybed import Keybed
from tests.helpers.mouse import click, click_foot, command, found, roll
from tests.helpers.screen_text import screen_text, settle

SIZES = [(80, 24), (60, 20)]


@pytest.fixture(params=SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def size(request):
    return request.param


@pytest.fixture(autouse=True)
def no_keys(monkeypatch):
    """A key in one of these tests would prove nothing."""
    from textual.pilot import Pilot

    async def pressed(self, *keys):
        raise AssertionError(f"no key is pressed here: {keys}")

    monkeypatch.setattr(Pilot, "press", pressed)


async def to_the_walk(pilot):
    await settle(pilot)
    assert isinstance(pilot.app.screen, CasesScreen)
    await click(pilot, "Ostravell", times=2)
    assert isinstance(pilot.app.screen, WalkScreen)


def sheet_of(app):
    return app.screen.worksheet


async def test_the_list_opens_a_case_and_the_rail_leads_through_every_station(app_on, size):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await to_the_walk(pilot)
        for station in STATIONS:
            await click(pilot, STATION_LABELS[station])
            assert app.screen.station == station
        await command(pilot, "Back")
        assert isinstance(app.screen, CasesScreen)
        # One click takes the cursor there, and the foot opens.
        await click(pilot, "Cottage", nth=1)
        await click_foot(pilot, "Open")
        assert isinstance(app.screen, WalkScreen)
        assert sheet_of(app).path.name == "cottage.toml"


async def check_in_view(pilot, kind):
    """Walk by the mouse until a check of a kind that nobody has made is seen; return it."""
    app = pilot.app
    for station in STATIONS:
        await click(pilot, STATION_LABELS[station])
        sheet = sheet_of(app)
        done = answered(sheet.case)
        for check in checks_of(sheet.tables, sheet.case.identity.kind, station):
            if check.kind is kind and check.key not in done and not check.per_note and found(app, check.label[:9]):
                return check
    raise AssertionError(kind)


async def test_a_check_is_graded_answered_and_taken_back(app_on, size):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await to_the_walk(pilot)
        sheet = sheet_of(app)
        check = await check_in_view(pilot, CheckKind.GRADED)
        line = found(app, check.label[:9])[1]
        form = app.screen.query_one(CheckForm)
        text = screen_text(app).splitlines()[line]
        await pilot.click(offset=(text.rindex("·3·") + 1, line))
        await settle(pilot)
        assert grade_given(sheet.case, check.key).grade == 3
        # Its words, by a double click.
        await pilot.click(offset=(form.region.x + 6, line), times=2)
        await settle(pilot)
        assert isinstance(app.screen, ChooseScreen)
        await click(pilot, "5   ")
        assert grade_given(sheet.case, check.key).grade == 5
        await command(pilot, "Undo")
        assert grade_given(sheet.case, check.key).grade == 3
        await command(pilot, "Redo")
        assert grade_given(sheet.case, check.key).grade == 5
        check = await check_in_view(pilot, CheckKind.YES_NO)
        await click(pilot, check.label[:9], times=2)
        await click(pilot, "yes")
        assert readings_of(sheet.case, check.key)[0].value is True
        check = await check_in_view(pilot, CheckKind.MEASURED)
        await click(pilot, check.label[:9], times=2)
        assert isinstance(app.screen, EntryScreen)
        await click(pilot, "leaves it as it was")
        assert isinstance(app.screen, WalkScreen)
        await click(pilot, check.label[:9], times=2)
        low, high = check.plausible
        app.screen.query_one(Input).value = f"{(low + high) / 2:g}"
        await click(pilot, "Enter")
        assert readings_of(sheet.case, check.key)[0].value == pytest.approx((low + high) / 2)
        await command(pilot, "Save")
        assert not sheet.dirty
        assert read_case(sheet.path, sheet.tables)[0] == sheet.case


async def test_the_advice_leads_to_its_check(app_on, size):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await to_the_walk(pilot)
        sheet = sheet_of(app)
        wanted = sheet.guide.left(sheet.case)[0]
        await click(pilot, "F3", nth=0)
        assert (app.screen.station, app.screen.query_one(CheckForm).key) == (wanted.station, wanted.check)


async def test_why_result_charts_and_documents(app_on, size):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await to_the_walk(pilot)
        await command(pilot, "Why?")
        assert isinstance(app.screen, WhyScreen)
        lines = len(app.screen._tree()._tree_lines)
        for _ in range(20):
            if found(app, "▶"):
                break
            await roll(pilot, app.screen._tree())
        await click(pilot, "▶")
        assert len(app.screen._tree()._tree_lines) > lines
        await command(pilot, "Back")
        assert isinstance(app.screen, WalkScreen)
        await command(pilot, "Result")
        assert isinstance(app.screen, ResultScreen)
        await click(pilot, "Market factor", times=2)
        assert isinstance(app.screen, WhyScreen)
        assert "Market factor" in screen_text(app)
        await command(pilot, "Back")
        await command(pilot, "Charts")
        assert isinstance(app.screen, ChartsScreen)
        await command(pilot, "Chart after")
        await command(pilot, "Back")
        await command(pilot, "Document")
        assert isinstance(app.screen, DocumentsScreen)
        await click(pilot, "PDF")
        await click(pilot, "Markdown")
        sheet = app.screen._worksheet
        for _ in range(8):
            if found(app, "Write (F2)"):
                break
            await roll(pilot, app.screen.query_one("#documents"))
        await click(pilot, "Write (F2)")
        written = list(sheet.path.parent.glob("*.md"))
        assert len(written) == 1
        for _ in range(8):
            if found(app, "Leave (Esc)"):
                break
            await roll(pilot, app.screen.query_one("#documents"))
        await click(pilot, "Leave (Esc)")
        assert isinstance(app.screen, ResultScreen)


async def test_particulars_fields_choices_and_records(app_on, size):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await to_the_walk(pilot)
        sheet = sheet_of(app)
        await command(pilot, "Particulars")
        assert isinstance(app.screen, ParticularsScreen)
        rows = app.screen.query_one(FieldRows)
        await click(pilot, "Maker ")
        assert rows.key == "identity.maker"
        assert isinstance(app.screen, ParticularsScreen), "one click selects"
        await command(pilot, "Edit")
        app.screen.query_one(Input).value = "Pasted & Sons"
        await click(pilot, "takes it")
        assert sheet.case.identity.maker == "Pasted & Sons"
        await click(pilot, "Kind ", times=2)
        await click(pilot, "upright")
        assert str(sheet.case.identity.kind) == "upright"
        await command(pilot, "Undo")
        # A record opens with one click on its mark, and is added with one on the plus.
        for _ in range(40):
            if found(app, "+ add a renewal"):
                break
            await roll(pilot, rows)
        before = len(sheet.case.renewals)
        await click(pilot, "+ add a renewal")
        assert isinstance(app.screen, RecordScreen)
        assert len(sheet.case.renewals) == before  # it has not what it needs
        assert "Counts for nothing until it has: components" in screen_text(app)
        await command(pilot, "Back")
        assert isinstance(app.screen, ParticularsScreen)
        await command(pilot, "Back")
        assert isinstance(app.screen, WalkScreen)


async def test_a_row_opens_with_one_click_on_its_mark_and_is_selected_with_one_beside(app_on, size):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await to_the_walk(pilot)
        await command(pilot, "Defects")
        assert isinstance(app.screen, RemarksScreen)
        rows = app.screen.query_one(FieldRows)
        mark = found(app, "▸ ")
        assert mark is not None
        await pilot.click(offset=(mark[0] + 12, mark[1]))
        await settle(pilot)
        assert isinstance(app.screen, RemarksScreen)
        assert rows.current.index == 0
        await pilot.click(offset=mark)
        await settle(pilot)
        assert isinstance(app.screen, RecordScreen)
        await command(pilot, "Back")
        assert isinstance(app.screen, RemarksScreen)
        # Who double-clicks on the mark gets the same, and nothing on the screen that opens.
        await pilot.click(offset=mark, times=2)
        await settle(pilot)
        assert isinstance(app.screen, RecordScreen)
        assert sum(isinstance(screen, RecordScreen) for screen in app.screen_stack) == 1
        assert type(app.screen_stack[-1]) is RecordScreen


async def test_instruments_and_readings_note_by_note(app_on, size):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await to_the_walk(pilot)
        sheet = sheet_of(app)
        await command(pilot, "Measurements")
        assert isinstance(app.screen, MeasurementsScreen)
        await click(pilot, "Wood")
        assert app.screen.chosen.key == "wood"
        await command(pilot, "Use")
        assert isinstance(app.screen, EntryScreen)
        await click(pilot, "leaves it as it was")
        await command(pilot, "Back")
        await click(pilot, STATION_LABELS["pin_block"])
        form = app.screen.query_one(CheckForm)
        for _ in range(20):
            row = next(row for row in form._rows if row.key == "pin_torque")
            words = row.lines[0].plain[:12].rstrip()  # with its mark, and as far as there is room beside the answer
            if found(app, words):
                break
            await roll(pilot, form)
        await click(pilot, words, times=2)
        assert isinstance(app.screen, ReadingsScreen)
        keys = app.screen.query_one(Keybed)
        naturals = found(app, "····")
        await pilot.click(offset=(naturals[0] + 3, naturals[1]))
        await settle(pilot)
        note = keys.cursor
        assert note == 6
        app.screen.query_one(Input).value = "9"
        await pilot.click(Input)
        await click(pilot, "writes")
        assert {reading.note: reading.value for reading in readings_of(sheet.case, "pin_torque")}[note] == 9
        await click(pilot, "Esc done")
        assert isinstance(app.screen, WalkScreen)


async def test_help_trail_new_case_and_candidates(app_on, size):
    app = app_on()
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        await command(pilot, "New case")
        assert isinstance(app.screen, NewCaseScreen)
        await click(pilot, "Leave (Esc)")
        await command(pilot, "Candidates")
        assert isinstance(app.screen, CandidatesScreen)
        await command(pilot, "Filter")
        await click(pilot, "Leave (Esc)")
        await command(pilot, "Back")
        assert isinstance(app.screen, CasesScreen)
        await to_the_walk(pilot)
        await command(pilot, "Help")
        assert isinstance(app.screen, HelpScreen)
        await click(pilot, "closes this page")
        assert isinstance(app.screen, WalkScreen)
        await command(pilot, "Trail")
        assert isinstance(app.screen, TrailScreen)
        await command(pilot, "Back")
        # A change that is not saved is asked about, and the answer is clicked.
        check = await check_in_view(pilot, CheckKind.YES_NO)
        await click(pilot, check.label[:9], times=2)
        await click(pilot, "no", nth=0)
        await command(pilot, "Quit")
        await click(pilot, "Quit without saving")
    assert app.return_code == 0
