"""What comes between a person and the file: work not saved, another program's version, a lock, a disk that fails."""

from __future__ import annotations

import errno
import json
import os
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from textual.widgets import Input

from appraise.app import AppraiseApp
from appraise.screens.ask import AskScreen
from appraise.screens.cases import CasesScreen
from appraise.screens.list_detail import ListDetailScreen
from appraise.screens.merging import MergeScreen
from appraise.screens.recovery import RecoveryScreen
from appraise.screens.trail import TrailRows, TrailScreen
from appraise.screens.walk import WalkScreen
from appraise.services import journal
from appraise.services.opening import open_sheet
from appraise.store import files, lock
from appraise.store.read import read_case
from appraise.store.trail_file import read_trail
from appraise.store.write import write_case
from appraise.widgets.case_rows import CaseRows
from appraise.widgets.version_rows import VersionRows
from tests.helpers.screen_text import screen_text, settle

SIZES = [(80, 24), (120, 40)]


@pytest.fixture(autouse=True)
def one_person_at_one_time(monkeypatch):
    """The trail's clock stands still, and the person and the machine are invented."""

    class Clock(datetime):
        @classmethod
        def now(cls, tz=None):
            return cls(2026, 11, 20, 10, 15, 12, tzinfo=UTC)

    monkeypatch.setattr(journal, "datetime", Clock)
    monkeypatch.setattr(lock, "user_name", lambda: "invented")
    monkeypatch.setattr(lock, "host_name", lambda: "workshop")


@pytest.fixture
def path(folder):
    return folder / "grand.toml"


def crash(sheet):
    """End as a process does that is killed."""
    held = sheet.journal.lock.path
    held.write_text(json.dumps({**json.loads(held.read_text()), "pid": 2**22 + 1}))


@pytest.fixture
def unsaved(path, tables):
    """A case with three steps that a crash cut off."""
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "Typed [/b] before the crash")
    sheet.overrule("hammers", 2.0, "voiced last week")
    sheet.put(("remarks", 0, "text"), "Three cracks on the treble side.")
    crash(sheet)
    return path


def elsewhere(path, tables, **fields):
    """Change the identity in the file as another program does."""
    from dataclasses import replace

    case, _ = read_case(path, tables)
    write_case(path, replace(case, identity=replace(case.identity, **fields)), tables)


def told(app):
    """Return everything the application has said in passing, on one line."""
    return " ".join(" ".join(str(one.message).split()) for one in app._notifications)


def app_at(path, tables):
    return AppraiseApp(path.parent, tables, open_sheet(path, tables))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_unsaved_work_is_shown_and_taken_up(unsaved, tables, size, screen_snapshot):
    app = app_at(unsaved, tables)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        assert isinstance(app.screen, RecoveryScreen)
        assert screen_text(app) == screen_snapshot
        await pilot.press("f2")
        await settle(pilot)
        assert isinstance(app.screen, WalkScreen)
        sheet = app.screen.worksheet
        assert sheet.case.identity.maker == "Typed [/b] before the crash"
        assert sheet.dirty
        await pilot.press("ctrl+z", "f2")
        await settle(pilot)
    case, _ = read_case(unsaved, tables)
    assert case.identity.maker == "Typed [/b] before the crash"
    assert case.remarks[0].text.startswith("Two cracks")


async def test_a_reading_is_told_in_the_recovery_as_on_the_walk_and_in_the_trail(path, tables):
    sheet = open_sheet(path, tables).worksheet
    sheet.set_reading("pin_torque", 4.25, note=1)
    crash(sheet)
    app = app_at(path, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert isinstance(app.screen, RecoveryScreen)
        text = screen_text(app)
        assert "4.25 N·m, note 1" in text
        assert "unit" not in text
        await pilot.press("f2")
        await settle(pilot)
        await pilot.press("ctrl+l")
        await settle(pilot)
        assert "4.25 N·m, note 1" in screen_text(app)
        assert "unit" not in screen_text(app)


@pytest.mark.parametrize("size", [*SIZES, (60, 20)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_list_marks_a_case_with_work_that_waits(unsaved, tables, size):
    app = AppraiseApp(unsaved.parent, tables)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        marked = [line for line in screen_text(app).splitlines() if "⚠ not saved" in line]
        assert len(marked) == 1
        assert "3 steps were left" in marked[0]
        app.screen.query_one(CaseRows).go("grand.toml")
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, RecoveryScreen)
        await pilot.press("f8")
        await settle(pilot)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, CasesScreen)
        assert "not saved" not in screen_text(app)


async def test_unsaved_work_is_set_aside_and_kept(unsaved, tables):
    app = app_at(unsaved, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f8")
        await settle(pilot)
        assert not app.screen.worksheet.dirty
        await pilot.press("ctrl+l")
        await settle(pilot)
        assert "set aside" in screen_text(app)
        assert "Typed [/b]" in screen_text(app)
        await pilot.press("escape", "escape")
        await settle(pilot)
        assert isinstance(app.screen, CasesScreen)
    assert open_sheet(unsaved, tables).unsaved is None


async def test_deciding_later_leaves_everything(unsaved, tables):
    before = unsaved.with_name("grand.trail.jsonl").read_bytes()
    app = app_at(unsaved, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, CasesScreen)
    assert unsaved.with_name("grand.trail.jsonl").read_bytes() == before
    opened = open_sheet(unsaved, tables)
    assert opened.unsaved.left is not None
    opened.worksheet.release()


async def test_unsaved_work_on_a_file_that_changed_is_merged(unsaved, tables):
    elsewhere(unsaved, tables, maker="Somebody else's", model="Model of theirs")
    app = app_at(unsaved, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert "changed by another program since" in " ".join(screen_text(app).split())
        await pilot.press("f2")
        await settle(pilot)
        assert isinstance(app.screen, MergeScreen)
        await pilot.press("f2")
        await settle(pilot)
        assert isinstance(app.screen, MergeScreen)
        await pilot.press("left", "f2")
        await settle(pilot)
        assert app.screen.worksheet.case.identity.maker == "Typed [/b] before the crash"
        assert app.screen.worksheet.case.identity.model == "Model of theirs"
        await pilot.press("f2")
        await settle(pilot)
    case, _ = read_case(unsaved, tables)
    assert (case.identity.maker, case.identity.model) == ("Typed [/b] before the crash", "Model of theirs")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_another_programs_version_is_merged_by_choice(path, tables, size, screen_snapshot):
    app = app_at(path, tables)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        sheet = app.screen.worksheet
        sheet.put(("identity", "maker"), "Mine")
        sheet.put(("identity", "serial"), "1")
        elsewhere(path, tables, maker="Theirs", model="Two")
        await pilot.press("f6")
        await settle(pilot)
        await pilot.press("f2")
        await settle(pilot)
        assert isinstance(app.screen, MergeScreen)
        assert screen_text(app) == screen_snapshot
        assert read_case(path, tables)[0].identity.maker == "Theirs"
        # By the mouse: the right half of the second line of the first row.
        rows = app.screen.query_one(VersionRows)
        assert await pilot.click(rows, offset=(rows.size.width * 3 // 4, 1))
        await pilot.pause()
        assert "all decided" in screen_text(app)
        await pilot.press("f2")
        await settle(pilot)
        identity = read_case(path, tables)[0].identity
        assert (identity.maker, identity.serial, identity.model) == ("Theirs", "1", "Two")
        assert not sheet.dirty


async def test_leaving_a_merge_changes_nothing(path, tables):
    app = app_at(path, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        sheet = app.screen.worksheet
        sheet.put(("identity", "maker"), "Mine")
        elsewhere(path, tables, maker="Theirs")
        before = path.read_bytes()
        await pilot.press("f2")
        await settle(pilot)
        await pilot.press("escape")
        await settle(pilot)
        assert sheet.case.identity.maker == "Mine"
        assert path.read_bytes() == before
        # Leaving the case with "save" comes to the same question.
        await pilot.press("escape")
        await settle(pilot)
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, MergeScreen)
        assert path.read_bytes() == before


async def test_decisions_of_a_merge_are_asked_about_before_they_are_dropped(path, tables):
    app = app_at(path, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.screen.worksheet.put(("identity", "maker"), "Mine")
        elsewhere(path, tables, maker="Theirs")
        await pilot.press("f2")
        await settle(pilot)
        await pilot.press("left", "escape")
        await settle(pilot)
        assert isinstance(app.screen, AskScreen)
        assert "What you decided is not merged yet" in screen_text(app)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, MergeScreen)
        await pilot.press("escape", "enter")
        await settle(pilot)
        assert read_case(path, tables)[0].identity.maker == "Mine"


async def test_another_programs_change_is_said_when_the_terminal_is_turned_to(path, tables):
    app = app_at(path, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        elsewhere(path, tables, maker="Theirs")
        app.app_focus = False
        app.app_focus = True
        await settle(pilot)
        assert "changed by another program" in told(app)


async def test_a_file_that_is_gone_or_no_case_any_more(path, tables):
    app = app_at(path, tables)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        sheet = app.screen.worksheet
        sheet.put(("identity", "maker"), "Mine")
        app.screen.show_case()
        await settle(pilot)
        path.write_text("no case\n")
        await pilot.press("f2")
        await settle(pilot)
        assert path.read_text() == "no case\n"
        assert "Nothing was overwritten" in told(app)
        path.unlink()
        await pilot.press("f2")
        await settle(pilot)
        assert isinstance(app.screen, AskScreen)
        await pilot.press("enter")
        await settle(pilot)
        assert read_case(path, tables)[0].identity.maker == "Mine"


async def test_a_case_somebody_has_open_is_read_only(path, tables):
    other = open_sheet(path, tables).worksheet
    app = app_at(path, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert f"invented on workshop, process {os.getpid()}" in told(app)
        assert "read-only" in screen_text(app)
        sheet, before = app.screen.worksheet, app.screen.worksheet.case
        await pilot.press("f6")
        await settle(pilot)
        await pilot.press("down", "delete", "ctrl+z", "end", "f3", "f2")
        await settle(pilot)
        assert sheet.case is before
        assert "Ctrl+E saves under another name" in told(app)
        await pilot.press("escape")
        await settle(pilot)
        other.put(("identity", "maker"), "Saved by the other")
        other.save()
        other.close()
        await pilot.press("f2")
        await settle(pilot)
        assert sheet.case.identity.maker == "Saved by the other"
        sheet.put(("identity", "model"), "Written")
        assert sheet.case.identity.model == "Written"


async def test_an_old_lock_of_another_machine_is_asked_about(path, tables):
    other = open_sheet(path, tables).worksheet
    held = other.journal.lock.path
    held.write_text(json.dumps({**json.loads(held.read_text()), "host": "elsewhere"}))
    os.utime(held, (time.time() - 86400,) * 2)
    app = app_at(path, tables)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert isinstance(app.screen, AskScreen)
        await pilot.press("right", "enter")
        await settle(pilot)
        assert not app.screen.worksheet.read_only
        assert len([screen for screen in app.screen_stack if isinstance(screen, WalkScreen)]) == 1


async def test_a_full_disk_is_said_and_another_name_helps(path, tables, tmp_path, monkeypatch):
    real = os.write

    def full(handle, content):
        target = str(Path(f"/proc/self/fd/{handle}").readlink())
        if target.startswith(str(path.parent)):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(handle, content)

    app = app_at(path, tables)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        sheet = app.screen.worksheet
        monkeypatch.setattr(files.system, "write", full)
        sheet.put(("identity", "maker"), "Kept in memory")
        app.screen.show_case()
        await settle(pilot)
        assert "in memory only" in screen_text(app)
        assert "Ctrl+E saves it under another name" in told(app)
        await pilot.press("f2")
        await settle(pilot)
        assert "Not saved" in told(app)
        await pilot.press("ctrl+e")
        await settle(pilot)
        app.screen.query_one(Input).value = "grand"
        await pilot.press("enter")
        await settle(pilot)
        assert "is there already" in screen_text(app)
        app.screen.query_one(Input).value = str(tmp_path / "elsewhere")
        await pilot.press("enter")
        await settle(pilot)
        assert sheet.path == tmp_path / "elsewhere.toml"
        assert not sheet.dirty
        assert not sheet.trouble
    assert read_case(tmp_path / "elsewhere.toml", tables)[0].identity.maker == "Kept in memory"
    assert read_case(path, tables)[0].identity.maker == "Ostravell"


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_trail(path, tables, size, screen_snapshot, monkeypatch):
    monkeypatch.setattr(lock.secrets, "token_hex", lambda _n: "0" * 12)
    app = app_at(path, tables)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        sheet = app.screen.worksheet
        sheet.overrule("hammers", 2.0, "voiced last week")
        sheet.put(("identity", "maker"), "First [b]")
        sheet.overrule("hammers", 3.0, "heard again")
        sheet.undo()
        await pilot.press("ctrl+l")
        await settle(pilot)
        assert isinstance(app.screen, TrailScreen)
        rows = app.screen.query_one(TrailRows)
        rows.go("5.0")
        await pilot.pause()
        assert "First [b]" in screen_text(app)
        await pilot.press("enter")
        await settle(pilot)
        text = screen_text(app)
        assert "First [b]" not in text
        assert text.count("Grade · Hammers") >= 3
        assert "voiced last week" in text
        assert _without_hash(text) == screen_snapshot
        await pilot.press("enter")
        await settle(pilot)
        assert "First [b]" in screen_text(app)


def _without_hash(text):
    import re

    return re.sub(r"[0-9a-f]{64}", "hash", text)


async def test_the_version_of_a_report_is_taken_out(path, tables, tmp_path):
    from appraise.services.report_audit import record_report

    report = tmp_path / "report.md"
    report.write_text("the report\n")
    case_bytes = path.read_bytes()
    assert record_report(path, files.digest_of(case_bytes), report, tables) == ""
    sheet = open_sheet(path, tables)
    sheet.worksheet.put(("identity", "maker"), "Later")
    sheet.worksheet.save()
    app = AppraiseApp(path.parent, tables, sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+l")
        await settle(pilot)
        app.screen.query_one(TrailRows).go("2")
        await pilot.press("ctrl+e")
        await settle(pilot)
        await pilot.press("enter")
        await settle(pilot)
    (taken,) = path.parent.glob("grand-*.toml")
    assert taken.read_bytes() == case_bytes
    assert [record.act for record in read_trail(taken).records] == ["begin"]
    assert [record.act for record in read_trail(path).records] == ["begin", "report", "edit", "save"]


@pytest.mark.parametrize("kind", [RecoveryScreen, MergeScreen, TrailScreen])
def test_what_follows_size_and_cursor_is_in_one_place(kind):
    assert issubclass(kind, ListDetailScreen)
    assert not {"on_resize", "on_row_list_moved", "CSS_PATH"} & vars(kind).keys()
