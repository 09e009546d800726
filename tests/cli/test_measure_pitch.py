"""`appraise measure beats`, `pitch`, `dating` and `drying`: answers, units, and one clear line for what cannot be."""

from __future__ import annotations

import json

import pytest

LOG = "date,note,cents,temperature,humidity,remark\n2025-01-10,A4,-4,21,32,\n2025-06-10,49,3.5,70 °F,60,warm\n"


def answer(given):
    assert given.code == 0, given.err
    assert given.err == ""
    return json.loads(given.out)


def test_beats_as_json_and_as_text(appraise):
    found = answer(appraise("measure", "beats", "A3", "--flat", "4", "--json"))
    assert found["outputs"]["cents"] == pytest.approx(-31.77, abs=5e-3)
    assert found["outputs"]["frequency_hz"] == pytest.approx(216)
    assert {source["standing"] for source in found["sources"]} == {"published"}
    text = appraise("measure", "beats", "37", "--flat", "4").out
    assert "−31.77 cents" in text
    assert "at another note the same beats mean something else" in text


@pytest.mark.parametrize("words", [["--flat", "4"], ["--cents", "-31.7667"], ["--hz", "216"], ["--hz", "216 Hz"]])
def test_each_from_the_others(appraise, words):
    found = answer(appraise("measure", "beats", "A3", *words, "--json"))["outputs"]
    assert found["beats_per_second"] == pytest.approx(4, abs=1e-3)
    assert found["cents"] == pytest.approx(-31.7667, abs=1e-3)


def test_another_pitch_and_a_sharp_note(appraise):
    found = answer(appraise("measure", "beats", "A4", "--sharp", "2,5", "--a4", "442", "--json"))
    assert found["inputs"]["a4_hz"] == 442
    assert found["outputs"]["frequency_hz"] == pytest.approx(444.5)
    assert found["outputs"]["cents"] > 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ([], "required: NOTE"),
        (["--flat", "4"], "required: NOTE"),
        (["H4", "--flat", "4"], "found “H4”, expected a note"),
        (["A0", "--flat", "30"], "expected fewer than the 27.5 Hz of A0"),
        (["A4", "--flat", "-3"], "expected 0 to 5000"),
        (["A4", "--flat", "nan"], "expected a number"),
        (["A4", "--flat", "4", "--cents", "3"], "not allowed with"),
        (["A4", "--cents", "-900"], "expected −600 to 300 cents"),
        (["A4", "--cents", "4 Hz"], "found the unit “Hz”, expected cents"),
        (["A4", "--hz", "20"], "cannot be"),
        (["A4", "--a4", "500"], "expected 380 to 490 Hz"),
        (["[/b]\x1b[2J"], "expected a note"),
    ],
)
def test_beats_that_cannot_be(appraise, words, told):
    given = appraise("measure", "beats", *words)
    assert (given.code, given.out) == (2, "")
    assert told in given.err.replace("-600", "−600")
    assert given.err.count("\n") == 1


def test_a_log_from_a_file(appraise, tmp_path):
    path = tmp_path / "log.csv"
    path.write_bytes(b"\xef\xbb\xbf" + LOG.replace("\n", "\r\n").encode())
    found = answer(appraise("measure", "pitch", path, "--json"))
    assert found["outputs"]["verdict"] == "not enough readings"
    assert found["inputs"]["readings"] == 2
    assert found["tables"]["readings"][1]["temperature_c"] == pytest.approx(21.111, abs=1e-3)
    path.write_text(LOG.replace(".", ",").replace(",3,5", ",3.5").replace(",", ";").replace("3.5", "3,5"), "utf-8")
    assert answer(appraise("measure", "pitch", path, "--json"))["inputs"]["readings"] == 2


def test_a_log_from_a_case(appraise, good):
    given = appraise("measure", "pitch", good)
    assert (given.code, given.out) == (2, "")
    assert "holds no reading" in given.err
    good.write_text(good.read_text("utf-8") + "\n[[pitch_log]]\ndate = 2026-01-05\nnote = 49\ncents = -3\n", "utf-8")
    assert "not enough readings" in appraise("measure", "pitch", good).out


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "found an empty file"),
        (b"date,note,cents\n", "found headings alone"),
        (b"\xff\xfed\x00", "expected text in UTF-8"),
        (b"date;note\n2025-01-01;49\n", "log.csv:1: cents: found no such column"),
        (b"date,note,cent\n", "did you mean cents?"),
        (b"date,note,cents,cents\n", "found the column twice"),
        (b"date,note,cents\n2025-01-01,49\n", "log.csv:2: found 2 cells, expected 3"),
        (b"date,note,cents\n2025-13-01,49,1\n", "log.csv:2: date: found “2025-13-01”"),
        (b"date,note,cents\n1025-01-01,49,1\n", "a year from 1600"),
        (b"date,note,cents\n2025-01-01,H4,1\n", "expected a note"),
        (b"date,note,cents\n2025-01-01,49,nan\n", "cents: found “nan”"),
        (b"date,note,cents\n2025-01-01,49,inf\n", "cents: found “inf”"),
        (b"date,note,cents\n2025-01-01,49,-999\n", "which cannot be"),
        (b"date,note,cents\n2025-01-01,49,\n", "cents: found nothing"),
        (b"date,note,cents,humidity\n2025-01-01,49,1,140\n", "expected 1 to 100 %"),
        (b'date,note,cents\n2025-01-01,49,"1\n', "comma-separated values"),
        (b"date,note,cents\n2025-01-01,\x1b[2J,1\n", "expected a note"),
        (b"x" * 2_000_001, "megabytes, expected 2 at most"),
    ],
)
def test_logs_that_are_none(appraise, tmp_path, content, told):
    path = tmp_path / "log.csv"
    path.write_bytes(content)
    given = appraise("measure", "pitch", path)
    assert (given.code, given.out) == (2, "")
    assert told in given.err, given.err


def test_a_log_that_is_not_there(appraise, tmp_path):
    given = appraise("measure", "pitch", tmp_path / "nowhere.csv")
    assert (given.code, given.out) == (2, "")
    assert "No such file" in given.err


def test_dating(appraise):
    words = ("measure", "dating", "copper_dull", "wire_grey", "--made", "1931", "--date", "2026-11-20")
    found = answer(appraise(*words, "--json"))
    assert found["outputs"]["low_years"] < found["outputs"]["median_years"] < found["outputs"]["high_years"]
    assert [row["clue"] for row in found["tables"]["clues"]] == ["copper_dull", "wire_grey"]
    documented = answer(appraise(*words, "--documented", "1998", "--json"))
    assert documented["outputs"]["median_year"] == "1998"
    assert "Copper windings dull brown" in appraise(*words).out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["dating", "copper_dul"], "expected a dating clue"),
        (["dating", "--made", "yesterday"], "expected 1931"),
        (["dating", "--made", "2030", "--date", "2026-11-20"], "after the inspection"),
        (["dating", "--date", "soon"], "expected a day"),
        (["drying", "--seen", "pins_lose"], "did you mean pins_loose?"),
        (["drying", "--seen", "rust", "--absent", "rust"], "“rust” twice"),
        (["drying", "--case", "x.toml", "--seen", "rust"], "not both"),
        (["drying", "--case", "x.toml"], "x.toml"),
        (["hygrometer"], "invalid choice"),
    ],
)
def test_other_instruments_refuse_in_one_line(appraise, words, told):
    given = appraise("measure", *words)
    assert (given.code, given.out) == (2, "")
    assert told in given.err
    assert given.err.count("\n") == 1


def test_drying_from_clues_and_from_a_case(appraise, good):
    seen = ("pins_loose", "board_cracks_fresh", "air_dry_for_weeks")
    found = answer(appraise("measure", "drying", "--seen", *seen, "--absent", "rust", "--json"))
    assert found["outputs"]["conclusion"] == "dried out"
    assert sum(row["after_pct"] for row in found["tables"]["stories"]) == pytest.approx(100)
    assert found["outputs"]["look_next"]
    assert "our assumption" in {source["standing"] for source in found["sources"]}
    good.write_text(
        good.read_text("utf-8") + '\n[[readings]]\ncheck = "pin_torque"\nvalue = 3\nunit = "N·m"\n', "utf-8"
    )
    of_case = answer(appraise("measure", "drying", "--case", good, "--json"))
    assert of_case["tables"]["clues"][0]["origin"] == "check pin_torque"
    assert "Has it dried out?" in appraise("measure", "drying", "--case", good).out
