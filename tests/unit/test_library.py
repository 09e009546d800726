"""The list of cases names what is a case, and says why one cannot be used."""

from __future__ import annotations

import os
from datetime import datetime

import pytest

from appraise.services.case_folder import looks_like_case, scan
from tests.helpers.tables import tiny_tables

CASE = 'schema = 1\n[identity]\nkind = "grand"\n[assignment]\ninspected = 2026-11-20\n'
PLATE = '[[grades]]\ncheck = "plate_finish"\ngrade = 2\n[[readings]]\ncheck = "plate_crack"\nvalue = false\n'


@pytest.fixture
def tables():
    return tiny_tables()


def test_cases_by_name_and_nothing_else(tmp_path, tables):
    files = {
        "b.toml": CASE,
        "A.toml": CASE + PLATE,
        "a.toml~": CASE,
        ".hidden.toml": CASE,
        "notes.toml": 'title = "schema = 1"\n',
        "empty.toml": "",
        "photo.jpg": CASE,
        "broken.toml": "# ours\nschema = 1\n[identity",
        "unversioned.toml": '[identity]\nkind = "grand"\n',
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text)
    (tmp_path / "folder.toml").mkdir()
    entries = scan(tmp_path, tables)
    assert [entry.path.name for entry in entries] == ["A.toml", "b.toml", "broken.toml", "unversioned.toml"]
    assert [entry.case is not None for entry in entries] == [True, True, False, False]
    assert [len(entry.problems) for entry in entries] == [0, 0, 1, 1]
    assert "not TOML" in str(entries[2].problems[0])
    assert "write schema = 1" in str(entries[3].problems[0])


def test_the_stations_that_are_finished(tmp_path, tables):
    (tmp_path / "a.toml").write_text(CASE)
    (tmp_path / "b.toml").write_text(CASE + PLATE)
    first, second = scan(tmp_path, tables)
    assert second.stations_done == first.stations_done + 1
    assert first.stations_total == 8


def test_the_last_change(tmp_path, tables):
    path = tmp_path / "a.toml"
    path.write_text(CASE)
    os.utime(path, (1_790_000_000, 1_790_000_000))
    (entry,) = scan(tmp_path, tables)
    assert entry.modified == datetime.fromtimestamp(1_790_000_000).astimezone()


def test_a_link_to_nowhere_and_a_pipe_are_passed_over(tmp_path, tables):
    (tmp_path / "link.toml").symlink_to(tmp_path / "nowhere")
    os.mkfifo(tmp_path / "pipe.toml")
    assert not looks_like_case(tmp_path / "pipe.toml")
    assert scan(tmp_path, tables) == []
