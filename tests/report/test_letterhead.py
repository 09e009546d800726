"""The letterhead: on every kind of document in every format, hashed, refused in one line, the same bytes elsewhere."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from appraise.cli.parser import main
from appraise.model.case import Practice
from appraise.model.problem import InputError, Unreadable
from appraise.report.document import Facts, FillInLines, Paragraph, Sheet
from appraise.report.formats import write
from appraise.report.kinds import OF_A_LOSS, SIGNED, ReportKind, document_for
from appraise.report.sections.signatures import ASSESSOR, CLIENT, ROLES, signatures
from appraise.services.letterhead import letterhead_of, practice_begun, with_letterhead
from appraise.store.read import read_case
from appraise.store.settings_sections import PracticeSettings
from appraise.store.write import write_case
from appraise.tables.load import load_tables
from tests.report.conftest import valued

TABLES = load_tables()
SAMPLES = Path(__file__).parents[2] / "sample_cases"
NAME, STREET, BLOCK = "Invented house for pianos", "Invented street 4, Obervelner", "Invented assessor, master of none"
OURS = Practice(
    name=NAME,
    address=f"{STREET}\nTelephone not given",
    qualifications="An invented apprenticeship",
    statement="We hold no share in what is appraised.",
    signature=BLOCK,
)


def drawn(path: Path, colour=(20, 90, 160)) -> Path:
    Image.new("RGB", (240, 60), colour).save(path)
    return path


def under(item, tmp_path, **changes):
    """Return an appraisal under the letterhead, its picture beside an invented case file."""
    drawn(tmp_path / "head.png")
    case = replace(item.case, practice=replace(OURS, **changes))
    case = replace(case, assignment=replace(case.assignment, reported=date(2026, 12, 1)))
    case = with_letterhead(case, "head.png", tmp_path / "case.toml")
    return replace(item, case=case, letterhead=letterhead_of(tmp_path / "case.toml", case))


@pytest.mark.parametrize("kind", [kind for kind in ReportKind if kind not in OF_A_LOSS])
@pytest.mark.parametrize("ending", [".md", ".html", ".pdf"])
def test_every_document_stands_under_it(kind, ending, tmp_path):
    item = under(valued("grand"), tmp_path)
    document = document_for(kind, item)
    content = write(document, ending, Sheet()).content
    if ending == ".pdf":
        from pypdf import PdfReader

        target = tmp_path / "r.pdf"
        target.write_bytes(content)
        page = PdfReader(target).pages[0]
        text, pictures = page.extract_text(), len(page.images)
        assert pictures >= 1
    else:
        text = content.decode("utf-8")
        assert ending == ".md" or "data:image/jpeg;base64," in text
    assert NAME in text
    assert STREET in text.replace("\n", " ")
    assert "Issued on" in text
    assert item.manner.day(date(2026, 12, 1)) in text
    blocks = [getattr(block, "text", "") for section in document.sections for block in section.blocks]
    assert (BLOCK in blocks) == (kind in SIGNED)


def test_statement_and_qualifications_stand_where_the_appraisal_is_signed(tmp_path):
    (section,) = (
        each for each in document_for("full", under(valued("grand"), tmp_path)).sections if each.key == "statement"
    )
    text = repr(section)
    assert OURS.statement in text
    assert OURS.qualifications in text


def test_three_parties_sign_and_the_practice_signs_as_the_first(tmp_path):
    item = under(valued("grand"), tmp_path)
    (signed,) = (each for each in document_for("full", item).sections if each.key == "signatures")
    told = [block.text for block in signed.blocks if isinstance(block, Paragraph)]
    assert [line for line in told if line in ROLES] == list(ROLES)
    assert told[told.index(ASSESSOR) : told.index(CLIENT)] == [ASSESSOR, BLOCK]
    (asked, *_) = (block.rows for block in signed.blocks if isinstance(block, Facts))
    assert asked == (
        ("Inspected on", item.manner.day(item.case.assignment.inspected)),
        ("Issued on", item.manner.day(date(2026, 12, 1))),
    )


def test_the_day_of_issue_is_written_by_hand_where_no_case_states_it():
    item = valued("grand")
    asked = replace(item.case.assignment, reported=None)
    section = signatures(asked, item.manner)
    assert FillInLines(("Issued on",)) in section.blocks


def test_a_case_without_a_practice_has_no_head():
    assert document_for("full", valued("grand")).letterhead is None


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (lambda path: path.unlink(), "practice.letterhead: found no such file, expected the file head.png"),
        (lambda path: path.write_text("no picture"), "practice.letterhead: found a file with "),
        (lambda path: drawn(path, (0, 0, 0)), "practice.letterhead: found a file with "),
    ],
)
def test_a_picture_that_is_not_the_one_is_refused_in_one_line(tmp_path, capsys, spoil, told):
    path = tmp_path / "grand.toml"
    shutil.copy(SAMPLES / "renewed_grand.toml", path)
    case, _ = read_case(path, TABLES)
    drawn(tmp_path / "head.png")
    write_case(path, with_letterhead(replace(case, practice=OURS), "head.png", path), TABLES)
    spoil(tmp_path / "head.png")
    assert main(["report", str(path), "--draws", "100", "-o", str(tmp_path / "r.pdf")]) != 0
    error = capsys.readouterr().err
    assert told in error
    assert error.count("\n") == 1
    assert not (tmp_path / "r.pdf").exists()
    assert main(["check", str(path)]) != 0
    assert "practice." in capsys.readouterr().out


def test_what_is_no_picture_is_refused_on_entry(tmp_path):
    case = valued("grand").case
    (tmp_path / "a.png").write_text("words")
    with pytest.raises(InputError, match=r"no picture in a\.png"):
        with_letterhead(case, "a.png", tmp_path / "case.toml")
    with pytest.raises(InputError, match="no such file"):
        with_letterhead(case, "b.png", tmp_path / "case.toml")
    Image.new("RGB", (4, 4)).save(tmp_path / "cut.png")
    (tmp_path / "cut.png").write_bytes((tmp_path / "cut.png").read_bytes()[:40])
    cut = with_letterhead(case, "cut.png", tmp_path / "case.toml")
    with pytest.raises(Unreadable) as refused:
        letterhead_of(tmp_path / "case.toml", cut)
    assert str(refused.value.problems[0]).count("\n") == 0


def test_a_new_case_takes_the_practice_over_and_gives_the_same_bytes_elsewhere(tmp_path, monkeypatch, capsys):
    home, elsewhere = tmp_path / "home", tmp_path / "elsewhere"
    home.mkdir()
    drawn(home / "logo.png")
    settings = home / "settings.toml"
    settings.write_text(f'[practice]\nname = "{NAME}"\naddress = "{STREET}"\nletterhead = "logo.png"\n')
    monkeypatch.setenv("APPRAISE_SETTINGS", str(settings))
    path = tmp_path / "bench" / "grand.toml"
    path.parent.mkdir()
    words = "--kind grand --year 1990 --replacement-cost 30000 --date 2026-11-20"
    assert main(["new", str(path), *words.split()]) == 0
    case, problems = read_case(path, TABLES)
    assert problems == []
    assert (case.practice.name, case.practice.address) == (NAME, STREET)
    assert (path.parent / case.practice.letterhead).read_bytes() == (home / "logo.png").read_bytes()
    assert main(["report", str(path), "--draws", "100", "-o", str(path.parent / "r.html")]) == 0
    shutil.copytree(path.parent, elsewhere)
    monkeypatch.setenv("APPRAISE_SETTINGS", str(tmp_path / "none.toml"))
    (elsewhere / "r.html").rename(elsewhere / "first.html")
    assert main(["report", str(elsewhere / "grand.toml"), "--draws", "100", "-o", str(elsewhere / "r.html")]) == 0
    assert (elsewhere / "r.html").read_bytes() == (path.parent / "r.html").read_bytes()
    capsys.readouterr()


@pytest.mark.parametrize(
    ("file", "told"),
    [
        ("none.png", "no such file, expected a picture: PNG, JPEG, GIF or WebP"),
        ("words.png", "no picture, expected a picture: PNG, JPEG, GIF or WebP"),
    ],
)
def test_a_letterhead_of_the_settings_that_is_none_is_refused(tmp_path, monkeypatch, file, told):
    monkeypatch.setenv("APPRAISE_SETTINGS", str(tmp_path / "settings.toml"))
    (tmp_path / "words.png").write_text("words")
    with pytest.raises(InputError, match=told):
        practice_begun(PracticeSettings(letterhead=file), tmp_path / "case.toml")


def test_the_json_names_the_practice(tmp_path):
    from appraise.report.json_text import dumps
    from appraise.report.outputs.sheets import OFFER

    head = json.loads(dumps(OFFER.dump(under(valued("grand"), tmp_path))))["document"]["letterhead"]
    assert head["name"] == NAME
    assert head["lines"][0] == STREET
