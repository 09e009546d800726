"""What the list of cases says of work that waits is what opening the case offers, found without reading long trails."""

import json
import os
import stat

import pytest

from appraise.services import case_folder
from appraise.services.case_folder import scan, waiting_steps
from appraise.services.opening import open_sheet, set_aside
from appraise.store import files
from appraise.store.read import read_case
from appraise.store.trail import trail_path
from appraise.store.trail_file import read_tail, read_trail
from appraise.store.write import write_case
from tests.helpers import worksheet_cases


@pytest.fixture
def path(tmp_path, tables):
    write_case(tmp_path / "grand.toml", worksheet_cases.grand(tables), tables)
    return tmp_path / "grand.toml"


def crash(sheet):
    """End as a process does that is killed."""
    held = sheet.journal.lock.path
    held.write_text(json.dumps({**json.loads(held.read_text()), "pid": 2**22 + 1}))


def marked(path, tables):
    (entry,) = (entry for entry in scan(path.parent, tables) if entry.path == path)
    return entry.waiting


def offered(path, tables):
    """Steps that opening offers; the case is left as it was found."""
    trail = trail_path(path)
    before = trail.read_bytes() if trail.exists() else None
    opened = open_sheet(path, tables)
    opened.worksheet.release()
    if before is not None:
        trail.write_bytes(before)
    return 0 if opened.unsaved is None else len(opened.unsaved.steps)


def typed(sheet, *makers):
    for maker in makers:
        sheet.put(("identity", "maker"), maker)


def cut_off(sheet, path, tables):
    typed(sheet, "A", "B")
    crash(sheet)
    return 2


def saved_and_cut_off(sheet, path, tables):
    typed(sheet, "A")
    sheet.save()
    typed(sheet, "B", "C", "D")
    crash(sheet)
    return 3


def saved(sheet, path, tables):
    typed(sheet, "A")
    sheet.save()
    sheet.close()
    return 0


def left_without_saving(sheet, path, tables):
    typed(sheet, "A")
    sheet.close()
    return 0


def all_taken_back(sheet, path, tables):
    typed(sheet, "A")
    sheet.undo()
    crash(sheet)
    return 0


def never_touched(sheet, path, tables):
    sheet.close()
    return 0


def put_aside(sheet, path, tables):
    typed(sheet, "A")
    crash(sheet)
    opened = open_sheet(path, tables)
    set_aside(opened.worksheet, opened.unsaved)
    opened.worksheet.release()
    return 0


def saved_but_for_its_line(sheet, path, tables):
    typed(sheet, "A")
    write_case(path, sheet.case, tables)
    crash(sheet)
    return 0


def changed_elsewhere_meanwhile(sheet, path, tables):
    typed(sheet, "A")
    crash(sheet)
    from dataclasses import replace

    case, _ = read_case(path, tables)
    write_case(path, replace(case, identity=replace(case.identity, model="Theirs")), tables)
    return 1


def torn(sheet, path, tables):
    typed(sheet, "A")
    crash(sheet)
    with trail_path(path).open("ab") as trail:
        trail.write(b'{"act":"edit","at":"20')
    return 1


STORIES = [
    cut_off,
    saved_and_cut_off,
    saved,
    left_without_saving,
    all_taken_back,
    never_touched,
    put_aside,
    saved_but_for_its_line,
    changed_elsewhere_meanwhile,
    torn,
]


@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.__name__)
def test_marked_is_what_is_offered(story, path, tables):
    expected = story(open_sheet(path, tables).worksheet, path, tables)
    assert marked(path, tables) == expected
    assert offered(path, tables) == expected


def test_a_case_that_somebody_works_on_is_not_marked(path, tables):
    sheet = open_sheet(path, tables).worksheet
    typed(sheet, "A", "B")
    assert marked(path, tables) == 0
    crash(sheet)
    assert marked(path, tables) == 2


def test_a_case_without_a_trail_or_with_an_unreadable_one_is_not_marked(path, tables):
    assert marked(path, tables) == 0
    trail_path(path).mkdir()
    assert marked(path, tables) == 0
    trail_path(path).rmdir()
    trail_path(path).write_bytes(b"\x00\xff no trail\n" * 3000)
    assert marked(path, tables) == 0
    os.truncate(trail_path(path), 0)
    assert marked(path, tables) == 0


def test_a_long_trail_is_not_read_whole(path, tables, monkeypatch):
    sheet = open_sheet(path, tables).worksheet
    for n in range(300):
        typed(sheet, f"Maker {n}")
    sheet.save()
    typed(sheet, "The last")
    size = trail_path(path).stat().st_size
    assert size > 64 * 1024
    read = []

    def counting(handle, most):
        piece = os.read(handle, most)
        if stat.S_ISREG(os.fstat(handle).st_mode) and os.path.samestat(os.fstat(handle), trail_path(path).stat()):
            read.append(len(piece))
        return piece

    monkeypatch.setattr(files.system, "read", counting)
    crash(sheet)
    case, _ = read_case(path, tables)
    assert waiting_steps(path, case) == 1
    assert sum(read) <= 4096
    read.clear()
    monkeypatch.setattr(case_folder, "read_trail", lambda _path: pytest.fail("all of it was read"))
    sheet.save()
    case, _ = read_case(path, tables)
    assert waiting_steps(path, case) == 0
    assert sum(read) <= 4096


@pytest.mark.parametrize("steps", [1, 20, 200])
def test_the_last_records_are_those_of_the_whole(path, tables, steps):
    sheet = open_sheet(path, tables).worksheet
    for n in range(steps):
        typed(sheet, f"Maker {n}")
    whole = [record.hash for record in read_trail(path).records]
    for least in (1, 5, steps, 10 * steps):
        tail = [record.hash for record in read_tail(path, lambda records, least=least: len(records) >= least)]
        assert len(tail) >= min(least, len(whole))
        assert tail == whole[-len(tail) :]
