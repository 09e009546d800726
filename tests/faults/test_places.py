"""File systems as they are: full, read-only, gone, linked, long-named; and who else is there."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import time

import pytest

from appraise.model.problem import InputError, Unreadable
from appraise.services.file_state import digest
from appraise.services.opening import make_writable, open_sheet, recover
from appraise.services.trail_check import checked_trail
from appraise.store.lock import Lock, me
from appraise.store.read import read_case
from appraise.store.trail import START, line_of
from appraise.store.trail_file import read_trail
from appraise.store.write import versions, write_case
from tests.helpers import worksheet_cases

MOUNT, UMOUNT = shutil.which("mount"), shutil.which("umount")


@pytest.fixture
def mounted(tmp_path):
    """Mount a small file system in memory, or skip where that is not allowed."""
    place = tmp_path / "mounted"
    place.mkdir()

    def mount(*options):
        done = subprocess.run([MOUNT, "-t", "tmpfs", *options, "tmpfs", str(place)], capture_output=True, check=False)
        if done.returncode:
            pytest.skip(f"no file system can be mounted here: {done.stderr.decode().strip()}")
        return place

    if not (MOUNT and UMOUNT):
        pytest.skip("there is no mount")
    try:
        yield mount
    finally:
        subprocess.run([UMOUNT, "-l", str(place)], capture_output=True, check=False)


def reopened(path, tables):
    opened = open_sheet(path, tables)
    if opened.unsaved is not None:
        recover(opened.worksheet, opened.unsaved)
    opened.worksheet.release()
    return opened.worksheet.case


def test_a_full_disk(mounted, tables, tmp_path):
    folder = mounted("-o", "size=256k")
    path = folder / "case.toml"
    write_case(path, worksheet_cases.upright(), tables)
    before = path.read_bytes()
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "Kept")
    with pytest.raises(OSError, match="No space left"), (folder / "filler").open("wb", buffering=0) as filler:
        while True:
            filler.write(b"x" * 1024)
    for number in range(40):
        sheet.put(("assignment", "limits"), f"{number} " + "x" * 400)
    assert "No space left" in sheet.trouble
    with pytest.raises(Unreadable, match="No space left"):
        sheet.save()
    assert path.read_bytes() == before
    # What had been acknowledged before is there; what had not is in memory, and can go elsewhere.
    kept = read_trail(path)
    assert not kept.breaks
    sheet.release()
    assert reopened(path, tables).identity.maker == "Kept"
    sheet.save_as(tmp_path / "elsewhere.toml")
    assert not sheet.trouble
    elsewhere = read_trail(tmp_path / "elsewhere.toml")
    assert not elsewhere.breaks
    assert [record.act for record in elsewhere.records] == ["begin", *["edit"] * 41, "save"]
    assert read_case(tmp_path / "elsewhere.toml", tables)[0].assignment.limits.startswith("39 x")
    sheet.close()


def test_a_disk_that_is_freed_again(mounted, tables):
    path = mounted("-o", "size=256k") / "case.toml"
    write_case(path, worksheet_cases.upright(), tables)
    sheet = open_sheet(path, tables).worksheet
    filler = path.with_name("filler")
    with pytest.raises(OSError, match="No space left"), filler.open("wb", buffering=0) as stream:
        while True:
            stream.write(b"x" * 1024)
    sheet.put(("assignment", "limits"), "y" * 6000)
    assert sheet.trouble
    filler.unlink()
    sheet.put(("identity", "maker"), "After")
    assert not sheet.trouble
    sheet.release()
    again = reopened(path, tables)
    assert (again.identity.maker, len(again.assignment.limits)) == ("After", 6000)


def test_a_read_only_folder(mounted, tables, tmp_path):
    folder = mounted("-o", "size=1m")
    path = folder / "case.toml"
    write_case(path, worksheet_cases.upright(), tables)
    if subprocess.run([MOUNT, "-o", "remount,ro", str(folder)], capture_output=True, check=False).returncode:
        pytest.skip("the mount cannot be made read-only")
    opened = open_sheet(path, tables)
    sheet = opened.worksheet
    assert "save under another name" in opened.said[0]
    assert not sheet.read_only
    sheet.put(("identity", "maker"), "In memory")
    assert sheet.trouble == "Read-only file system"
    with pytest.raises(Unreadable, match="read-only"):
        sheet.save()
    sheet.save_as(tmp_path / "mine.toml")
    assert not sheet.dirty
    assert reopened(tmp_path / "mine.toml", tables).identity.maker == "In memory"
    sheet.close()


def test_a_mount_that_vanishes(mounted, tables, tmp_path):
    path = mounted("-o", "size=1m") / "case.toml"
    write_case(path, worksheet_cases.upright(), tables)
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "Before")
    subprocess.run([UMOUNT, "-l", str(path.parent)], check=True)
    sheet.put(("identity", "model"), "After")
    assert "the folder is gone" in sheet.trouble
    assert sheet.on_disk.moved
    with pytest.raises(Unreadable, match="another folder in the place"):
        sheet.save()
    # Nothing was written into what lay below the mount.
    assert not list(path.parent.iterdir())
    sheet.save_as(tmp_path / "elsewhere.toml")
    assert read_case(tmp_path / "elsewhere.toml", tables)[0].identity.model == "After"
    assert [record.act for record in read_trail(sheet.path).records] == ["begin", "edit", "edit", "save"]
    sheet.close()


def test_a_folder_that_is_removed(path, tables, tmp_path):
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "Before")
    path.parent.rename(tmp_path / "gone")
    sheet.put(("identity", "model"), "After")
    assert sheet.trouble
    with pytest.raises(Unreadable, match="its folder is gone"):
        sheet.save()
    (tmp_path / "gone").rename(path.parent)
    sheet.put(("identity", "serial"), "1")
    assert not sheet.trouble
    sheet.save()
    assert read_case(path, tables)[0].identity.model == "After"
    sheet.close()


def test_a_link_is_kept_and_shares_trail_and_lock(path, tables, tmp_path):
    link = tmp_path / "link.toml"
    link.symlink_to(path)
    sheet = open_sheet(link, tables).worksheet
    assert open_sheet(path, tables).held is not None
    sheet.put(("identity", "maker"), "Through the link")
    sheet.save()
    sheet.close()
    assert link.is_symlink()
    assert read_case(path, tables)[0].identity.maker == "Through the link"
    assert sorted(item.name for item in path.parent.iterdir()) == ["case.toml", "case.toml~", "case.trail.jsonl"]
    assert [item.name for item in tmp_path.iterdir() if item.name.startswith("link")] == ["link.toml"]


@pytest.mark.parametrize("name", ["n" * 250 + ".toml", "ü漢" * 50 + ".toml", "a b\n\u202e'\"$(x).toml", "no ending"])
def test_names(tmp_path, tables, name):
    path = tmp_path / ("d" * 200) / ("e" * 200) / name
    path.parent.mkdir(parents=True)
    write_case(path, worksheet_cases.upright(), tables)
    sheet = open_sheet(path, tables).worksheet
    for number in range(3):
        sheet.put(("identity", "maker"), f"Maker {number}")
        assert not sheet.trouble
        sheet.save()
    assert len(versions(path.resolve())) == 2
    assert open_sheet(path, tables).held is not None
    sheet.put(("identity", "maker"), "Last")
    sheet.release()
    assert reopened(path, tables).identity.maker == "Last"


def test_versions_are_bounded(path, tables, monkeypatch):
    monkeypatch.setenv("APPRAISE_VERSIONS", "3")
    sheet = open_sheet(path, tables).worksheet
    for number in range(7):
        sheet.put(("identity", "maker"), f"Maker {number}")
        sheet.save()
    texts = [path, path.with_name("case.toml~"), *versions(path)]
    assert [text.read_text().partition("Maker ")[2][0] for text in texts] == ["6", "5", "4", "3"]
    sheet.close()


def test_permissions_are_those_of_the_case(path, tables):
    path.chmod(0o600)
    sheet = open_sheet(path, tables).worksheet
    for number in range(3):
        sheet.put(("identity", "maker"), f"Maker {number}")
        sheet.save()
    for item in (path, path.with_name("case.toml~"), path.with_name("case.trail.jsonl"), *versions(path)):
        assert item.stat().st_mode & 0o777 == 0o600, item
    sheet.close()


def test_a_trail_that_is_a_link_or_a_folder_is_left_alone(path, tables, tmp_path):
    trail, other = path.with_name("case.trail.jsonl"), tmp_path / "other"
    other.write_text("mine\n")
    trail.symlink_to(other)
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "Typed")
    assert sheet.trouble
    assert other.read_text() == "mine\n"
    sheet.save()
    sheet.release()
    trail.unlink()
    trail.mkdir()
    opened = open_sheet(path, tables)
    assert "trail cannot be read" in opened.said[0]
    assert opened.worksheet.trouble
    opened.worksheet.release()


def test_a_trail_removed_under_the_worksheet_is_put_back(path, tables):
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "First")
    trail = path.with_name("case.trail.jsonl")
    kept = trail.read_bytes()
    trail.unlink()
    sheet.put(("identity", "maker"), "Second")
    assert not sheet.trouble
    assert trail.read_bytes().startswith(kept)
    assert sheet.told_of_trail() == "2 lines of the trail had been cut off and were put back"
    assert sheet.told_of_trail() == ""
    trail.write_bytes(trail.read_bytes()[:-300])
    sheet.put(("identity", "maker"), "Third")
    assert not sheet.trouble
    sheet.release()
    found = read_trail(path)
    assert not found.breaks
    assert [record.act for record in found.records].count("restored") == 2
    assert reopened(path, tables).identity.maker == "Third"


@pytest.mark.parametrize("how", ["emptied", "deleted", "replaced"])
def test_a_trail_does_not_begin_again_without_a_word(path, tables, how):
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "First")
    sheet.save()
    trail = path.with_name("case.trail.jsonl")
    kept = trail.read_bytes()
    if how == "deleted":
        trail.unlink()
    else:
        trail.write_bytes(b"" if how == "emptied" else b'{"act":"begin","hash":"0"}\n' * 40)
    # While it is open: what is known is put back at the latest when the case is left, and both are told.
    if how == "replaced":
        sheet.put(("identity", "maker"), "Second")
        assert sheet.told_of_trail().startswith("another content had taken the place of the trail")
        assert "replaced" in [record.act for record in read_trail(path).records]
        sheet.close()
        return
    sheet.close()
    assert trail.read_bytes().startswith(kept)
    assert read_trail(path).records[-1].act == "restored"
    # And while it is not.
    trail.unlink() if how == "deleted" else trail.write_bytes(b"")
    opened = open_sheet(path, tables)
    assert opened.said == (
        "no trail lies beside it, though it was worked on before: it was deleted or emptied; a new one begins",
    )
    opened.worksheet.put(("identity", "maker"), "Third")
    assert read_trail(path).records[0].what == "the trail begins; the one before is gone"
    opened.worksheet.close()


@pytest.mark.parametrize("wrong", [[], {}, True, "1", None, 1.5])
def test_a_forged_number_of_a_line_is_named_and_nothing_ends(path, tables, wrong):
    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "First")
    sheet.save()
    sheet.close()
    trail, head, lines = path.with_name("case.trail.jsonl"), START, []
    for line in trail.read_bytes().splitlines():
        body = json.loads(line)
        del body["prev"], body["hash"]
        raw, head = line_of({**body, "k": wrong} if body["act"] == "save" else body, head)
        lines.append(raw)
    trail.write_bytes(b"".join(lines))
    (problem,) = checked_trail(path, sheet.case).problems
    assert (problem.line, problem.key) == (3, "k")
    assert "\n" not in str(problem)
    opened = open_sheet(path, tables)
    assert "chain of the trail is broken" in " ".join(opened.said)
    opened.worksheet.put(("identity", "maker"), "Second")
    assert not opened.worksheet.trouble
    opened.worksheet.save()
    opened.worksheet.close()
    assert reopened(path, tables).identity.maker == "Second"


# -- two worksheets ------------------------------------------------------------------------------


def test_the_second_worksheet_reads_only_and_says_who(path, tables):
    first = open_sheet(path, tables).worksheet
    second = open_sheet(path, tables)
    assert str(os.getpid()) in second.said[0]
    assert second.held.by.user in second.said[0]
    sheet = second.worksheet
    before = digest(path)
    with pytest.raises(InputError, match="read-only"):
        sheet.put(("identity", "maker"), "Second")
    told = []
    sheet.refuse = told.append
    sheet.put(("identity", "maker"), "Second")
    sheet.set_grade(next(key for key, row in tables.checks.items() if row.kind == "graded"), 2.0)
    assert len(told) == 2
    assert sheet.case == first.case
    with pytest.raises(Unreadable, match="read-only"):
        sheet.save()
    assert digest(path) == before
    assert make_writable(sheet) == (False, None)
    first.put(("identity", "maker"), "First")
    first.save()
    first.close()
    assert make_writable(sheet) == (True, None)
    assert sheet.case.identity.maker == "First"
    sheet.put(("identity", "maker"), "Second")
    sheet.save()
    sheet.close()
    assert not (path.parent / ".appraise" / "case.toml.lock").exists()


def test_what_the_other_left_unsaved_is_offered(path, tables, abandon):
    first = open_sheet(path, tables).worksheet
    second = open_sheet(path, tables).worksheet
    first.put(("identity", "maker"), "Not saved")
    abandon(first)
    writable, unsaved = make_writable(second)
    assert writable
    assert unsaved.left.case.identity.maker == "Not saved"
    second.release()


@pytest.mark.parametrize(
    ("change", "stale"),
    [
        ({}, False),
        ({"pid": 2**22 + 1}, True),
        ({"boot": "another run of the machine"}, True),
        ({"started": "1"}, True),
        ({"host": "elsewhere"}, False),
        ({"host": "elsewhere", "pid": 2**22 + 1}, False),
    ],
)
def test_stale_locks(path, tables, change, stale):
    first = open_sheet(path, tables).worksheet
    lock = first.journal.lock.path
    lock.write_text(json.dumps({**json.loads(lock.read_text()), **change}))
    opened = open_sheet(path, tables)
    assert (opened.held is None) == stale
    opened.worksheet.release()
    first.release()


def test_a_lock_of_another_machine_is_doubted_with_age(path, tables):
    first = open_sheet(path, tables).worksheet
    lock = first.journal.lock.path
    lock.write_text(json.dumps({**json.loads(lock.read_text()), "host": "elsewhere"}))
    assert not open_sheet(path, tables).held.doubtful
    os.utime(lock, (time.time() - 86400,) * 2)
    assert open_sheet(path, tables).held.doubtful
    taken = open_sheet(path, tables, doubtful=True)
    assert taken.held is None
    # The first, should it live after all, finds out before it writes.
    with pytest.raises(InputError, match="taken it over"):
        first.put(("identity", "maker"), "Late")
    with pytest.raises(Unreadable, match="taken it over"):
        first.save()
    taken.worksheet.close()


@pytest.mark.parametrize("torso", [b"", b"{", b"[]", b'{"pid": true}', b"\xff" * 100, b'{"pid": 1e99}'])
def test_a_torso_of_a_lock_keeps_nobody_out(path, tables, torso):
    folder = path.parent / ".appraise"
    folder.mkdir()
    (folder / "case.toml.lock").write_bytes(torso)
    opened = open_sheet(path, tables)
    assert opened.held is None
    opened.worksheet.close()
    assert not folder.exists()


def test_of_many_processes_one_gets_the_lock(path):
    """Thirty at once, a stale lock in their way."""
    stale = Lock(path, me())
    stale.take()
    stale.path.write_text(json.dumps({**json.loads(stale.path.read_text()), "pid": 2**22 + 1}))
    go, start = os.pipe()
    over, leave = os.pipe()
    result, answer = os.pipe()
    workers = []
    for _ in range(30):
        worker = os.fork()
        if worker == 0:
            try:
                os.close(start)
                os.close(leave)
                os.read(go, 1)
                held = Lock(path, me()).take()
                os.write(answer, b"1" if held is None else b"0")
                # Alive until all have tried: a process that is gone has no lock.
                os.read(over, 1)
            finally:
                os._exit(0)
        workers.append(worker)
    os.close(answer)
    os.close(start)
    said = b""
    while len(said) < 30:
        piece = os.read(result, 30)
        assert piece, "a worker ended without an answer"
        said += piece
    os.close(leave)
    for worker in workers:
        os.waitpid(worker, 0)
    assert said.count(b"1") == 1


def test_several_write_one_trail(path, tables):
    """A report is put down while the worksheet is open: both chain on."""
    from appraise.services.journal import Journal

    sheet = open_sheet(path, tables).worksheet
    sheet.put(("identity", "maker"), "First")
    workers = []
    for _ in range(4):
        worker = os.fork()
        if worker == 0:
            code = 1
            try:
                journal = Journal(path, me())
                journal.read()
                code = 0 if all(journal.note("report", "", what=f"report {n}") for n in range(25)) else 1
            finally:
                os._exit(code)
        workers.append(worker)
    for number in range(25):
        sheet.put(("identity", "model"), f"Model {number}")
        assert not sheet.trouble
    for worker in workers:
        assert os.waitpid(worker, 0)[1] == 0
    sheet.put(("identity", "serial"), "1")
    trail = read_trail(path)
    assert not trail.breaks
    assert sum(record.act == "report" for record in trail.records) == 100
    assert sum(record.act == "edit" for record in trail.records) == 27
    sheet.release()
    assert reopened(path, tables).identity.model == "Model 24"
