"""When the terminal goes: what was typed is in the trail, and the program ends, though SIGHUP is to be left alone."""

from __future__ import annotations

import random

import pytest

from appraise.services.opening import open_sheet, recover
from appraise.store.read import read_case
from appraise.store.write import write_case
from tests.helpers import worksheet_cases
from tests.helpers.typist import Typist
from tests.helpers.walked import Walked, answers_of

HUNG_UP = 128 + 1
"""SIGHUP is signal 1 in POSIX; shells add 128."""


@pytest.fixture
def upright(tmp_path, tables):
    path = tmp_path / "upright.toml"
    write_case(path, worksheet_cases.upright(), tables)
    return path


def unsaved(case, tables):
    """Return the case as the next opening offers it."""
    opened = open_sheet(case, tables)
    try:
        assert opened.unsaved is not None
        recover(opened.worksheet, opened.unsaved)
        return opened.worksheet.case
    finally:
        opened.worksheet.release()


@pytest.mark.parametrize("nohup", [True, False], ids=["left alone", "heard"])
def test_what_was_typed_is_offered_and_the_program_ends(upright, tables, nohup):
    before = upright.read_bytes()
    walked = Walked(worksheet_cases.upright().identity.kind, tables, random.Random(1))
    first = walked._rows[0]
    key = {"yes_no": "y", "graded": "3"}[first.kind.value]
    typist = Typist(upright, nohup=nohup)
    typist.wait(b"tructure")
    typist.type([key], gap=1.0)
    assert typist.hang_up() == HUNG_UP
    assert upright.read_bytes() == before
    assert answers_of(unsaved(upright, tables)) == {first.key: True if key == "y" else 3.0}


def test_a_line_that_is_being_written_is_taken(upright, tables):
    typist = Typist(upright, nohup=True)
    typist.wait(b"tructure")
    typist.type(["f6"])
    typist.wait(b"Maker")
    typist.type(["down", *"Invented & Sons"], gap=1.0)
    assert typist.hang_up() == HUNG_UP
    assert "Invented & Sons" in repr(unsaved(upright, tables))
    assert "Invented & Sons" not in repr(read_case(upright, tables)[0])


def test_where_nothing_was_typed_nothing_is_offered(upright, tables):
    typist = Typist(upright, nohup=True)
    typist.wait(b"tructure")
    assert typist.hang_up() == HUNG_UP
    opened = open_sheet(upright, tables)
    opened.worksheet.release()
    assert opened.unsaved is None
