"""`value`, `why` and `report` as a person runs them."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys

import pytest

from appraise.cli.parser import main

CASE = """\
schema = 1

[identity]
kind = "grand"
maker = "Korb [/x] [bold]"
made = "1931"
size_cm = 185

[assignment]
inspected = 2026-11-20

[market]
replacement_cost_new = "48000.00"

[costs]
labour_rate = "62.00"

[[readings]]
check = "pin_torque"
value = 5.0
unit = "N·m"
note = 40
"""


@pytest.fixture
def case(tmp_path):
    path = tmp_path / "grand.toml"
    path.write_text(CASE, encoding="utf-8")
    return path


def run(capsys, *words):
    code = main([str(word) for word in words])
    out, err = capsys.readouterr()
    return code, out, err


def test_value_for_people(case, capsys):
    code, out, err = run(capsys, "value", case, "--draws", "200")
    assert (code, err) == (0, "")
    assert "Korb [/x] [bold]" in out
    assert "Private sale · on 20 November 2026 · grand.toml" in out
    assert "Check next" in out
    assert "\x1b" not in out


def test_the_charts_come_below_the_same_page(case, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "70")
    plain = run(capsys, "value", case, "--draws", "200")[1]
    code, out, err = run(capsys, "value", case, "--draws", "200", "--charts")
    assert (code, err) == (0, "")
    assert out.startswith(plain)
    charts = out.removeprefix(plain)
    titles = ("The value and its range", "Causes of the width of the range", "Depreciation of each component")
    for title in (*titles, "Remaining life of the costly parts"):
        assert title in charts
    assert max(len(line) for line in charts.splitlines()) <= 70
    assert "\x1b" not in charts


def test_charts_and_json_are_not_asked_for_together(case, capsys):
    code, out, err = run(capsys, "value", case, "--charts", "--json")
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert "--charts" in err


@pytest.mark.usefixtures("value_anew")
def test_value_as_json(case, capsys):
    code, out, err = run(capsys, "value", case, "--json", "--draws", "200", "--seed", "5")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert (found["case"], found["seed"], found["draws"]) == ("grand.toml", 5, 200)
    again = run(capsys, "value", case, "--json", "--draws", "200", "--seed", "5")[1]
    assert again == out


def test_several_cases_and_one_that_is_missing(case, tmp_path, capsys):
    code, out, err = run(capsys, "value", tmp_path / "none.toml", case, "--json", "--draws", "200")
    assert code == 2
    assert [entry["case"] for entry in json.loads(out)["cases"]] == ["grand.toml"]
    assert len(err.splitlines()) == 1
    assert "none.toml" in err


def test_a_missing_case_prints_no_json(tmp_path, capsys):
    code, out, err = run(capsys, "value", tmp_path / "none.toml", "--json")
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1


def test_a_case_with_problems_is_named_line_by_line(case, capsys):
    case.write_text(
        CASE.replace('kind = "grand"', 'kind = "harp"').replace("note = 40", "note = 400"), encoding="utf-8"
    )
    code, out, err = run(capsys, "value", case)
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 2
    assert "harp" in err
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("--basis", "retial"), 'found "retial", expected a kind of value; did you mean "retail"?'),
        (("--date", "1930-06-01"), "found 1930-06-01, expected a day from 1931-01-01 on"),
        (("--date", "june"), 'found "june", expected a day such as 2026-11-20'),
        (("--draws", "3"), 'found "3", expected a whole number from 100'),
    ],
)
def test_options_that_do_not_fit(case, capsys, words, found):
    code, out, err = run(capsys, "value", case, *words)
    assert (code, out) == (2, "")
    assert found in err
    assert len(err.splitlines()) == 1


def test_another_day_and_another_kind_of_value(case, capsys):
    before = json.loads(run(capsys, "value", case, "--json", "--draws", "200")[1])
    after = json.loads(
        run(capsys, "value", case, "--json", "--draws", "200", "--date", "2040-01-01", "--basis", "retail")[1]
    )
    assert (after["inspected"], after["basis"]) == ("2040-01-01", "retail")
    ages = [entry["stations"][4]["components"][0]["age_years"]["mid"] for entry in (before, after)]
    assert ages[1] > ages[0] + 13


def test_why_shows_the_rows_a_figure_rests_on(case, capsys):
    code, out, err = run(capsys, "why", case, "pin_block.grade", "--draws", "200")
    assert (code, err) == (0, "")
    assert "checks/pin_torque" in out
    assert "5 N·m" in out
    assert "common practice" in out or "from memory" in out or "our assumption" in out


def test_why_without_a_figure_is_of_the_value(case, capsys):
    code, out, _ = run(capsys, "why", case, "--depth", "0", "--draws", "200")
    assert code == 0
    assert out.startswith("Value, private sale")


def test_why_as_json(case, capsys):
    code, out, _ = run(capsys, "why", case, "hammers.life", "--json", "--draws", "200")
    found = json.loads(out)
    assert code == 0
    assert found["reason"]["figure"] == "hammers.life"
    assert found["reason"]["references"][0]["ref"].startswith("lives/")


def test_why_of_an_unknown_figure_names_the_nearest(case, capsys):
    code, out, err = run(capsys, "why", case, "hamers.depreciation", "--draws", "200")
    assert (code, out) == (2, "")
    assert 'found "hamers.depreciation", expected a figure of this case; nearest are hammers.depreciation' in err
    assert len(err.splitlines()) == 1


def test_a_report_in_markdown_and_in_json(case, tmp_path, capsys):
    for name in ("report.md", "report.json", "UPPER.MD"):
        code, out, err = run(capsys, "report", case, "-o", tmp_path / name, "--draws", "200")
        assert (code, out, err) == (0, f"wrote {tmp_path / name}\n", "")
    page = (tmp_path / "report.md").read_text(encoding="utf-8")
    assert page.startswith("# Condition and value of a piano\n")
    assert hashlib.sha256(case.read_bytes()).hexdigest() in page
    assert r"Korb \[/x\] \[bold\]" in page
    found = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))
    assert found["reasons"]["figure"] == "value"
    assert found["case_sha256"] == hashlib.sha256(case.read_bytes()).hexdigest()
    written = ["UPPER.MD", "grand.toml", "grand.trail.jsonl", "report.json", "report.md"]
    assert sorted(path.name for path in tmp_path.iterdir()) == written


def test_several_formats_from_one_valuation(case, tmp_path, capsys):
    names = ("r.pdf", "r.html", "r.md", "r.json")
    files = [tmp_path / name for name in names]
    options = [word for file in files for word in ("-o", file)]
    code, out, err = run(capsys, "report", case, *options, "--draws", "200", "--paper", "letter")
    assert (code, err) == (0, "")
    assert out.splitlines() == [f"wrote {file}" for file in files]
    assert files[0].read_bytes().startswith(b"%PDF-1.7")
    assert files[1].read_bytes().startswith(b"<!DOCTYPE html>")
    first = [file.read_bytes() for file in files]
    assert run(capsys, "report", case, *options, "--draws", "200", "--paper", "letter", "--force")[0] == 0
    assert [file.read_bytes() for file in files] == first


def test_one_file_that_cannot_be_written_does_not_keep_the_others_back(case, tmp_path, capsys, monkeypatch):
    from appraise.services import documents

    real = documents.write_file

    def full(path, content):
        if path.suffix == ".html":
            raise OSError(28, "No space left on device")
        real(path, content)

    monkeypatch.setattr(documents, "write_file", full)
    code, out, err = run(capsys, "report", case, "-o", tmp_path / "r.html", "-o", tmp_path / "r.md", "--draws", "200")
    assert (code, out) == (2, f"wrote {tmp_path / 'r.md'}\n")
    assert "No space left on device" in err
    assert len(err.splitlines()) == 1


def test_a_file_named_twice_is_refused(case, tmp_path, capsys):
    code, _, err = run(capsys, "report", case, "-o", tmp_path / "r.md", "-o", tmp_path / "r.md")
    assert code == 2
    assert "found it twice" in err


def test_a_photo_that_is_missing_or_another_is_told_and_the_rest_is_made(case, tmp_path, capsys):
    from PIL import Image

    for name in ("here.png", "other.png"):
        Image.new("RGB", (60, 40), "grey").save(tmp_path / name)
    remarks = "".join(
        f'\n[[remarks]]\nplace = "soundboard"\ntext = "a crack"\nphoto = "{name}"\n{digest}'
        for name, digest in (("here.png", ""), ("gone.png", ""), ("other.png", f'sha256 = "{"0" * 64}"\n'))
    )
    case.write_text(CASE + remarks, encoding="utf-8")
    code, out, err = run(capsys, "report", case, "-o", tmp_path / "r.html", "-o", tmp_path / "r.pdf", "--draws", "200")
    assert code == 0
    assert len(out.splitlines()) == 2
    assert len(err.splitlines()) == 2
    assert "gone.png" in err
    page = (tmp_path / "r.html").read_text(encoding="utf-8")
    assert page.count('<img src="data:image/jpeg') == 1
    assert page.count("Not shown: ") == 2


def test_a_report_replaces_a_file_only_when_told(case, tmp_path, capsys):
    target = tmp_path / "report.md"
    target.write_text("mine", encoding="utf-8")
    code, _, err = run(capsys, "report", case, "-o", target)
    assert code == 2
    assert "--force replaces it" in err
    assert target.read_text(encoding="utf-8") == "mine"
    assert run(capsys, "report", case, "-o", target, "--force", "--draws", "200")[0] == 0
    assert target.read_text(encoding="utf-8").startswith("# ")


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("report.doc", "found the ending .doc, expected .pdf, .html, .md or .json"),
        ("report", "found no ending, expected .pdf, .html, .md or .json"),
        ("none/report.md", "expected one; make it first"),
        ("folder.md", "found a folder, expected a file to write"),
    ],
)
def test_a_report_that_cannot_be_written(case, tmp_path, capsys, name, found):
    (tmp_path / "folder.md").mkdir()
    code, out, err = run(capsys, "report", case, "-o", tmp_path / name)
    assert (code, out) == (2, "")
    assert found in err
    assert len(err.splitlines()) == 1


def test_the_same_bytes_whatever_order_a_process_keeps_its_sets_in(case):
    command = [sys.executable, "-m", "appraise", "value", str(case), "--json", "--draws", "200"]
    outputs = {
        subprocess.run(command, capture_output=True, check=True, env={"PYTHONHASHSEED": seed, "PATH": ""}).stdout
        for seed in ("5", "8", "9")
    }
    assert len(outputs) == 1


def test_valuing_loads_neither_textual_nor_scipy(case):
    code = (
        "import sys\nfrom appraise.cli.parser import main\n"
        f"main(['value', {str(case)!r}, '--draws', '200'])\n"
        "print([name for name in ('textual', 'scipy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.rstrip().endswith("[]")
