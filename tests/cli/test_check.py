"""`appraise check`."""

from __future__ import annotations

import hashlib
import json

import pytest

NO_TRAIL = "no trail beside it; a case without one is valid"


def test_no_problems(appraise, good):
    assert appraise("check", good) == (0, f"{good}: no problems; {NO_TRAIL}\n", "")


def test_every_problem_of_every_file(appraise, good, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text(good.read_text().replace("maker", "maekr").replace('"48000.00"', "48000"))
    before = bad.read_bytes()
    answer = appraise("check", good, bad)
    assert (answer.code, answer.err) == (1, "")
    assert answer.out.splitlines() == [
        f"{good}: no problems; {NO_TRAIL}",
        f'{bad}:7: identity.maekr: found an unknown key, expected a key of [identity]; did you mean "maker"?',
        f"{bad}:14: market.replacement_cost_new: found 48000, expected an amount as a decimal number in quotes, "
        'such as "48000.00"; write "48000.00" in quotes',
    ]
    assert bad.read_bytes() == before


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff\xfe",
        b"schema = 1\n[identity",
        b"schema = 1\nx = " + b"[" * 5000,
        b"schema = 1\n[identity]\nkind = nan\n",
        b"schema = 1\nx = '''",
        b"\x00" * 1000,
        b"schema = 99\n",
    ],
    ids=["empty", "not UTF-8", "truncated", "deep", "NaN", "open text", "zeros", "newer"],
)
def test_any_content_is_answered_in_lines(appraise, tmp_path, data):
    path = tmp_path / "case.toml"
    path.write_bytes(data)
    answer = appraise("check", path)
    assert (answer.code, answer.err) == (1, "")
    assert all(line.startswith(f"{path}") and ": found " in line for line in answer.out.splitlines())
    assert answer.out
    assert path.read_bytes() == data


def test_unreadable_beats_problems(appraise, good, tmp_path):
    (tmp_path / "bad.toml").write_text("")
    answer = appraise("check", tmp_path / "bad.toml", tmp_path, good)
    assert answer.code == 2
    assert answer.err == f"{tmp_path}: found a folder, expected a case file\n"
    assert answer.out.count("\n") == 2


def test_json(appraise, good, tmp_path):
    (tmp_path / "bad.toml").write_text("schema = 2\n")
    answer = appraise("check", "--json", good, tmp_path / "bad.toml", tmp_path / "none.toml")
    assert (answer.code, answer.err) == (2, "")
    found = json.loads(answer.out)
    assert found["schema"] == 1
    assert [(file["readable"], len(file["problems"])) for file in found["files"]] == [
        (True, 0),
        (True, 1),
        (False, 1),
    ]
    problem = found["files"][1]["problems"][0]
    assert problem.pop("mend").startswith("a newer release")
    assert problem == {
        "file": str(tmp_path / "bad.toml"),
        "line": 1,
        "key": "schema",
        "found": "2",
        "expected": "at most 1",
        "grave": True,
    }


def test_an_inspection_after_the_day(appraise, good):
    answer = appraise("check", good, "--date", "2026-11-19")
    assert answer.code == 1
    assert "assignment.inspected: found 2026-11-20, expected a day up to today, 2026-11-19" in answer.out
    assert appraise("check", good, "--date", "2026-11-20").code == 0


def test_photos(appraise, good, tmp_path):
    digest = hashlib.sha256(b"photo").hexdigest()
    remark = f'\n[[remarks]]\nplace = "case"\ntext = "x"\nphoto = "1.jpg"\nsha256 = "{digest}"\n'
    good.write_text(good.read_text() + remark)
    assert "remarks[1].photo: found no such file" in appraise("check", good).out
    (tmp_path / "1.jpg").write_bytes(b"photo")
    assert appraise("check", good).code == 0
    (tmp_path / "1.jpg").write_bytes(b"other")
    answer = appraise("check", good)
    assert answer.code == 1
    assert "remarks[1].sha256: found a photo with" in answer.out


def test_two_answers_to_one_question(appraise, good):
    asked = (
        '\n[[readings]]\ncheck = "plate_crack"\nvalue = true\n\n[[readings]]\ncheck = "plate_crack"\nvalue = false\n'
    )
    good.write_text(good.read_text(encoding="utf-8") + asked, encoding="utf-8")
    answer = appraise("check", good)
    assert answer.code == 1
    assert "readings[2].value: found false after true for the same check and place, expected one answer" in answer.out
