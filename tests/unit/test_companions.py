"""Saving under another name in another folder: the frozen state, the photos and the trail go along, or it is said."""

from __future__ import annotations

import pytest

from appraise.cli.parser import main
from appraise.services.opening import open_sheet
from appraise.services.trail_check import checked_trail
from tests.helpers.tamperings import CASE, PDF, copy_of, custody


@pytest.fixture(scope="module")
def claim(tmp_path_factory):
    folder = tmp_path_factory.mktemp("claim")
    custody(folder)
    return folder


def test_all_of_it_goes_along(claim, tables, tmp_path, capsys):
    sheet = open_sheet(claim / CASE, tables).worksheet
    assert sheet.save_as(tmp_path / "moved.toml") == ()
    sheet.close()
    copy = copy_of(tmp_path)
    assert copy.read_bytes() == copy_of(claim).read_bytes()
    assert copy.stat().st_mode & 0o777 == 0o444
    names = {"cheek_after.png", "cheek_before.png", "lyre_after.png", "rim_after.png"}
    assert {path.name for path in (tmp_path / "photos").iterdir()} == names
    assert main(["check", str(tmp_path / "moved.toml")]) == 0
    assert "no problems" in capsys.readouterr().out
    # Beside the first file everything is as it was, and the document is still known there.
    assert main(["check", str(claim / CASE), str(claim / PDF)]) == 0


def test_in_the_same_folder_both_names_know_the_document(claim, tables, capsys):
    sheet = open_sheet(claim / CASE, tables).worksheet
    assert sheet.save_as(claim / "a_copy.toml") == ()
    sheet.put(("identity", "model"), "Another")
    sheet.save()
    sheet.close()
    assert main(["check", str(claim / PDF), str(claim / "a_copy.toml")]) == 0, capsys.readouterr().out


def test_what_stayed_is_said_and_nothing_is_written_over(claim, tables, tmp_path):
    other, outside = tmp_path / "other", tmp_path / "outside"
    other.mkdir()
    outside.mkdir()
    name = copy_of(claim).name
    (other / name).write_text("something else")
    (other / "photos").symlink_to(outside)
    sheet = open_sheet(claim / CASE, tables).worksheet
    stayed = sheet.save_as(other / CASE)
    sheet.close()
    assert f"{name}: another file of this name is there" in stayed
    assert "photos/rim_after.png: a link out of the folder" in stayed
    assert len(stayed) == 5
    assert (other / name).read_text() == "something else"
    assert list(outside.iterdir()) == []
    assert checked_trail(other / CASE).lines
