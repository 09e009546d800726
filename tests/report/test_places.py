"""One case told in several places: the same figures, written as each place writes them."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout

import pytest

from appraise.cli.parser import main
from appraise.report.wording.localised import localised
from tests.helpers.samples import copied_samples

SAMPLE = copied_samples() / "renewed_grand.toml"
DRAWS = ("--draws", "200")


def appraise(*words, **environment):
    """Run the command line: where an environment of its own is asked for, as a process of its own."""
    line = list(map(str, words))
    if not environment:
        out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
        with redirect_stdout(out), redirect_stderr(err):
            code = main(line)
        return subprocess.CompletedProcess(line, code, *(each.buffer.getvalue().decode() for each in (out, err)))
    return subprocess.run(
        [sys.executable, "-m", "appraise", *line],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        env={**os.environ, "PYTHONUTF8": "1", **environment},
    )


def case_with(tmp_path, **keys):
    """Write the sample with keys of its assignment set, and return where."""
    text = SAMPLE.read_text(encoding="utf-8")
    for key, value in keys.items():
        text = re.sub(rf"(?m)^{key} = .*\n", "", text)
        text = text.replace("[assignment]\n", f'[assignment]\n{key} = "{value}"\n')
    path = tmp_path / "case.toml"
    path.write_text(text, encoding="utf-8")
    return path


def report(tmp_path, case, *words):
    """Return the full report as Markdown."""
    target = tmp_path / "report.md"
    done = appraise("report", case, "-o", target, "--force", *DRAWS, *words)
    assert done.returncode == 0, done.stderr
    return target.read_text(encoding="utf-8")


def test_switzerland(tmp_path):
    text = report(tmp_path, case_with(tmp_path, currency="CHF", locale="de_CH"))
    assert "CHF\u00a094’000" in text
    assert "4. November 2026" in text
    assert "EUR" not in text.split("## ")[2]


def test_america_with_inches(tmp_path):
    text = report(tmp_path, case_with(tmp_path, currency="USD"), "--locale", "en_US", "--units", "inch")
    assert "$94,000" in text
    assert "November 4, 2026" in text
    assert "72.8 in" in text
    assert "185 cm" not in text
    assert re.search(r"\d in·lb", text)
    assert not re.search(r"\d N·m", text)  # millimetres stand in what the assessor wrote


def test_japan(tmp_path):
    text = report(tmp_path, case_with(tmp_path, currency="JPY"), "--locale", "ja_JP")
    assert "￥94,000" in text
    assert "2026年11月4日" in text


def test_the_summary_in_german(tmp_path):
    target = tmp_path / "summary.md"
    words = ("--kind", "summary", "--locale", "de_DE", *DRAWS)
    assert appraise("report", SAMPLE, "-o", target, *words).returncode == 0
    text = target.read_text(encoding="utf-8")
    assert text.startswith("# Zusammenfassung für den Eigentümer\n\nFlügel, Orvendal Salon 185, 185 cm, gebaut 1931\n")
    for word in ("Resonanzboden", "Stimmstock", "Dämpfer", "Klaviatur", "94.000\u00a0€", "4\\. November 2026"):
        assert word in text
    assert "Zusammenfassung" not in report(tmp_path, SAMPLE, "--locale", "de_DE")  # not covered: all English


def test_the_command_line_wins_over_the_case(tmp_path):
    case = case_with(tmp_path, locale="fr_FR", units="inch")
    assert "4 novembre 2026" in report(tmp_path, case)
    assert "72,8 in" in report(tmp_path, case)
    text = report(tmp_path, case, "--locale", "en_GB", "--units", "metric")
    assert "4 November 2026" in text
    assert "185 cm" in text


def test_json_is_the_same_in_every_place(tmp_path):
    case = case_with(tmp_path, locale="de_CH", units="inch")
    plain = appraise("value", SAMPLE, "--json", *DRAWS)
    there = appraise("value", case, "--json", "--locale", "ja_JP", *DRAWS)
    one, two = json.loads(plain.stdout), json.loads(there.stdout)
    assert {**one, "case": ""} == {**two, "case": ""}
    target = tmp_path / "report.json"
    assert appraise("report", case, "-o", target, *DRAWS).returncode == 0
    assert "’" not in json.loads(target.read_text(encoding="utf-8"))["reasons"]["shown"]


def test_the_environment_changes_nothing():
    there = {"LANG": "de_CH.UTF-8", "LC_ALL": "de_CH.UTF-8", "LANGUAGE": "de", "LC_NUMERIC": "de_DE.UTF-8"}
    for words in (("value", SAMPLE, *DRAWS), ("value", SAMPLE, "--locale", "fr_FR", *DRAWS)):
        first, second = appraise(*words, LANG="C", LC_ALL="C"), appraise(*words, **there)
        assert first.returncode == 0
        assert first.stdout == second.stdout


HOSTILE = [
    "../../etc/passwd",
    "de_XX",
    "x" * 5000,
    "en US",
    "de\nCH",
    "",
    "de_CH.UTF-8",
    "\x1b[2J",
    "root",
    "en_US;DROP",
]


@pytest.mark.parametrize("name", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_names_are_refused_in_one_line(name):
    done = appraise("value", SAMPLE, "--locale", name)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "expected a locale of the CLDR" in done.stderr
    assert "\x1b" not in done.stderr
    assert len(done.stderr) < 500


def test_a_mistyped_locale_names_the_nearest():
    assert 'did you mean "de_CH"?' in appraise("value", SAMPLE, "--locale", "de_CHH").stderr


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("locale", "de_CHH", ["assignment.locale", '"de_CHH"', 'did you mean "de_CH"?']),
        ("locale", "../x", ["assignment.locale", "expected a locale of the CLDR"]),
        ("units", "inches", ["assignment.units", '"inches"', '"metric" or "inch"']),
        ("currency", "EUX", ["assignment.currency", '"EUX"', "a currency of ISO 4217 in use", "did you mean"]),
        ("currency", "DEM", ["assignment.currency", '"DEM"', "a currency of ISO 4217 in use"]),
    ],
)
def test_bad_keys_of_a_case(tmp_path, key, value, words):
    done = appraise("check", case_with(tmp_path, **{key: value}))
    assert done.returncode == 1
    for word in words:
        assert word in done.stdout + done.stderr


def test_a_case_keeps_its_locale_when_saved(tmp_path):
    from datetime import date

    from appraise.store.read import read_case
    from appraise.store.write import write_case
    from appraise.tables.load import load_tables

    tables, path = load_tables(), case_with(tmp_path, locale="de_CH", units="inch")
    case, _ = read_case(path, tables, today=date(2026, 12, 1))
    write_case(path, case, tables)
    again, _ = read_case(path, tables, today=date(2026, 12, 1))
    assert (again.assignment.locale, again.assignment.units) == ("de_CH", "inch")
    assert again == case


@pytest.mark.parametrize(("locale", "word"), [("de_CH", "grössere"), ("de_LI", "grössere"), ("de_DE", "größere")])
def test_german_has_no_eszett_in_switzerland(locale, word):
    text = "The next large job will be the {part}, in about {years}{range}."
    told = localised(locale, kind="summary").say(text, part="x", years="y", range="")
    assert told.startswith(f"Die nächste {word} Arbeit")
