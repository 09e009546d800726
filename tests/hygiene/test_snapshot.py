"""The snapshot of the tables is the tables: the same rows as their text gives, and never those of other text."""

from __future__ import annotations

import json
import shutil
from dataclasses import fields

import pytest

from appraise.tables import assemble, snapshot
from appraise.tables.assemble import assembled
from appraise.tables.digests import row_digests
from appraise.tables.folder import data_folder
from appraise.tables.load import load_from


@pytest.fixture
def own(tmp_path, monkeypatch):
    """A copy of our tables and a cache that nothing lies in."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    shutil.copytree(data_folder("reference_tables"), tmp_path / "tables")
    load_from.cache_clear()
    yield tmp_path / "tables"
    load_from.cache_clear()


def content(tables):
    return {each.name: getattr(tables, each.name) for each in fields(tables)}


def test_it_gives_back_what_the_text_gives():
    tables = assembled(data_folder("reference_tables"))
    again = snapshot.decoded(snapshot.encoded(tables))
    assert content(again) == content(tables)
    assert repr(again) == repr(tables)  # an enum and its word are equal, but not the same
    assert row_digests(again) == row_digests(tables)
    assert [list(rows) for rows in content(again).values()] == [list(rows) for rows in content(tables).values()]


def test_the_second_start_reads_it(own, monkeypatch):
    first = load_from(own)
    load_from.cache_clear()
    monkeypatch.setattr("appraise.tables.assemble.assembled", None)  # what would read the text
    assert content(load_from(own)) == content(first)


def test_other_text_is_read_anew(own):
    before = load_from(own)
    load_from.cache_clear()
    assemble._own.cache_clear()  # within one process the text is read once
    path = own / "settings.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("value = 1024", "value = 2048", 1), encoding="utf-8")
    after = load_from(own)
    assert (before.setting("draws"), after.setting("draws")) == (1024.0, 2048.0)
    assert before.version != after.version


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: b"",
        lambda text: text[: len(text) // 2],
        lambda text: b"[" * 60_000,
        lambda text: json.dumps({"version": "x", "tables": {}}).encode(),
        lambda text: text.replace(b'"Component"', b'"Row"', 1),
        lambda text: text.replace(b'"Standing"', b'"Nothing"', 1),
    ],
    ids=["empty", "half", "nested", "no tables", "another class", "an unknown word"],
)
def test_a_damaged_one_is_made_again(own, damage):
    first = load_from(own)
    load_from.cache_clear()
    place = snapshot.place_of(own)
    whole = place.read_bytes()
    place.write_bytes(damage(whole))
    assert content(load_from(own)) == content(first)
    assert place.read_bytes() == whole


def test_where_nothing_can_be_kept_the_text_is_read(own, monkeypatch, tmp_path):
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert load_from(own).setting("draws") == 1024.0
