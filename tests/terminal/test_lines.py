"""The walk in lines: by a pipe and at a terminal, saved and kept as the worksheet does, nothing but plain lines."""

from __future__ import annotations

import subprocess
import sys

import pexpect
import pytest

from appraise.services.case_session import CaseSession
from appraise.services.line_walk import LineWalk
from appraise.store.read import read_case
from appraise.store.write import write_case
from appraise.tables.rows import CheckKind
from tests.helpers import worksheet_cases

LINES = [sys.executable, "-m", "appraise", "open", "--lines"]


@pytest.fixture
def case(tmp_path, tables):
    path = tmp_path / "upright.toml"
    write_case(path, worksheet_cases.upright(), tables)
    return path


def piped(case, *lines):
    done = subprocess.run(
        [*LINES, str(case)], check=False, input="\n".join(lines), text=True, capture_output=True, timeout=60
    )
    assert "\x1b" not in done.stdout
    return done.returncode, done.stdout, done.stderr


def test_answers_by_a_pipe_are_read_as_on_the_screens(case, tables):
    code, out, err = piped(
        case,
        "go crown",
        "2,5 mm",
        "go plate_crack",
        "N",
        "go hammer_groove",
        "0.1",
        "go 4",
        "",
        "go keys",
        "save",
        "quit",
    )
    assert (code, err) == (0, "")
    assert "Written down: Crown, 2.5 mm." in out
    found, problems = read_case(case, tables)
    assert problems == []
    assert {(one.check, one.note, one.value) for one in found.readings} >= {
        ("crown", None, 2.5),
        ("plate_crack", None, False),
    }


def test_every_kind_of_answer(case, tables):
    sheet = CaseSession(case, worksheet_cases.upright(), tables)
    walk = LineWalk(sheet)
    rows = [row for row in tables.checks.values() if sheet.case.identity.kind in row.kinds]
    typed = {CheckKind.GRADED: "2.5", CheckKind.YES_NO: "yes", CheckKind.RECORD: "= back"}
    for row in rows:
        list(walk.take(f"go {row.station}/{row.key}"))
        assert walk.check is row
        assert list(walk.question())
        (refused,) = walk.take("= £" if row.kind is not CheckKind.RECORD else "=")
        assert refused.startswith("Not taken: ")
        middle = "1" if row.plausible is None else f"{round(sum(row.plausible) / 2)}"
        said = list(walk.take(typed.get(row.kind, middle)))
        assert said[0].startswith(f"Written down: {row.label}"), said
        assert (walk.check is row) == (row.per_note or row is walk._checks[-1])
    assert {one.check for one in (*sheet.case.grades, *sheet.case.readings)} == {row.key for row in rows}
    assert "back" in [one.value for one in sheet.case.readings]


def test_nonsense_gets_one_line(case, tables):
    walk = LineWalk(CaseSession(case, worksheet_cases.upright(), tables))
    for line in ("go", "go nowhere", "go " + "x" * 5000, "x" * 5000, "\x1b[2J", "99999999"):
        (said,) = walk.take(line)
        assert said.startswith("Not taken: ")
        assert len(said) < 300
        assert said.isprintable()


def test_moving_about(case, tables):
    walk = LineWalk(CaseSession(case, worksheet_cases.upright(), tables))
    first = walk.check
    assert list(walk.take("back")) == ["This is the first check."]
    assert list(walk.take("")) == []
    list(walk.take("back"))
    assert walk.check is first
    list(walk.take("go keys"))
    assert walk.check.station == "keys"
    (told,) = walk.take("next")
    assert told.startswith(f"Most telling: {walk.check.label}, narrows the range by ")
    second = walk.check
    list(walk.take("next"))
    assert walk.check is not second
    assert "Caution: " in "\n".join(walk.take("?"))
    (value,) = walk.take("value")
    assert value.startswith("Value: ")
    assert " best estimate " in value


def test_what_was_answered_outlives_the_process(case, tables):
    child = pexpect.spawn(
        LINES[0], [*LINES[1:], str(case)], encoding="utf-8", timeout=30, env={"PATH": "", "HOME": str(case.parent)}
    )
    child.expect("Station 1 of 8: Structure")
    child.sendline("go crown")
    child.expect("Crown ")
    child.sendline("3")
    child.expect(r"Written down: Crown, 3 mm\.")
    child.kill(9)
    child.wait()
    assert "\x1b" not in child.before
    code, out, _ = piped(case, "maybe", "recover", "quit", "save")
    assert code == 0
    assert "An earlier session left 1 step unsaved. Type recover, or set aside." in out
    assert [one.value for one in read_case(case, tables)[0].readings] == [3.0]


def test_an_input_that_ends_keeps_what_was_not_saved(case, tables):
    code, out, _ = piped(case, "go crown", "3")
    assert code == 1
    assert "What is not saved is in the trail" in out
    assert read_case(case, tables)[0].readings == ()
    code, out, _ = piped(case, "set aside", "quit")
    assert (code, "Type save, drop or stay" in out) == (0, False)


def test_it_needs_a_case(tmp_path):
    for words in ([], [str(tmp_path)], [str(tmp_path / "none.toml")]):
        done = subprocess.run([*LINES, *words], check=False, capture_output=True, text=True, input="", timeout=60)
        assert done.returncode == 2
        assert len(done.stderr.splitlines()) == 1
