"""What a finished report freezes, and what the next one says of it."""

from __future__ import annotations

import hashlib
import json

import pytest

from appraise.cli.parser import main
from appraise.services.reported import frozen_text
from appraise.store.trail_file import read_trail


@pytest.fixture
def case(tmp_path):
    from pathlib import Path

    path = tmp_path / "grand.toml"
    sample = Path(__file__).resolve().parents[2] / "sample_cases" / "recent_grand.toml"
    path.write_bytes(sample.read_bytes())
    return path


def report(case, name, *more):
    assert main(["report", str(case), "-o", str(case.with_name(name)), "--draws", "200", "--force", *more]) == 0
    return case.with_name(name).read_bytes()


def changed(case):
    text = case.read_text(encoding="utf-8")
    case.write_text(text.replace("[identity]", "# a word\n[identity]").replace('maker = "', 'maker = "New '))


def test_a_version_is_frozen_and_the_next_report_amends_it(case):
    first_bytes = case.read_bytes()
    first = report(case, "first.md")
    assert b"Amends" not in first
    changed(case)
    second = report(case, "second.md").decode()
    digest = hashlib.sha256(first).hexdigest()
    assert f"SHA-256 {digest}" in second
    records = [record for record in read_trail(case).records if record.act == "report"]
    assert [record.more["report"] for record in records] == [digest, hashlib.sha256(second.encode()).hexdigest()]
    assert frozen_text(records[0]).encode() == first_bytes
    assert hashlib.sha256(first_bytes).hexdigest() == records[0].more["file"]
    assert frozen_text(records[1]).encode() == case.read_bytes()


def test_the_same_report_twice_is_the_same_and_put_down_once(case):
    report(case, "one.json")
    changed(case)
    first = report(case, "two.json")
    lines = len(read_trail(case).records)
    assert report(case, "two.json") == first
    assert len(read_trail(case).records) == lines
    assert json.loads(first)["amends"]["sha256"]


def test_a_report_that_amends_is_computed_again_to_the_cent(case, capsys):
    report(case, "one.json")
    changed(case)
    report(case, "two.json")
    assert main(["check", str(case.with_name("two.json"))]) == 0
    assert "the same to the cent" in capsys.readouterr().out


def test_a_trail_that_cannot_be_written_keeps_no_report_back(case, capsys):
    case.with_name("grand.trail.jsonl").mkdir()
    report(case, "one.md")
    assert "not in the trail of the case" in capsys.readouterr().err
