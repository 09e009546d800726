"""`appraise measure` with the instruments that read note by note, and their import."""

from __future__ import annotations

import json

import pytest

NAMES = ("sample", "touch", "regulation", "torque", "dampers")


@pytest.fixture
def measured(appraise):
    def run(*words):
        answer = appraise("measure", *words, "--json")
        assert (answer.code, answer.err) == (0, "")
        return json.loads(answer.out)

    return run


def write(tmp_path, content):
    path = tmp_path / "readings.csv"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


@pytest.mark.parametrize("name", NAMES)
def test_help(appraise, name):
    answer = appraise("measure", name, "--help")
    assert (answer.code, answer.err) == (0, "")
    assert answer.out.startswith(f"usage: appraise measure {name}")


def test_a_sample_against_a_check(measured):
    found = measured("sample", "1=55", "A4=51,5", "88=45", "46-48=50", "--check", "downweight_grand")
    assert found["outputs"]["n"] == 6
    assert found["outputs"]["mean_g"] == pytest.approx((55 + 51.5 + 45 + 150) / 6)
    assert found["outputs"]["verdict"] == "in tolerance"
    assert found["inputs"]["statistic"] == "mean"
    assert [row["note"] for row in found["tables"]["notes"]] == [1, 46, 47, 48, 49, 88]
    assert {source["standing"] for source in found["sources"]} == {"from memory", "common practice"}


def test_a_sample_against_limits_of_ones_own(measured):
    words = ("sample", "1=0.1in", "2=2", "3=5", "--unit", "mm", "--low", "1", "--high", "3")
    found = measured(*words, "--statistic", "share", "--allowed", "10%")
    assert found["outputs"]["out"] == 1
    assert found["outputs"]["greatest_mm"] == 5
    assert found["outputs"]["mean_mm"] == pytest.approx((2.54 + 2 + 5) / 3)
    assert 0 < found["outputs"]["more_notes"] <= 85


def test_a_share_of_few_notes_wants_more_of_them(measured):
    found = measured("sample", "1=1.5", "28=9", "60=2", "--check", "let_off_grand")
    assert found["outputs"]["verdict"] == "not settled"
    assert found["inputs"]["allowed_pct"] == 10
    assert found["outputs"]["notes_out_low"] >= 1
    assert "settle it" in found["says"][1]


SAME = {"1": 54.0, "2": 52.5, "49": 50.0, "50": 50.0}


@pytest.mark.parametrize(
    "content",
    [
        "note,value\n1,54\n2,52.5\nA4-A#4,50\n",
        "value (g);note\n54;1\n52,5;2\n50;49-50\n",
        "\ufeffNote\tDownweight_Grand\r\nA0\t54 g\r\nA#0\t52,5\r\n49-50\t50\r\n",
        '"note","value"\n1,54\n2,"52,5"\n\n49,50\n50,50\n',
        "1;54\n2;52,5\n49-50;50\n",
    ],
)
def test_files_of_notes_and_values(measured, tmp_path, content):
    found = measured("sample", "--csv", write(tmp_path, content), "--check", "downweight_grand")
    assert {str(row["note"]): row["value_g"] for row in found["tables"]["notes"]} == SAME


@pytest.mark.parametrize("heading", ["", "value\n", "Downweight (oz)\n", "downweight [oz]\n"])
def test_a_single_column(measured, tmp_path, heading):
    path = write(tmp_path, heading + "1,9\n\n2\n")
    words = ("--column", "downweight", "--unit", "oz", "--check", "downweight_grand")
    if not heading:  # without a heading a comma would part columns
        path = write(tmp_path, "1.9\n\n2\n")
    found = measured("sample", "--csv", path, *words)
    rows = {row["note"]: row["value_g"] for row in found["tables"]["notes"]}
    assert rows == pytest.approx({1: 1.9 * 28.349523125, 3: 2 * 28.349523125})


@pytest.mark.parametrize(
    ("content", "line"),
    [
        ("", ": found an empty file, expected headings, and readings below them"),
        ("  \n\n", ": found an empty file, expected headings, and readings below them"),
        ("note,value\n", ":1: found headings alone, expected readings below them"),
        (b"note,value\n1,\xff\n", ":2: found byte 0xff, expected text in UTF-8; save it as UTF-8"),
        ("note,valeu\n1,50\n", ":1: found the heading “valeu”, expected a known one; did you mean value?"),
        ("note,note\n1,50\n", ":1: note: found the column twice, expected once"),
        ("note,value\n1,nan\n", ":2: value: found “nan”, expected a number in g"),
        ("note,value\n1,inf\n", ":2: value: found “inf”, expected a number in g"),
        ("note,value\n1,1e3\n", ":2: value: found the unit “e3”, expected g, oz"),
        ("note,value\n1,5000\n", ":2: value: found 5000 g, which cannot be, expected 10 to 200 g"),
        ("note,value\n1,50 mm\n", ":2: value: found the unit “mm”, expected g, oz"),
        ("note,value\nH4,50\n", ":2: note: found “H4”, expected a note such as A4, C#3 or 49"),
        ("note,value\n1,50\nA0,51\n", ":3: value: found note 1 (A0) twice, expected one reading a note"),
        ("note,value\n1,52,5\n", ":2: found 3 cells, expected 2, one a column; with a decimal comma, part the columns "
         "by semicolons"),
        ('note,value\n1,"50\n', ":2: found “unexpected end of data”, expected comma-separated values"),
        ("note,value\n1,\n", ": found no readings, expected some in the column value"),
        ("note,value\n" + "1,50\n" * 5001, ":5001: found 5,002 lines, expected 5,000 at most"),
        (b"9" * 2_000_001, ": found 2.0 megabytes, expected 2 at most"),
        ("note,value\n1," + "9" * 400 + "\n", f":2: value: found “{'9' * 59}…”, expected a number in g"),
    ],
)  # fmt: skip
def test_files_that_cannot_be_read(appraise, tmp_path, content, line):
    path = write(tmp_path, content)
    answer = appraise("measure", "sample", "--csv", path, "--check", "downweight_grand")
    assert answer == (2, "", f"{path}{line}\n")


def test_every_problem_has_its_line(appraise, tmp_path):
    path = write(tmp_path, "note;value\n1;x\n2;50\nZ;4\n4;9999\n")
    answer = appraise("measure", "sample", "--csv", path, "--check", "downweight_grand")
    assert (answer.code, answer.out) == (2, "")
    assert [line.removeprefix(f"{path}:")[:2] for line in answer.err.splitlines()] == ["2:", "4:", "5:"]


def test_a_file_that_could_control_a_terminal(appraise, tmp_path):
    path = write(tmp_path, "note,value\n\x1b[2J,[bold]\x07\n")
    answer = appraise("measure", "sample", "--csv", path, "--check", "downweight_grand")
    assert answer.code == 2
    assert "\x1b" not in answer.err
    assert "\x07" not in answer.err
    assert appraise("measure", "sample", "--csv", tmp_path, "--check", "downweight_grand").code == 2
    assert appraise("measure", "sample", "--csv", tmp_path / "none.csv", "--check", "downweight_grand").code == 2


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["sample"], "sample: found no readings, expected one at least"),
        (["sample", "1"], "sample: value: found “1”, expected note=value such as A4=52 or 46-58=51"),
        (["sample", "1=5", "1=6"], "sample: value “1”: found note 1 (A0) twice, expected one reading a note"),
        (["sample", "1=5", "--low", "3", "--high", "1"], "sample: found limits from 3 to 1, expected the smaller"),
        (["sample", "1=5", "--low", "nan"], "sample: found “nan”, expected a number"),
        (["sample", "1=5", "--unit", "stone"], "sample: found the unit “stone”, expected one of"),
        (["sample", "1=5", "--check", "downwait_grand"],
         'sample: found the check "downwait_grand", expected one with anchors; did you mean "downweight_grand"?'),
        (["sample", "80=50", "--compass", "61"], "sample: found 1 readings up to note 80, expected notes from 1 to 61"),
        (["touch"], "touch: found no readings, expected downweights"),
        (["touch", "--down", "A4=40", "--up", "A4=60"],
         "touch: note 49 (A4): found an upweight of 60 g over a downweight of 40 g"),
        (["touch", "--down", "A4=4"], "touch: downweight “A4”: found 4 g, which cannot be, expected 10 to 200 g"),
        (["regulation", "--of", "dopr", "1=2"], 'regulation: found "dopr", expected an adjustment; did you mean drop?'),
        (["regulation", "--kind", "upright", "--of", "drop", "1=2"], 'regulation: found "drop", expected an adj'),
        (["regulation"], "regulation: found no readings"),
        (["torque"], "torque: found no readings, expected torques"),
        (["torque", "--of", "bass", "1=99"], "torque: “bass”, pin “1”: found 99 N·m, which cannot be, expected 0 to"),
        (["torque", "--of", "bass", "1=5", "1=6"], "torque: “bass”, pin “1”: found pin 1 twice in one row"),
        (["torque", "--of", "bass", "1.5=5"], "torque: “bass”, pin “1.5”: found “1.5”, expected a whole number"),
        (["torque", "--set", "1=0"], "torque: a holding test needs --set, --found and --hours"),
        (["torque", "--set", "1=0", "--found", "2=0", "--hours", "30"], "torque: found no pin measured twice"),
        (["dampers"], "dampers: found nothing, expected seconds, felts or uneven notes"),
        (["dampers", "--ring", "85=2"], "dampers: ring: found note 85 (A7), expected a damper up to note 72"),
        (["dampers", "--wedge", "33-1"], "dampers: --wedge: found “33-1”, expected a range that runs upwards"),
        (["dampers", "--ring", "12=31"], "dampers: ring “12”: found 31 s, which cannot be, expected 0 to 30 s"),
    ],
)  # fmt: skip
def test_one_line(appraise, words, line):
    answer = appraise("measure", *words)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.count("\n") == 1
    assert answer.err.startswith(f"appraise measure {line}")


def test_touch(measured, tmp_path):
    path = write(tmp_path, "up;note;down\n26;A4;50\n20;40;66\n;41;52\n")
    found = measured("touch", "--csv", path)
    rows = {row["note"]: row for row in found["tables"]["notes"]}
    assert (rows[49]["friction_g"], rows[49]["balance_g"]) == (12, 38)
    assert rows[40]["cause"] == "friction"
    assert rows[41]["friction_g"] is None
    assert found["outputs"]["friction_mean_g"] == pytest.approx(17.5)
    assert {row["quantity"] for row in found["tables"]["statistics"]} == {
        "downweight",
        "upweight",
        "friction",
        "balance",
    }


def test_touch_of_an_upright_judges_the_downweight_alone(measured):
    found = measured("touch", "--kind", "upright", "--down", "1-10=55", "--up", "1-10=30")
    assert [row["quantity"] for row in found["tables"]["statistics"]] == ["downweight"]
    assert "springs" in found["cautions"][0]
    assert found["outputs"]["friction_mean_g"] == 12.5


def test_touch_in_ounces_and_grams_is_the_same(measured):
    grams = measured("touch", "--down", f"A4={2 * 28.349523125}", "--up", f"A4={28.349523125}")
    ounces = measured("touch", "--down", "A4=2", "--up", "A4=1", "--unit", "oz")
    assert grams["outputs"] == pytest.approx(ounces["outputs"])


def test_regulation_hours(measured):
    good = measured("regulation", "--of", "key_dip", "1-88=10", "--of", "drop", "1-88=1.5")
    assert (good["outputs"]["hours_low"], good["outputs"]["hours"], good["outputs"]["hours_high"]) == (0, 0, 0)
    assert "Nothing measured is out of tolerance." in good["says"]
    some = measured("regulation", "--of", "drop", "1-80=1.5", "81-88=6")
    assert some["outputs"]["hours"] == pytest.approx(0.2 + 8 * 0.6 / 60)
    assert [row["note"] for row in some["tables"]["out_of_tolerance"]] == list(range(81, 89))
    blow = measured("regulation", "--of", "blow", "1-88=38")
    assert [row["adjustment"] for row in blow["tables"]["work"]] == ["Blow distance", "Let-off", "Drop", "Aftertouch"]


def test_regulation_from_a_file_of_several_columns(measured, tmp_path):
    path = write(tmp_path, "note;let_off;blow (in);dip\nA4;2;1,8;10\n50;;1,8;\n")
    found = measured("regulation", "--kind", "upright", "--csv", path)
    rows = {row["adjustment"]: row for row in found["tables"]["sheet"]}
    assert (rows["Let-off"]["n"], rows["Blow distance"]["n"], rows["Key dip"]["n"]) == (1, 2, 1)
    assert rows["Blow distance"]["mean"] == pytest.approx(45.72)


def test_a_line_of_loose_pins(measured, tmp_path):
    firm, loose = ["70"] * 8, ["25"] * 4
    rows = [f"{torque};{pin};tenor;2" for pin, torque in enumerate([*firm, *loose, *firm], 1)]
    path = write(tmp_path, "torque (in·lb);pin;section;row\n" + "\n".join(rows))
    found = measured("torque", "--csv", path)
    assert found["outputs"]["pattern"] == "a line of neighbours"
    assert found["outputs"]["loose"] == 4
    assert "pins 9, 10, 11, 12" in found["says"][1]
    assert "crack" in found["says"][0]
    shares = {row["below_n_m"]: row["share_pct"] for row in found["tables"]["anchors"]}
    assert shares[4] == 20
    assert found["cautions"]
    metric = measured("torque", "--of", "tenor/2", *(f"{n}={7.908938}" for n in range(1, 21)))
    assert metric["outputs"]["pattern"] == "no loose pins"


def test_holding(measured):
    found = measured("torque", "--set", "a=0", "b=1", "--found", "a=-1", "b=-7", "--hours", "48")
    assert found["outputs"]["worst_drift_cents"] == -8
    assert found["outputs"]["grade"] > 4
    early = measured("torque", "--set", "a=0", "--found", "a=-1", "--hours", "2")
    assert "too early" in early["says"][0]


def test_dampers(measured):
    words = ("--wedge", "1-33", "--flat", "34-68", "--uneven", "12,15,40", "--missing", "none")
    found = measured("dampers", "--ring", "12=1.4", "40=0,8", "50=2.5", *words)
    assert found["outputs"]["ring_over"] == 1
    assert found["outputs"]["last_wedge"] == 33
    assert found["outputs"]["last_felt"] == 68
    assert found["outputs"]["damper_pedal_lift"] == 3
    assert found["outputs"]["damper_seating"] == 0
    assert 0 < found["outputs"]["hours_low"] <= found["outputs"]["hours"] <= found["outputs"]["hours_high"]


@pytest.mark.parametrize(
    "words",
    [
        ["sample", "1=55", "40=51", "--check", "downweight_grand"],
        ["touch", "--down", "1=55", "--up", "1=25"],
        ["regulation", "--of", "drop", "1=9"],
        ["torque", "--of", "bass", "1=5", "2=3"],
        ["torque", "--set", "1=0", "--found", "1=-3", "--hours", "30"],
        ["dampers", "--wedge", "1-45"],
    ],
)
def test_pages_read_without_a_terminal(appraise, words):
    answer = appraise("measure", *words)
    assert (answer.code, answer.err) == (0, "")
    assert len(answer.out.splitlines()) > 8
