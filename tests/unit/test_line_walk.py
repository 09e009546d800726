"""The walk in lines: what is said before anything is opened, and after a reading at a note."""

from __future__ import annotations

import pytest

from appraise.services.case_session import CaseSession
from appraise.services.guide import before_start
from appraise.services.line_walk import LineWalk
from tests.helpers import worksheet_cases


@pytest.fixture
def walk(tmp_path, tables):
    return LineWalk(CaseSession(tmp_path / "upright.toml", worksheet_cases.upright(), tables))


def test_warnings_come_before_the_first_question_and_once(walk, tables):
    warnings = before_start(walk.sheet.case, tables)
    assert warnings
    first = list(walk.question())
    assert first[: len(warnings)] == [f"Before you start: {text}" for text in warnings]
    assert first[len(warnings)].startswith("Station 1 of 8")
    list(walk.take("go 2"))
    assert not any("Before you start" in line for line in walk.question())


def test_after_a_reading_the_question_is_short_and_says_how_to_go_on(walk):
    list(walk.question())
    list(walk.take("go downbearing"))
    assert any("note and number such as A4" in line for line in walk.question())
    list(walk.take("A4 1.2"))
    assert list(walk.question()) == ["Downbearing: another note and number, or Enter alone goes on."]
    list(walk.take("C4"))  # refused: asked in full again
    assert any("deg" in line for line in walk.question())
    list(walk.take("C4 1.4"))
    list(walk.take(""))
    assert walk.check.key != "downbearing"
    assert "another note" not in " ".join(walk.question())
    kept = [(one.note, one.value) for one in walk.sheet.case.readings if one.check == "downbearing"]
    assert [value for _, value in kept] == [1.2, 1.4]
