"""Before and after a move on the screen: keep the state, walk the arrival beside it, tick remarks, see the outcome."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from textual.widgets import Input, OptionList

from appraise.app import AppraiseApp
from appraise.model.case import Claim, Origin, Remark
from appraise.screens.arrival import ArrivalScreen
from appraise.screens.cases import CasesScreen
from appraise.screens.documents import DocumentsScreen
from appraise.screens.fields import RecordScreen
from appraise.screens.outcome import OutcomeScreen
from appraise.screens.remarks import RemarksScreen
from appraise.screens.walk import WalkScreen
from appraise.services.arrival import AS_BEFORE, remembering
from appraise.services.case_session import CaseSession
from appraise.services.walk import checks_of, grade_given, readings_of
from appraise.store.baseline import freeze
from appraise.store.read import read_case
from appraise.store.write import write_case
from appraise.widgets.case_rows import CaseRows
from appraise.widgets.check_form import CheckForm
from appraise.widgets.checkbox import Tick
from appraise.widgets.field_rows import FieldRows
from appraise.widgets.footer import Foot
from appraise.widgets.outcome_rows import OutcomeRows
from tests.helpers.golden import whole_or_digest
from tests.helpers.screen_text import screen_text, settle
from tests.helpers.worksheet_cases import HOSTILE

SAMPLES = Path(__file__).parents[2] / "sample_cases"
SIZES = [(80, 24), (120, 40)]


@pytest.fixture
def fresh(tmp_path, tables):
    """The grand two weeks before it is moved; no state is kept yet."""
    path = tmp_path / "grand.toml"
    path.write_bytes((SAMPLES / "removal_before.toml").read_bytes())
    case, _ = read_case(path, tables)
    return CaseSession(path, case, tables)


@pytest.fixture
def kept(fresh):
    """The same with the state before the move kept."""
    fresh.change(remembering(fresh.case, freeze(fresh.path, fresh.case, "removal")), "setting")
    fresh.save()
    return fresh


@pytest.fixture
def moved(kept, tables):
    """The same eleven days after its delivery."""
    after, _ = read_case(SAMPLES / "removal_after.toml", tables)
    claim = Claim(date(2026, 10, 23), 480.0, None, Decimal(15000), None, Decimal(250))
    write_case(kept.path, replace(after, earlier_state=kept.case.earlier_state, claim=claim), tables)
    case, _ = read_case(kept.path, tables)
    return CaseSession(kept.path, case, tables)


def opened(sheet) -> AppraiseApp:
    return AppraiseApp(sheet.path.parent, sheet.tables, sheet)


async def press(pilot, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settle(pilot)


async def enter(pilot, text: str) -> None:
    pilot.app.screen.query_one(Input).value = text
    await press(pilot, "enter")


async def arrive(pilot, day: str = "2026-11-03") -> None:
    """Answer what is asked at the beginning of the inspection on arrival."""
    for text in (day, "A. Later", "claim"):
        await enter(pilot, text)


SCREENS = {
    "none": ("fresh", ["ctrl+r"]),
    "kept": ("kept", ["ctrl+r"]),
    "begun": ("moved", ["ctrl+r"]),
    "walk": ("moved", ["left"]),
    "earlier_remarks": ("moved", ["f7"]),
    "became": ("kept", ["f7", "home", "enter"]),
    "signs": ("moved", ["f7", "home", "down", "down", "down", "down", "enter"]),
    "outcome": ("moved", ["ctrl+r", "f5"]),
    "outcome_money": ("moved", ["ctrl+r", "f5", "pagedown", "pagedown", "pagedown", "pagedown"]),
    "outcome_end": ("moved", ["ctrl+r", "f5", "end"]),
    "nothing_lost": ("kept", ["ctrl+r", "f5"]),
    "hand_over": ("moved", ["ctrl+r", "f5", "f12"]),
}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", SCREENS)
async def test_screen(name, size, request, screen_snapshot):
    sheet, keys = SCREENS[name]
    app = opened(request.getfixturevalue(sheet))
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        await press(pilot, *keys)
        text = screen_text(app)
    assert whole_or_digest(text, whole=size == SIZES[0] or name == "outcome") == screen_snapshot


async def test_the_whole_way_by_keyboard(fresh, tables):
    app = opened(fresh)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await press(pilot, "ctrl+r", "enter")
        await enter(pilot, "removal to Pellings Reach")
        earlier = fresh.case.earlier_state
        assert (earlier.purpose, earlier.day) == ("removal to Pellings Reach", date(2026, 10, 6))
        assert not fresh.dirty
        assert fresh.path.with_name(earlier.file).read_bytes() == (SAMPLES / "removal_before.toml").read_bytes()
        await press(pilot, "enter")
        await enter(pilot, "2026-10-05")
        assert "✗ before 2026-10-06" in screen_text(app)
        await arrive(pilot)
        asked = fresh.case.assignment
        assert (asked.inspected, asked.assessor, asked.purpose) == (date(2026, 11, 3), "A. Later", "claim")
        assert fresh.case.grades == ()
        await press(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
        form = app.screen.query_one(CheckForm)
        app.screen.walk_to("case", "legs_grand")
        await settle(pilot)
        assert "was Nearly new" in screen_text(app)
        await press(pilot, "4", "full_stop")
        assert grade_given(fresh.case, "legs_grand").grade == 4.5
        assert "▼ Legs and leg plates" in screen_text(app)
        await press(pilot, "down", "space")
        assert grade_given(fresh.case, "casters").reason == AS_BEFORE
        app.screen.walk_to("structure", "plate_finish")
        await settle(pilot)
        await press(pilot, *["space"] * 3)
        assert form.key == "nose_bolt_loose"  # over the heading of the next part
        assert readings_of(fresh.case, "plate_bolts_snug")
        await press(pilot, "home", "space")
        assert readings_of(fresh.case, "plate_crack")
        assert form.key == "plate_repair"
        app.screen.walk_to("case", "casters")
        await settle(pilot)
        assert "= Casters" in screen_text(app)
        app.screen.walk_to("pin_block", "pin_torque")
        await settle(pilot)
        await press(pilot, "space")
        assert len(readings_of(fresh.case, "pin_torque")) == 12
        assert form.key != "pin_torque"
        await press(pilot, "ctrl+z")
        assert readings_of(fresh.case, "pin_torque") == []
        await press(pilot, "ctrl+r", "f7", "home", "enter", "enter")
        assert fresh.case.remarks[0].earlier == 1
        assert "✓ kept    Case and veneer: Dent" in screen_text(app)
        await press(pilot, "f3")
        await press(pilot, "down", "t", "f2", "down", "enter")
        choices = app.screen.query_one(OptionList)
        assert choices.option_count == len(Origin)
        await press(pilot, "t", "enter")
        assert fresh.case.remarks[1].origin is Origin.TRANSIT
        await press(pilot, "escape", "escape", "f5")
        assert isinstance(app.screen, OutcomeScreen)
        text = screen_text(app)
        assert "Loss attributable to the move" in text or "no loss is established" in text
        await press(pilot, "f12")
        assert isinstance(app.screen, DocumentsScreen)
        app.screen.query_one("#as-pdf", Tick).turn(on=False)
        for name in ("-md", "-html", "-json"):
            app.screen.query_one(f"#as{name}", Tick).turn(on=True)
        await press(pilot, "f2")
        dossier = fresh.path.with_name("grand-loss.md").read_text(encoding="utf-8")
        assert "set for: removal to Pellings Reach" in dossier
        assert not fresh.dirty
        assert fresh.path.with_name("grand-loss.html").exists()
        await press(pilot, "escape", "escape", "escape", "escape")
        assert isinstance(app.screen, CasesScreen)
    case, problems = read_case(fresh.path, tables)
    assert problems == []
    assert case == fresh.case


async def test_an_arrival_on_the_day_of_the_move_is_walked_from_the_start_too(fresh):
    app = opened(fresh)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.screen.walk_to("case", "casters")
        await press(pilot, "ctrl+r", "enter")
        await enter(pilot, "removal to Pellings Reach")
        await press(pilot, "enter")
        await arrive(pilot, "2026-10-06")
        await press(pilot, "enter")
        assert isinstance(app.screen, WalkScreen)
        assert (app.screen.station, app.screen.query_one(CheckForm).key) == ("structure", "plate_crack")


async def test_the_bench_starts_it_and_does_not_list_the_frozen_copy(kept, tables):
    app = AppraiseApp(kept.path.parent, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        rows = app.screen.query_one(CaseRows)
        assert ".before-" not in screen_text(app)
        assert rows.key == "grand.toml"
        assert len(app.screen.query_one(Foot).keys) <= 6
        assert "Before and after" in screen_text(app)
        await press(pilot, "ctrl+r")
        assert isinstance(app.screen, ArrivalScreen)
        await press(pilot, "escape")
        assert isinstance(app.screen, WalkScreen)
        await press(pilot, "f6", "end")
        assert "▸ Before and after a move (Ctrl+R)" in screen_text(app)
        await press(pilot, "enter")
        assert isinstance(app.screen, ArrivalScreen)


async def test_ticks_are_made_changed_and_taken_back(kept):
    app = opened(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await press(pilot, "ctrl+r", "enter")
        await arrive(pilot)
        await press(pilot, "f7", "home", "down", "enter", "w", "enter")
        assert isinstance(app.screen, RecordScreen)
        assert "From the move, or older?" in screen_text(app)
        await press(pilot, "escape")
        assert (kept.case.remarks[0].earlier, kept.case.remarks[0].worse) == (2, True)
        assert isinstance(app.screen, RemarksScreen)
        app.screen.query_one(FieldRows).go("earlier.3")
        await press(pilot, "enter", "r", "enter")
        assert kept.case.earlier_state.mended == (3,)
        await press(pilot, "delete")
        assert kept.case.earlier_state.mended == ()
        await press(pilot, "ctrl+z")
        assert kept.case.earlier_state.mended == (3,)


async def test_by_mouse_alone(kept):
    app = opened(kept)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await press(pilot, "ctrl+r")
        rows = app.screen.query_one(FieldRows)
        line = (
            screen_text(app)
            .splitlines()
            .index(next(text for text in screen_text(app).splitlines() if "▸ Begin" in text))
        )
        await pilot.click(offset=(10, line), times=2)
        await settle(pilot)
        await arrive(pilot)
        assert rows is app.screen.query_one(FieldRows)
        await press(pilot, "escape")
        app.screen.walk_to("case", "scratches")
        await settle(pilot)
        form = app.screen.query_one(CheckForm)
        line = next(at for at, text in enumerate(screen_text(app).splitlines()) if "○ Scratches" in text)
        await pilot.click(offset=(form.region.x + 1, line))
        await settle(pilot)
        (reading,) = readings_of(kept.case, "scratches")
        assert reading.value == 2
        assert reading.remark.endswith(AS_BEFORE)


@pytest.mark.parametrize("way", ["walk", "cases", "particulars", "result"])
async def test_once_begun_the_walk_stands_on_the_first_check_to_be_seen(kept, tables, way):
    app = AppraiseApp(kept.path.parent, tables) if way == "cases" else opened(kept)
    keys = {"walk": ["ctrl+r"], "cases": ["ctrl+r"], "particulars": ["f6", "end", "enter"], "result": ["f5", "ctrl+r"]}
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        if way != "cases":
            app.screen.walk_to("strings")
            await press(pilot, "end")
        await press(pilot, *keys[way])
        assert isinstance(app.screen, ArrivalScreen)
        await press(pilot, "enter")
        await arrive(pilot)
        while not isinstance(app.screen, WalkScreen):
            await press(pilot, "escape")
        screen, form = app.screen, app.screen.query_one(CheckForm)
        first = checks_of(tables, screen.worksheet.case.identity.kind, "structure")[0]
        assert (screen.station, form.key) == ("structure", first.key)
        assert app.focused is form
        # From there on it stays where the person goes.
        await press(pilot, "down", "f6", "escape")
        assert form.key != first.key


async def test_as_before_without_a_kept_state_is_told(fresh):
    app = opened(fresh)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        before = fresh.case
        await press(pilot, "space")
        assert fresh.case is before
        assert "No condition before a move is kept" in screen_text(app)


async def test_a_changed_copy_is_told_on_every_screen_and_nothing_breaks(moved):
    copy = moved.path.with_name(moved.case.earlier_state.file)
    copy.chmod(0o644)
    copy.write_bytes(copy.read_bytes() + b"\n")
    app = opened(moved)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        assert "put back the copy" in " ".join(screen_text(app).replace("▌", " ").split())
        await press(pilot, "space", "ctrl+r")
        assert "▸ Replace it" in screen_text(app)
        assert "found another content" in screen_text(app)
        # The damaged state takes its place for nobody who has not typed the day of the one that is given up.
        before = moved.case.earlier_state
        app.screen.query_one(FieldRows).go("set")
        await press(pilot, "enter")
        await enter(pilot, "yes")
        assert "expected 2026-10-06, its own day" in screen_text(app)
        await press(pilot, "escape")
        assert moved.case.earlier_state == before
        await press(pilot, "enter")
        await enter(pilot, "2026-10-06")
        assert "Keep the condition before the move, for" in screen_text(app)
        await press(pilot, "escape")
        await press(pilot, "f7")
        assert isinstance(app.screen, RemarksScreen)
        await press(pilot, "escape", "f5")
        assert isinstance(app.screen, ArrivalScreen)


async def test_another_instrument_is_told_on_the_outcome(moved):
    moved.put(("identity", "serial"), "1")
    app = opened(moved)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await press(pilot, "ctrl+r", "f5")
        text = " ".join(screen_text(app).split())
        assert "found the serial “1”, expected “28655”" in text.replace("▌", "")
        await press(pilot, "f12", "f2")
        assert "✗" in screen_text(app)
    assert not moved.path.with_name("grand-loss.pdf").exists()


async def test_the_claim_is_filled_in_and_refused(moved):
    app = opened(moved)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await press(pilot, "ctrl+r")
        app.screen.query_one(FieldRows).go("claim.weight_kg")
        await press(pilot, "enter")
        await enter(pilot, "1058,2189 lb")
        assert moved.case.claim.weight_kg == pytest.approx(480.0, abs=0.001)
        app.screen.query_one(FieldRows).go("claim.surrendered")
        await press(pilot, "enter", "y", "enter")
        assert moved.case.claim.surrendered is True
        app.screen.query_one(FieldRows).go("claim.delivered")
        await press(pilot, "enter")
        await enter(pilot, "2026-01-01")
        await press(pilot, "f5")
        assert "found the delivery on 2026-01-01" in " ".join(screen_text(app).split())


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_hostile_words_stay_words(moved, tables, size):
    text = HOSTILE
    before, _ = read_case(moved.path.with_name(moved.case.earlier_state.file), tables)
    identity = replace(before.identity, maker=text, model=text)
    remarks = (Remark("case", text, text), Remark("keys", "x", photos=("a[/].jpg",)))
    grades = tuple(replace(grade, reason=text) for grade in before.grades)
    write_case(moved.path, replace(before, identity=identity, remarks=remarks, grades=grades), tables)
    case, _ = read_case(moved.path, tables)
    sheet = CaseSession(moved.path, case, tables)
    sheet.change(remembering(case, freeze(moved.path, case, text)), "setting")
    sheet.put(("assignment", "inspected"), date(2026, 11, 3))
    sheet.add(("remarks",), Remark("case", text, text, Origin.TRANSIT), "remark")
    app = opened(sheet)
    async with app.run_test(size=size, notifications=True) as pilot:
        await settle(pilot)
        for keys in (
            ["ctrl+r"],
            ["f7"],
            ["home", "enter"],
            ["escape", "escape"],
            ["f5"],
            ["end"],
            ["f12"],
            ["escape"] * 2,
        ):
            await press(pilot, *keys)
            shown = screen_text(app)
            assert not {"\x1b", "\x07", "\u202e"} & set(shown)
        await press(pilot, "escape", "left", "space")
        assert "\x1b" not in screen_text(app)
    assert app.return_code in (0, None)


async def test_the_outcome_follows_an_edit(moved):
    app = opened(moved)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await press(pilot, "ctrl+r", "f5")
        assert "8 new" in screen_text(app)
        moved.remove(("remarks",), len(moved.case.remarks) - 1, "remark")
        app.screen.show_case()
        await settle(pilot)
        assert "7 new" in screen_text(app)
        assert app.screen.query_one(OutcomeRows).has_focus


async def test_space_passes_over_what_was_not_looked_at_before(kept):
    app = opened(kept)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await press(pilot, "ctrl+r", "enter")
        await arrive(pilot)
        await press(pilot, "enter")
        app.screen.walk_to("soundboard", "board_shims_open")
        await settle(pilot)
        form = app.screen.query_one(CheckForm)
        keys = [row.key for row in form._form if row.check is not None]
        await press(pilot, "space")
        assert readings_of(kept.case, "board_shims_open") == []
        assert "not inspected before the move; left open" in " ".join(screen_text(app).split())
        assert form.key == keys[keys.index("board_shims_open") + 1]


async def test_damage_that_no_check_shows_is_told_beside_a_loss_of_nothing(kept):
    kept.change(replace(kept.case, remarks=(Remark("legs_and_casters", "torn out", origin=Origin.TRANSIT),)), "remark")
    app = opened(kept)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await press(pilot, "ctrl+r", "f5")
        text = " ".join(screen_text(app).split())
        assert "so no loss is established" in text
        assert "not counted: Legs and casters" in text
        assert "grade or measure them" in text
        assert "appraise loss BEFORE AFTER" in text
