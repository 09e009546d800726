"""Every call of an edit, a save, an opening or a new name fails once: old or new, never a mix, and the work stays."""

from __future__ import annotations

import errno
import os
import shutil

import pytest

from appraise.model.problem import Unreadable
from appraise.services.opening import open_sheet, recover
from appraise.store import files
from appraise.store.read import read_case
from appraise.store.trail_file import read_trail
from tests.faults.faulty import ERRORS, Faulty
from tests.helpers.edits import fingerprint


def with_system(system, action):
    """Do something while the system is another."""
    names = [name for name in vars(files.System) if not name.startswith("_")]
    kept = {name: vars(files.system).get(name) for name in names}
    for name in names:
        setattr(files.system, name, getattr(system, name))
    try:
        return action()
    finally:
        for name in names:
            if kept[name] is None:
                delattr(files.system, name)
            else:
                setattr(files.system, name, kept[name])


def edited(path, tables):
    """Open a case and change it twice, saving in between, so that a save has a version to put aside."""
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "Second")
    sheet.save()
    sheet.put(("identity", "maker"), "Third")
    return sheet


def maker(path, tables):
    case, problems = read_case(path, tables)
    assert case is not None, problems
    return case.identity.maker


def again(path, tables):
    """Open the case as after a crash and return what is offered."""
    opened = open_sheet(path, tables)
    if opened.unsaved is not None:
        recover(opened.worksheet, opened.unsaved)
    opened.worksheet.release()
    return opened.worksheet.case


def calls_of(path, tables, prepare, action):
    """Return the calls that an action makes when nothing fails."""
    sheet, system = prepare(path, tables), Faulty()
    with_system(system, lambda: action(sheet))
    sheet.release()
    return system.made


def fresh(path, tmp_path, number):
    """Return a copy of the case in a folder of its own."""
    folder = tmp_path / f"copy{number}"
    folder.mkdir()
    return files_copy(path, folder)


def files_copy(path, folder):
    return shutil.copyfile(path, folder / path.name)


@pytest.mark.parametrize(
    "error", [*ERRORS, "short"], ids=lambda error: error if error == "short" else errno.errorcode[error]
)
@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
def test_a_save(path, tables, tmp_path, error, lasting):
    made = calls_of(fresh(path, tmp_path, "dry"), tables, edited, lambda sheet: sheet.save())
    assert {"open", "write", "fsync", "fchmod", "replace", "close", "link"} <= set(made)
    saved = 0
    for at in range(len(made)):
        copy = fresh(path, tmp_path, at)
        sheet = edited(copy, tables)
        short = error == "short"
        system = Faulty(at, 0 if short else error, lasting=lasting, short=short)
        try:
            with_system(system, sheet.save)
            saved += 1
            assert not sheet.dirty
            assert maker(copy, tables) == "Third"
        except Unreadable as unreadable:
            assert not short
            assert "\n" not in str(unreadable)
            assert sheet.dirty
        assert maker(copy, tables) in ("Second", "Third"), made[at]
        assert copy.with_name("case.toml~").read_text(encoding="utf-8")
        assert sheet.case.identity.maker == "Third"
        assert not read_trail(copy).breaks
        # A process that ends here has lost nothing.
        sheet.release()
        assert again(copy, tables).identity.maker == "Third", f"{made[at]}, call {at} of {len(made)}"
        # And one that lives on can save as soon as the system can.
        sheet.save()
        assert maker(copy, tables) == "Third"
        assert not [item for item in copy.parent.iterdir() if item.name.endswith(".part")] or lasting
        assert not sheet.trouble
        sheet.close()
    assert saved or error != "short"


@pytest.mark.parametrize(
    "error", [*ERRORS, "short"], ids=lambda error: error if error == "short" else errno.errorcode[error]
)
@pytest.mark.parametrize("first", [True, False], ids=["the first edit", "a later edit"])
def test_an_edit(path, tables, tmp_path, error, first):
    def prepare(copy, tables):
        return open_sheet(copy, tables).worksheet if first else edited(copy, tables)

    def edit(sheet):
        sheet.put(("identity", "model"), "Typed")

    made = calls_of(fresh(path, tmp_path, "dry"), tables, prepare, edit)
    assert {"open", "fstat", "write", "fsync", "close"} <= set(made)
    for at in range(len(made)):
        copy = fresh(path, tmp_path, at)
        sheet = prepare(copy, tables)
        before = sheet.case
        short = error == "short"
        with_system(Faulty(at, 0 if short else error, short=short), lambda sheet=sheet: edit(sheet))
        # The work is there whatever the disk says, and what is said is true.
        assert sheet.case.identity.model == "Typed"
        trail = read_trail(copy)
        assert trail is None or not trail.breaks
        sheet.release()
        found = again(copy, tables)
        if not sheet.trouble:
            assert found.identity.model == "Typed", f"{made[at]}, call {at}: said to be kept, and was not"
        assert fingerprint(found) in (fingerprint(before), fingerprint(sheet.case))
        # What waited goes to the disk with the next step, in its order.
        sheet.put(("identity", "serial"), "77")
        assert not sheet.trouble
        sheet.release()
        found = again(copy, tables)
        assert (found.identity.model, found.identity.serial) == ("Typed", "77")


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: errno.errorcode[error])
def test_opening(path, tables, tmp_path, error):
    system = Faulty()
    copy = fresh(path, tmp_path, "dry")
    edited(copy, tables).release()

    def open_and_leave():
        open_sheet(copy, tables).worksheet.release()

    with_system(system, open_and_leave)
    for at in range(len(system.made)):
        copy = fresh(path, tmp_path, at)
        edited(copy, tables).release()
        try:
            opened = with_system(Faulty(at, error), lambda copy=copy: open_sheet(copy, tables))
            opened.worksheet.release()
        except Unreadable as unreadable:
            assert "\n" not in str(unreadable)
        assert maker(copy, tables) == "Second"
        assert again(copy, tables).identity.maker == "Third"


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: errno.errorcode[error])
def test_another_name(path, tables, tmp_path, error):
    def move(sheet):
        sheet.save_as(sheet.path.with_name("other.toml"))

    made = calls_of(fresh(path, tmp_path, "dry"), tables, edited, move)
    for at in range(len(made)):
        copy = fresh(path, tmp_path, at)
        sheet = edited(copy, tables)
        try:
            with_system(Faulty(at, error), lambda sheet=sheet: move(sheet))
            assert maker(sheet.path, tables) == "Third"
        except Unreadable as unreadable:
            assert "\n" not in str(unreadable)
        assert sheet.case.identity.maker == "Third"
        assert maker(copy, tables) == "Second"
        sheet.release()
        assert again(sheet.path, tables).identity.maker == "Third", made[at]
        sheet.close()


def test_a_full_disk_for_an_hour(path, tables):
    """Nothing can be written for many edits; then it can, and all of them are there."""
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "First")
    system = Faulty(0, errno.ENOSPC, lasting=True, only=("write",))

    def work():
        for number in range(20):
            sheet.put(("identity", "model"), f"Model {number}")
        sheet.undo()
        with pytest.raises(Unreadable, match="No space left"):
            sheet.save()

    with_system(system, work)
    assert sheet.trouble == os.strerror(errno.ENOSPC)
    sheet.release()
    assert again(path, tables).identity.model == "Cottage"
    sheet.redo()
    assert not sheet.trouble
    sheet.release()
    assert again(path, tables).identity.model == "Model 19"
    sheet.save()
    assert maker(path, tables) == "First"
