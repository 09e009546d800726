"""`check` of a report in JSON: computed again to the cent, what differs named, anything else one clear line."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING

import pytest

from tests.helpers.samples import copied_samples

if TYPE_CHECKING:
    from pathlib import Path

FOLDER = copied_samples()
KINDS = ("full", "annex", "summary", "loss", "notice", "request")


@pytest.fixture(scope="module")
def reports(tmp_path_factory):
    """Return a folder with a report of every kind."""
    from appraise.cli.parser import main

    folder = tmp_path_factory.mktemp("reports")
    case, before = FOLDER / "removal_after.toml", FOLDER / "removal_before.toml"
    for kind in KINDS:
        words = ["report", case, "--kind", kind, "-o", folder / f"{kind}.json", "--draws", "300", "--seed", "5"]
        if kind in ("loss", "notice", "request"):
            words += ["--before", before, "--sum-insured", "15000", "--excess", "250", "--weight", "480 kg"]
        assert main([str(word) for word in words]) == 0
    return folder


def changed(reports, tmp_path, kind, change) -> Path:
    """Return a report with something changed in it."""
    found = json.loads((reports / f"{kind}.json").read_text(encoding="utf-8"))
    change(found)
    path = tmp_path / "report.json"
    path.write_text(json.dumps(found), encoding="utf-8")
    return path


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_to_the_cent(appraise, reports, kind):
    path = reports / f"{kind}.json"
    assert appraise("check", path) == (0, f"{path}: the same to the cent; its case is not beside it\n", "")


def test_the_dossier_of_a_remembered_state(appraise, tmp_path):
    case, path = tmp_path / "grand.toml", tmp_path / "r.json"
    shutil.copytree(FOLDER / "photos", tmp_path / "photos")
    shutil.copytree(FOLDER / "papers", tmp_path / "papers")
    case.write_bytes((FOLDER / "removal_before.toml").read_bytes())
    assert appraise("loss", "--set-before", "removal", case).code == 0
    kept = case.read_text(encoding="utf-8").split("[earlier_state]")[1]
    ticked = '\n[[remarks]]\nplace = "finish"\ntext = "x"\nearlier = 2\nworse = true\nphoto = "a.jpg"\n'
    after = (FOLDER / "removal_after.toml").read_text(encoding="utf-8")
    case.write_text(f"{after}{ticked}\n[earlier_state]{kept}mended = [1]\n", encoding="utf-8")
    words = ("--delivered", "2026-10-23", "--surrendered", "--residual", "90", "--draws", "200")
    assert appraise("report", case, "--kind", "loss", *words, "-o", path).code == 0
    found = json.loads(path.read_text(encoding="utf-8"))
    assert [each["class"] for each in found["remarks"] if each["ticked"]] == ["worse", "mended"]
    assert appraise("check", path) == (0, f"{path}: the same to the cent\n", "")
    found["recompute"]["delivered"] = "soon"
    path.write_text(json.dumps(found), encoding="utf-8")
    assert "recompute.delivered: found" in appraise("check", path).err


def test_written_otherwise_and_in_another_order_it_is_the_same(appraise, reports, tmp_path):
    found = json.loads((reports / "summary.json").read_text(encoding="utf-8"))
    path = tmp_path / "r.json"
    path.write_text(json.dumps(dict(reversed(found.items())), ensure_ascii=True), encoding="utf-8")
    assert appraise("check", path).code == 0


def test_for_another_day_and_on_another_basis(appraise, tmp_path):
    path = tmp_path / "r.json"
    case = FOLDER / "recent_grand.toml"
    words = ("--kind", "summary", "--basis", "retail", "--date", "2026-12-24", "--draws", "200")
    assert appraise("report", case, *words, "-o", path).code == 0
    assert json.loads(path.read_text(encoding="utf-8"))["recompute"]["basis"] == "retail"
    assert appraise("check", path).code == 0


@pytest.mark.parametrize(
    ("kind", "change", "place"),
    [
        ("full", lambda r: r["value"].update(mid="1.00"), 'value.mid: found "1.00", expected "'),
        ("full", lambda r: r["stations"][4].update(grade=1.0), "stations[action].grade: found 1.0, expected "),
        (
            "full",
            lambda r: r["reasons"]["parts"][0].update(value=0),
            "reasons.parts[value.low].value: found 0, expected ",
        ),
        ("summary", lambda r: r.pop("plan_cost"), "plan_cost: found nothing, expected "),
        ("summary", lambda r: r.update(bonus=1), "bonus: found 1, expected nothing"),
        ("annex", lambda r: r["work"]["player"].pop(), "work.player: items: found "),
        ("annex", lambda r: r.update(case_sha256="0" * 64), "case_sha256: found "),
        ("loss", lambda r: r["scenarios"][0]["loss"].update(mid="9.00"), "scenarios[1].loss.mid: found "),
        ("loss", lambda r: r["recompute"]["terms"].update(excess="0"), "payable.low: found "),
        ("full", lambda r: r.update(seed=6), "value.percentiles."),
        (
            "summary",
            lambda r: r["recompute"]["rows"].update({"checks/crown": "0" * 10}),
            "recompute.rows: found others",
        ),
        (
            "summary",
            lambda r: r["recompute"]["rows"].pop("checks/crown"),
            "recompute.rows: found others at checks/crown",
        ),
        ("summary", lambda r: r["recompute"].pop("rows"), "recompute.rows: found others at "),
        (
            "summary",
            lambda r: r["document"]["sections"][4]["blocks"][0]["rows"][0].__setitem__(1, "EUR 1"),
            "document.sections[worth].blocks[1].rows[1][2]: found ",
        ),
    ],
)
def test_what_was_changed_is_named(appraise, reports, tmp_path, kind, change, place):
    path = changed(reports, tmp_path, kind, change)
    answer = appraise("check", path)
    assert answer.code == 1
    assert answer.err == ""
    assert f"{path}: {place}" in answer.out
    assert "the same to the cent" not in answer.out


def test_many_differences_are_counted(appraise, reports, tmp_path):
    path = changed(reports, tmp_path, "full", lambda r: r.update(seed=6))
    answer = appraise("check", path)
    assert answer.code == 1
    assert len(answer.out.splitlines()) == 21
    assert "more figures or words that differ" in answer.out.splitlines()[-1]


def test_other_tables_are_named_by_their_rows(appraise, reports, tmp_path):
    own = tmp_path / "own"
    own.mkdir()
    row = 'key = "validity_months"\nvalue = 9\nunit = "months"\nmeans = "x"\nstanding = "our assumption"\n'
    (own / "settings.toml").write_text(f'[[row]]\n{row}source = "none"\n', encoding="utf-8")
    answer = appraise("check", reports / "full.json", "--tables", own)
    assert answer.code == 1
    first = answer.out.splitlines()[0]
    assert "tables_version: found " in first
    assert first.endswith("the tables used now; rows that differ: settings/validity_months")
    assert "reasons.parts[validity].value: found 6.0, expected 9.0 as computed again" in answer.out


def test_another_release_is_a_hint(appraise, reports, tmp_path):
    path = changed(reports, tmp_path, "summary", lambda r: r["recompute"].update(program="0.0.1"))
    answer = appraise("check", path)
    assert answer.code == 0
    assert "recompute.program: found " in answer.out
    assert answer.out.endswith("the same to the cent; its case is not beside it\n")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "text that is not JSON"),
        ('{"schema": 1, "kind"', "the file may be cut off"),
        ("[1, 2]", "JSON that is no object"),
        ("[" * 100_000, "objects nested too deep"),
        ('{"a": NaN}', "the number NaN"),
        ('{"a": 1, "a": 2}', 'the key "a" twice in one object'),
        ('{"a": ' + "9" * 5000 + "}", "a number of too many digits"),
        ("{}", "recompute: found nothing, expected a report with the case it was made from"),
        (
            '{"schema": 2, "recompute": {}}',
            "kind: found nothing, expected one of full, annex, summary, workorder, offer, buying, loss, notice, "
            "request",
        ),
        ('{"schema": 3, "kind": "full", "recompute": {}}', "schema: found 3, expected 2"),
        ('{"schema": 2, "kind": "full", "recompute": {}}', "recompute.case_text: found nothing, expected the text"),
        ('{"schema": 2, "kind": "full", "recompute": {"case_text": "x"}}', "expected TOML 1.0"),
        ('{"schema": 2, "kind": "full\\u001b[2J", "recompute": {}}', "kind: found "),
        ('{"schema": 2, "kind": ["full"], "recompute": {}}', "kind: found a list of 1"),
    ],
)
def test_what_is_no_report_gets_one_line(appraise, tmp_path, text, said):
    path = tmp_path / "r.json"
    path.write_text(text, encoding="utf-8")
    answer = appraise("check", path)
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
    assert str(path) in answer.err
    assert len(answer.err.splitlines()) == 1


@pytest.mark.parametrize("content", [b"\xff\xfe{", b"\x00" * 50])
def test_bytes_that_are_no_text(appraise, tmp_path, content):
    path = tmp_path / "r.json"
    path.write_bytes(content)
    answer = appraise("check", path)
    assert (answer.code, len(answer.err.splitlines())) == (2, 1)


@pytest.mark.parametrize(
    ("kind", "change", "said"),
    [
        ("full", lambda r: r.update(draws=10**9), "draws: found 1000000000, expected a whole number from 100"),
        ("full", lambda r: r.update(seed=True), "seed: found true"),
        ("full", lambda r: r["recompute"].update(basis="retial"), 'recompute.basis: found "retial", expected a kind'),
        ("full", lambda r: r["recompute"].update(date="soon"), "recompute.date: found "),
        (
            "full",
            lambda r: r["recompute"].update(date="1700-01-01"),
            "recompute.date: found 1700-01-01, expected a day",
        ),
        ("full", lambda r: r["recompute"].update(case_text=7), "recompute.case_text: found 7"),
        ("loss", lambda r: r["recompute"].update(terms=[]), "recompute.terms: found "),
        ("loss", lambda r: r["recompute"]["terms"].update(betterment="yes"), "recompute.terms.betterment: found "),
        ("loss", lambda r: r["recompute"]["terms"].update(excess="NaN"), "recompute.terms.excess: found "),
        ("loss", lambda r: r["recompute"]["terms"].update(excess=-5), "recompute.terms.excess: found -5"),
        ("loss", lambda r: r["recompute"].update(weight_kg="heavy"), "recompute.weight_kg: found "),
        (
            "loss",
            lambda r: r["recompute"].update(before_text=r["recompute"]["before_text"].replace("28655", "1")),
            "these are not one instrument",
        ),
    ],
)
def test_what_cannot_be_computed_gets_one_line(appraise, reports, tmp_path, kind, change, said):
    path = changed(reports, tmp_path, kind, change)
    answer = appraise("check", path)
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
    assert len(answer.err.splitlines()) == 1


def test_reports_and_cases_together_as_one_object(appraise, reports, tmp_path):
    bad = changed(reports, tmp_path, "summary", lambda r: r["value"].update(low="1.00"))
    answer = appraise("check", reports / "full.json", bad, FOLDER / "recent_grand.toml", "--json")
    found = json.loads(answer.out)
    assert answer.code == 1
    assert [file["readable"] for file in found["files"]] == [True, True, True]
    assert [len(file["problems"]) for file in found["files"]] == [0, 1, 0]
    assert found["files"][1]["problems"][0]["key"] == "value.low"


def test_hostile_bytes_of_a_case_file_come_back_as_they_were(appraise, tmp_path):
    case = tmp_path / "case.toml"
    text = (FOLDER / "recent_grand.toml").read_text(encoding="utf-8")
    case.write_bytes(("\ufeff" + text.replace("\n", "\r\n") + "# \u202e\x85 end\r\n").encode())
    path = tmp_path / "r.json"
    assert appraise("report", case, "--kind", "summary", "-o", path, "--draws", "200").code == 0
    written = path.read_text(encoding="utf-8")
    assert not any(char in written for char in "\u202e\x85\ufeff\x1b")
    assert json.loads(written)["recompute"]["case_text"].encode() == case.read_bytes()
    assert appraise("check", path).code == 0
