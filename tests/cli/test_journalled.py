"""Whatever writes a case file says so in its trail, and `check` follows the trail to what the file holds."""

from __future__ import annotations

import json

import pytest

from appraise.services.opening import open_sheet
from appraise.store.trail import line_of
from appraise.store.trail_file import read_trail
from appraise.tables.load import load_tables

TABLES = load_tables()


def acts(path):
    return [(record.act, record.what) for record in read_trail(path).records]


def test_a_new_case_begins_its_trail(appraise, tmp_path):
    path = tmp_path / "new.toml"
    assert appraise("new", path, "--kind", "grand", "--maker", "Oskelmoor").code == 0
    assert acts(path) == [("begin", "the trail begins")]
    assert "a trail of 1 lines, whole" in appraise("check", path).out


def test_a_new_case_beside_the_trail_of_another_is_refused(appraise, tmp_path):
    path = tmp_path / "new.toml"
    appraise("new", path, "--kind", "grand")
    path.unlink()
    answer = appraise("new", path, "--kind", "upright")
    assert answer.code == 2
    assert "found the trail of another case, new.trail.jsonl, beside it" in answer.err
    assert not path.exists()


def test_a_trail_that_cannot_be_begun_keeps_no_new_case_back(appraise, tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("appraise.store.trail_file.TrailFile.append", full)
    path = tmp_path / "new.toml"
    answer = appraise("new", path, "--kind", "grand")
    assert answer.code == 0
    assert answer.err == f"appraise new: {path} is made, but its trail is not begun: No space left on device\n"
    assert path.exists()


def test_setting_the_state_before_is_a_change_of_the_trail(appraise, good):
    assert appraise("loss", "--set-before", "removal", good).code == 0
    assert acts(good) == [
        ("begin", "the trail begins"),
        ("edit", "record of the condition before the move"),
        ("save", "saved"),
    ]
    (change,) = read_trail(good).records[1].changes
    assert change.path == ("earlier_state",)
    assert change.new["purpose"] == "removal"
    answer = appraise("check", good)
    assert (answer.code, answer.err) == (0, "")
    assert "a trail of 3 lines, whole" in answer.out
    assert "changed outside" not in answer.out


def test_nothing_is_set_in_a_case_that_somebody_has_open(appraise, good):
    sheet = open_sheet(good, TABLES).worksheet
    before = good.read_bytes()
    # One process may have it twice: it takes another to be kept off.
    lock = sheet.journal.lock.path
    held = json.loads(lock.read_text(encoding="utf-8"))
    lock.write_text(json.dumps({**held, "host": "elsewhere", "user": "somebody"}), encoding="utf-8")
    answer = appraise("loss", "--set-before", "removal", good)
    assert answer.code == 2
    assert "found it open with somebody on elsewhere" in answer.err
    assert "expected a case that nobody works on" in answer.err
    assert good.read_bytes() == before
    assert list(good.parent.glob("*.before-*")) == []


def test_nothing_is_set_over_unsaved_steps(appraise, good):
    from dataclasses import replace

    sheet = open_sheet(good, TABLES).worksheet
    sheet.change(replace(sheet.case, identity=replace(sheet.case.identity, model="190")), "model")
    sheet.release()
    before = good.read_bytes()
    answer = appraise("loss", "--set-before", "removal", good)
    assert answer.code == 2
    assert "found 1 unsaved step in its trail, expected none" in answer.err
    assert good.read_bytes() == before


def test_a_state_that_cannot_be_put_into_the_trail_is_set_and_said(appraise, good):
    good.with_name("case.trail.jsonl").mkdir()
    answer = appraise("loss", "--set-before", "removal", good)
    assert answer.code == 0
    assert "keeps its state, but not in its trail: " in answer.err
    assert "[earlier_state]" in good.read_text(encoding="utf-8")


@pytest.mark.parametrize("field", ["maker", "serial"])
def test_a_file_whose_change_no_line_tells_is_found(appraise, good, field):
    """A save is forged for a file that was changed by hand: its hash fits, and the changes do not lead there."""
    appraise("loss", "--set-before", "removal", good)
    trail = good.with_name("case.trail.jsonl")
    text = good.read_text(encoding="utf-8")
    assert appraise("check", good).code == 0
    good.write_text(
        text.replace("[identity]", f'[identity]\n{field} = "Halvrestode"', 1).replace(
            'maker = "Oskelmoor [/b] [bold]"\n', "" if field == "maker" else 'maker = "Oskelmoor [/b] [bold]"\n'
        ),
        encoding="utf-8",
    )
    import hashlib

    digest = hashlib.sha256(good.read_bytes()).hexdigest()
    last = read_trail(good).records[-1]
    who = {"by": "", "user": last.user, "session": last.session, "k": 9}
    body = {"act": "save", "at": last.at, **who, "what": "saved", "file": digest}
    trail.write_bytes(trail.read_bytes() + line_of(body, last.hash)[0])
    answer = appraise("check", good)
    assert answer.code == 1
    assert f"changes that do not lead to what case.toml holds (identity.{field})" in answer.out


@pytest.mark.parametrize("kept", [True, False])
def test_a_trail_deleted_behind_a_version_that_a_save_kept(appraise, good, kept):
    """A case from elsewhere needs no trail; beside an earlier version of itself one has been."""
    sheet = open_sheet(good, TABLES).worksheet
    sheet.put(("identity", "model"), "Another")
    sheet.save()
    sheet.close()
    good.with_name("case.trail.jsonl").unlink()
    if not kept:
        good.with_name("case.toml~").unlink()
    answer = appraise("check", good)
    assert answer.code == int(kept)
    said = "found no trail beside it, though a save has kept an earlier version of the case, expected case.trail.jsonl"
    assert (said in answer.out) == kept
