"""What a finished report freezes, and what the next one says of it."""

from __future__ import annotations

import hashlib
import json
import shutil
from datetime import date
from html import unescape
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from appraise.cli.parser import main
from appraise.services.opening import open_sheet
from appraise.services.report_audit import frozen_text
from appraise.store.trail_file import read_trail
from appraise.tables.load import load_tables

SAMPLES = Path(__file__).resolve().parents[2] / "sample_cases"


@pytest.fixture
def case(tmp_path):
    path = tmp_path / "grand.toml"
    path.write_bytes((SAMPLES / "recent_grand.toml").read_bytes())
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


@pytest.mark.usefixtures("value_anew")
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


# -- what a report prints of it, and what `check` makes of that -----------------------------------


def worked(path, place="a barn"):
    """Change a case in the worksheet, and leave it."""
    sheet = open_sheet(path, load_tables()).worksheet
    sheet.put(("assignment", "place"), place, "place")
    sheet.save()
    sheet.close()


def text_of(path):
    if path.suffix == ".pdf":
        words = "".join(page.extract_text() for page in PdfReader(BytesIO(path.read_bytes())).pages)
        return "".join(words.replace("\xad", "-").split())  # hashes are broken over lines
    return "".join(unescape(path.read_text(encoding="utf-8")).replace("\\", "").split())


@pytest.fixture
def moved(tmp_path):
    """Both states of a move, the later one worked on and reported, and worked on again."""
    before, after = tmp_path / "before.toml", tmp_path / "after.toml"
    shutil.copytree(SAMPLES / "photos", tmp_path / "photos")
    shutil.copytree(SAMPLES / "papers", tmp_path / "papers")
    before.write_bytes((SAMPLES / "removal_before.toml").read_bytes())
    after.write_bytes((SAMPLES / "removal_after.toml").read_bytes())
    worked(after)
    return before, after


def dossier(moved, name):
    before, after = moved
    target = after.with_name(name)
    assert main(["loss", str(before), str(after), "-o", str(target), "--draws", "200", "--force"]) == 0
    return target


@pytest.mark.parametrize("ending", [".md", ".html", ".pdf"])
def test_the_appendix_names_the_trail_and_what_is_amended(case, ending):
    worked(case)
    first = hashlib.sha256(report(case, "first.md")).hexdigest()
    worked(case, "a hall")
    report(case, f"second{ending}")
    line = next(record for record in reversed(read_trail(case).records) if record.act == "save")
    text = text_of(case.with_name(f"second{ending}"))
    appendix = text[text.rindex("Toreproducethefigures") :]
    assert f"line{line.line},hash{line.hash}" in appendix
    assert f"SHA-256{first}" in appendix


@pytest.mark.parametrize("kind", ["summary", "workorder"])
def test_the_short_kinds_name_what_they_amend(case, kind):
    first = report(case, "first.md", "--kind", kind)
    changed(case)
    second = report(case, "second.md", "--kind", kind).decode()
    assert b"Amends" not in first
    assert hashlib.sha256(first).hexdigest() in second


def test_the_summary_names_it_in_german(case):
    from babel.dates import format_date

    words = ("--kind", "summary", "--locale", "de_DE")
    first = report(case, "first.md", *words)
    changed(case)
    second = report(case, "second.md", *words).decode().replace("\\", "")
    written = date.fromisoformat(read_trail(case).records[-1].at[:10])
    day = format_date(written, "long", "de_DE")
    assert f"den Bericht vom {day}, SHA-256 {hashlib.sha256(first).hexdigest()}" in second


@pytest.mark.parametrize("ending", [".md", ".html", ".pdf"])
def test_a_dossier_names_the_trail_and_the_dossier_it_amends(moved, ending):
    report(moved[1], "appraisal.md")  # no dossier amends an appraisal
    first = hashlib.sha256(dossier(moved, "first.md").read_bytes()).hexdigest()
    assert "Amends" not in moved[1].with_name("first.md").read_text(encoding="utf-8")
    worked(moved[1], "a hall")
    text = text_of(dossier(moved, f"second{ending}"))
    line = next(record for record in reversed(read_trail(moved[1]).records) if record.act == "save")
    assert f"line{line.line},hash{line.hash}" in text
    assert f"SHA-256{first}" in text


def test_a_dossier_that_amends_is_computed_again_to_the_cent(moved, capsys):
    dossier(moved, "one.json")
    worked(moved[1], "a hall")
    path = dossier(moved, "two.json")
    found = json.loads(path.read_text(encoding="utf-8"))
    assert found["amends"]["sha256"] == hashlib.sha256(path.with_name("one.json").read_bytes()).hexdigest()
    assert found["trail"]["line"] > 1
    capsys.readouterr()
    assert main(["check", str(path)]) == 0
    assert capsys.readouterr().out == f"{path}: the same to the cent\n"


@pytest.fixture(params=["appraisal", "dossier"])
def amending(request, case, moved, capsys):
    """A report in JSON that amends another, beside its case and trail; returns it and the case."""
    if request.param == "dossier":
        dossier(moved, "one.json")
        worked(moved[1], "a hall")
        found = dossier(moved, "two.json"), moved[1]
    else:
        worked(case)
        report(case, "one.json")
        worked(case, "a hall")
        report(case, "two.json")
        found = case.with_name("two.json"), case
    capsys.readouterr()
    assert main(["check", str(found[0])]) == 0
    assert capsys.readouterr().out == f"{found[0]}: the same to the cent\n"
    return found


def rewritten(path, key, inner, value):
    found = json.loads(path.read_text(encoding="utf-8"))
    old = str(found[key][inner])
    # Everywhere, the printed page too: else the page and the figures would not agree, which is another problem.
    found = json.loads(json.dumps(found).replace(old, str(value))) if isinstance(value, str) else found
    found[key][inner] = value
    path.write_text(json.dumps(found), encoding="utf-8")


@pytest.mark.parametrize(
    ("key", "inner", "value", "words"),
    [
        ("trail", "hash", "0" * 64, "trail.hash: found "),
        ("amends", "sha256", "1" * 64, "amends.sha256: found "),
    ],
)
def test_a_hash_that_the_trail_does_not_have_is_named(amending, capsys, key, inner, value, words):
    path, _ = amending
    rewritten(path, key, inner, value)
    assert main(["check", str(path)]) == 1
    said = capsys.readouterr().out
    assert words in said
    assert said.count("\n") == 1


def test_another_day_of_the_report_amended_is_named(amending, capsys):
    path, _ = amending
    rewritten(path, "amends", "day", "2019-01-01")
    assert main(["check", str(path)]) == 1
    assert "amends.day: found " in capsys.readouterr().out


def test_a_line_that_the_trail_does_not_have_is_named(amending, capsys):
    path, _ = amending
    rewritten(path, "trail", "line", 99)
    assert main(["check", str(path)]) == 1
    assert "trail.line: found 99, expected a line of " in capsys.readouterr().out


def test_a_trail_cut_off_or_computed_anew_shows_against_the_report(amending, capsys):
    path, case = amending
    trail = case.with_name(f"{case.stem}.trail.jsonl")
    lines = trail.read_bytes().splitlines(keepends=True)
    trail.write_bytes(b"".join(lines[:2]))
    assert main(["check", str(path)]) == 1
    assert "lines were cut off, or the trail is another" in capsys.readouterr().out
    trail.write_bytes(lines[0].replace(b"the trail begins", b"the trail began") + b"".join(lines[1:]))
    assert main(["check", str(path)]) == 1
    assert "trail.line: found a chain that breaks at line 1" in capsys.readouterr().out


def test_without_the_trail_beside_it_there_is_a_word_and_no_problem(amending, capsys, tmp_path):
    path, _ = amending
    elsewhere = tmp_path / "sent"
    elsewhere.mkdir()
    shutil.copy(path, elsewhere)
    assert main(["check", str(elsewhere / path.name)]) == 0
    said = capsys.readouterr().out
    assert "found no trail of its case beside it" in said
    assert "the same to the cent" in said


def test_a_report_that_no_line_names_is_pointed_out(amending, capsys):
    path, _ = amending
    path.write_text(json.dumps(json.loads(path.read_text(encoding="utf-8"))), encoding="utf-8")
    assert main(["check", str(path)]) == 1
    said = capsys.readouterr().out
    assert "found a file that no line of " in said
    assert said.count("\n") == 1


def test_a_name_that_leads_out_of_the_folder_is_not_followed(amending, capsys):
    path, _ = amending
    found = json.loads(path.read_text(encoding="utf-8"))
    after = found.get("after", found)
    after["file" if "file" in after else "case"] = "../../etc/passwd"
    path.write_text(json.dumps(found), encoding="utf-8")
    main(["check", str(path)])
    assert "found no trail of its case beside it" in capsys.readouterr().out
