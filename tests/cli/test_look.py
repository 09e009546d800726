"""`appraise look`: grades of a quick look, preliminary in every answer and document, and recorded like every change."""

from __future__ import annotations

import json

import pytest

from appraise.report.kinds import ReportKind
from appraise.services.opening import open_sheet
from appraise.store.read import read_case
from appraise.store.trail_file import read_trail


@pytest.fixture
def blank(appraise, tmp_path):
    path = tmp_path / "blank.toml"
    assert appraise("new", path, "--kind", "upright", "--maker", "Ostravell", "--year", "1931").code == 0
    return path


def test_a_station_and_a_part_that_goes_before_it(appraise, blank, tables):
    answer = appraise("look", blank, "hammers=4", "action=2,5", "pin_block=3")
    assert (answer.code, answer.err) == (0, "")
    case, problems = read_case(blank, tables)
    assert problems == []
    grades = {grade.component: grade.grade for grade in case.grades}
    assert grades.pop("hammers") == 4.0
    assert (grades.pop("pin_block"), grades.pop("tuning_pins")) == (3.0, 3.0)
    assert {tables.components[part].station for part in grades} == {"action"}
    assert set(grades.values()) == {2.5}
    assert all(grade.preliminary for grade in case.grades)
    assert [record.act for record in read_trail(blank).records] == ["begin", "edit", "save"]
    assert appraise("look", blank, "hammers=-").code == 0
    assert "hammers" not in {grade.component for grade in read_case(blank, tables)[0].grades}


def test_every_answer_and_document_says_so_until_the_parts_are_checked(appraise, blank, tables, tmp_path):
    assert "Preliminary" not in appraise("value", blank, "--draws", "100").out
    appraise("look", blank, "hammers=4")
    assert "Preliminary: 1 of 34 parts was graded at a quick look" in appraise("value", blank, "--draws", "100").out
    told = json.loads(appraise("value", blank, "--json", "--draws", "100").out)
    assert told["preliminary"]["parts"] == ["hammers"]
    for kind in (ReportKind.FULL, ReportKind.SUMMARY, ReportKind.WORKORDER):
        written = tmp_path / f"{kind}.md"
        assert appraise("report", blank, "--kind", kind, "--draws", "100", "-o", written).code == 0
        text = written.read_text(encoding="utf-8")
        assert "(preliminary)" in text.splitlines()[0] + text[:400]
        assert "1 of 34 parts was graded at a quick look" in text
    assert appraise("report", blank, "--draws", "100", "-o", tmp_path / "full.json").code == 0
    assert "(preliminary)" in json.loads((tmp_path / "full.json").read_text())["document"]["title"]
    opened = open_sheet(blank, tables)
    opened.worksheet.set_grade("hammer_tone", 3.0)
    opened.worksheet.save()
    opened.worksheet.close()
    assert json.loads(appraise("value", blank, "--json", "--draws", "100").out)["preliminary"]["parts"] == []
    assert appraise("look", blank, "hammers=2").code == 2


def test_an_owner_is_told_while_a_station_that_decides_is_unseen(appraise, blank, tmp_path):
    written = tmp_path / "owner.md"
    assert appraise("report", blank, "--kind", "summary", "--draws", "100", "-o", written).code == 0
    text = written.read_text(encoding="utf-8")
    assert "Preliminary: structure, soundboard, pin block and action can decide the value" in text
    assert appraise("report", blank, "--draws", "100", "-o", written, "--force").code == 0
    assert "(preliminary)" not in written.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("hamers=3", 'found "hamers", expected a part of an upright or a station; did you mean "hammers"?'),
        ("hammers=6", 'found "hammers=6", expected PART=GRADE'),
        ("hammers", 'found "hammers", expected PART=GRADE'),
    ],
)
def test_what_is_no_part_or_no_grade_is_refused_in_one_line(appraise, blank, word, said):
    before = blank.read_bytes()
    answer = appraise("look", blank, "plate=2", word)
    assert answer.code == 2
    assert answer.err.startswith(f"appraise look: {blank}: {said}")
    assert answer.err.count("\n") == 1
    assert blank.read_bytes() == before
