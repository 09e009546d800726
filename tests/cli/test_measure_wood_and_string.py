"""`appraise measure wood` and `appraise measure string` as a shell sees them."""

from __future__ import annotations

import json

import pytest

SCALE = "note;length_mm;diameter_mm;core_mm;wrap_mm;strings\nA4;400;1,0;;;3\nA0;1200;;1,4;1,8;1\n"


def test_wood_as_json(appraise):
    answer = appraise("measure", "wood", "--temperature", "70F", "--rh", "50", "--json")
    assert answer.code == 0
    found = json.loads(answer.out)
    assert found["outputs"]["moisture_content_pct"] == pytest.approx(9.2, abs=0.1)
    assert found["sources"][0]["standing"] == "from memory"


def test_wood_with_everything(appraise):
    words = [
        "--rh",
        "35",
        "--to-rh",
        "50",
        "--width",
        "55in",
        "--gap",
        "1.2mm",
        "--move",
        "far",
        "--moisture",
        "7",
        "--flat-sawn",
    ]
    answer = appraise("measure", "wood", *words)
    assert (answer.code, answer.err) == (0, "")
    for part in ("upper bound", "1,397 mm", "flat-sawn", "second tuning at three months", "Humidity swing"):
        assert part in answer.out


def test_wood_from_a_log(appraise, tmp_path):
    path = tmp_path / "log.csv"
    path.write_text("time,temp C,rh\n2026-01-31 14:05,20,25\n2026-01-31 15:05,20,25\n")
    found = json.loads(appraise("measure", "wood", "--log", path, "--json").out)
    assert found["outputs"]["too_dry_pct"] == 100
    assert found["tables"]["months"][0]["month"] == "2026-01"


def test_string_side_by_side(appraise):
    answer = appraise(
        *["measure", "string", "--note", "A4", "--length", "40cm", "--diameter", "1", "--strings", "3", "--flat", "120"]
    )
    assert (answer.code, answer.err) == (0, "")
    for part in ("763.9 N", "fit_m145", "fit_m163", "a228_high", "written consent", "whips", "from memory"):
        assert part in answer.out


def test_wound_string(appraise):
    words = [
        "measure",
        "string",
        "--hz",
        "55",
        "--length",
        "1.2e0",
        "--diameter",
        "1.2",
        "--wrap",
        "0.8",
        "--wrap",
        "0.5",
        "--json",
    ]
    assert appraise(*words).code == 2
    words[words.index("1.2e0")] = "120cm"
    found = json.loads(appraise(*words).out)
    assert found["inputs"]["winding_2_mm"] == 0.5
    assert "lower bound" in found["notes"]["inharmonicity"]


def test_scale(appraise, tmp_path):
    path = tmp_path / "scale.csv"
    path.write_text(SCALE)
    found = json.loads(appraise("measure", "string", "--scale", path, "--json").out)
    assert [row["name"] for row in found["tables"]["notes"]] == ["A0", "A4"]
    assert found["outputs"]["strings"] == 4
    inches = tmp_path / "inches.csv"
    inches.write_text("note,length_in,diameter_in,strings\n49,15.748031,0.0393701,3\n")
    other = json.loads(appraise("measure", "string", "--scale", inches, "--json").out)
    assert other["tables"]["notes"][0]["tension_n"] == pytest.approx(763.9, abs=0.1)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("wood", "nothing to calculate from"),
        ("wood --rh 120", "--rh: relative humidity: found 120 %, which cannot be, expected 0 to 100 %"),
        ("wood --rh 40 --width 3kg", "found the unit “kg”, expected mm"),
        ("wood --rh x", "found “x”, expected a number"),
        ("wood --rh 40 --unit F", "belong to --log"),
        ("wood --rh 40 --log none.csv", "two answers"),
        ("wood --log none.csv", "No such file"),
        ("wood --move moon", "local, far"),
        ("string", "one of --note and --hz"),
        ("string --note A4", "--length and --diameter are needed"),
        ("string --note H4 --length 400 --diameter 1", "expected a note"),
        ("string --hz 440 --note A4 --length 400 --diameter 1", "one of --note and --hz"),
        ("string --note A4 --length 400 --diameter 10", "which cannot be, expected 0.2 to 3 mm"),
        ("string --note A4 --length 400 --diameter 1 --strength mine", "a228_low"),
        ("string --note A4 --length 400 --diameter 1 --wrap 1 --winding gold", "copper"),
        ("string --note A4 --length 400 --diameter 1 --strings 1.5", "whole number"),
        ("string --scale none.csv --note A4", "two answers"),
    ],
)
def test_one_line_and_code_2(appraise, tmp_path, monkeypatch, words, says):
    monkeypatch.chdir(tmp_path)
    answer = appraise("measure", *words.split())
    assert (answer.code, answer.out) == (2, "")
    assert says in answer.err
    assert answer.err.count("\n") == 1


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("", "an empty file"),
        ("# only\n", "remarks only"),
        ("note,length_mm,diameter_mm\n", "headings without rows"),
        ("note,length,diameter_mm\nA4,400,1\n", "length_mm or length_in"),
        ("note,length_mm,diametre_mm\nA4,400,1\n", "did you mean diameter_mm?"),
        ("note,length_mm\nA4,400\n", "no diameter"),
        ("note,length_mm,length_in,diameter_mm\n", "length twice"),
        ("note,length_mm,diameter_mm\nX9,400,1\n", ":2: note:"),
        ("note,length_mm,diameter_mm\nA4,400,1\n49,400,1\n", ":3: note: found note 49 again"),
        ("note,length_mm,diameter_mm\nA4,400\n", "2 cells"),
        ("note,length_mm,diameter_mm\nA4,,1\n", "an empty cell"),
        ("note,length_mm,diameter_mm\nA4,nan,1\n", "20 to 3000 mm"),
        ("note,length_mm,diameter_mm\nA4,400,inf\n", "0.2 to 3 mm"),
        ("note,length_mm,wrap_mm,diameter_mm\nA4,400,1,1\n", "the core of a wound string"),
        ("note,length_mm,core_mm,wrap_mm,diameter_mm\nA0,1200,1,1,2.5\n", "the two to agree"),
        ("note,length_mm,diameter_mm,strings\nA4,400,1,7\n", "a whole number from 1 to 4"),
        ("note,length_mm,diameter_mm,winding\nA4,400,1,gold\n", ""),
    ],
)
def test_a_scale_that_cannot_be_used(appraise, tmp_path, content, says):
    path = tmp_path / "scale.csv"
    path.write_text(content)
    answer = appraise("measure", "string", "--scale", path)
    if says:
        assert (answer.code, answer.out) == (2, "")
        assert answer.err.count("\n") == 1
        assert says in answer.err
    else:  # the material of a winding that is not there says nothing
        assert answer.code == 0


def test_user_tables_are_marked(appraise, tmp_path):
    (tmp_path / "wire_strengths.csv").write_text(
        "key,label,method,a_mpa,exponent,from_mm,to_mm,standing,source,where,note\n"
        "mine,My wire,fit,2000,0.15,0.5,2,our assumption,none,,\n"
    )
    words = ["measure", "string", "--note", "A4", "--length", "400", "--diameter", "1", "--strength", "mine"]
    answer = appraise(*words, "--tables", tmp_path)
    assert answer.code == 0
    assert "yours" in answer.out
