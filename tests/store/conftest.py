"""Small tables and a good case file that the tests spoil in one place each."""

from __future__ import annotations

import pytest

from appraise.store.read import parse_case
from tests.helpers.tables import tiny_tables

GOOD = """\
# Invented for the tests.
# Nobody of this name builds instruments.

schema = 1

[identity]
kind = "grand"
maker = "Oskelmoor & Sons"
size_cm = 185
made = "1925/1931"
finish = "shellac"

[assignment]
inspected = 2026-11-20
basis = "private_sale"
currency = "EUR"

[[renewals]]
components = ["hammers"]
date = 1998

[[grades]]
check = "plate_finish"
grade = 2.5

[[readings]]
check = "pin_torque"
value = 7.4
unit = "N·m"
note = 40

[[remarks]]
place = "soundboard"
text = "a crack beside the long bridge"
notes = [40, 41]

[market]
replacement_cost_new = "48000.00"

[costs]
labour_rate = "62.00"
"""


@pytest.fixture(scope="session")
def tables():
    return tiny_tables()


@pytest.fixture
def good() -> str:
    return GOOD


@pytest.fixture
def problems_of(tables):
    """Return a function from a text to (case, problems as lines)."""

    def read(text: str, **more):
        case, problems = parse_case(text, tables, file="case.toml", **more)
        return case, [str(problem) for problem in problems]

    return read


@pytest.fixture
def spoilt(problems_of):
    """Return a function that replaces a part of the good file and gives the problems as lines."""

    def read(old: str, new: str, **more) -> list[str]:
        assert old in GOOD
        case, problems = problems_of(GOOD.replace(old, new, 1), **more)
        grave = [line for line in problems if "control character" not in line and "up to today" not in line]
        assert (case is None) == bool(grave)
        return problems

    return read


@pytest.fixture
def added(problems_of):
    """Return a function that adds to the end of the good file and gives the problems as lines."""

    def read(text: str) -> list[str]:
        return problems_of(GOOD + text)[1]

    return read
