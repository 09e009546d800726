"""What a case says of design, fittings, tuning, stairs and owners: in the file, beside the rest, never needed."""

from __future__ import annotations

import pytest

from appraise.model.span import Span
from appraise.store.document import case_text, to_document
from appraise.store.read import parse_case
from appraise.tables.load import load_tables

TABLES = load_tables()
NAMES = ("overdamper", "drop_action", "straight_strung", "player", "last_tuned", "stairs", "owners")
STATED = """\
schema = 1

[identity]
kind = "upright"
made = 1908
compass = 85
overdamper = true
drop_action = false
straight_strung = true
player = "pneumatic"
last_tuned = "2019/2022"
stairs = 3
owners = 2

[assignment]
inspected = 2026-11-20
basis = "private_sale"
currency = "EUR"
"""


def read(text):
    case, problems = parse_case(text, TABLES, file="case.toml")
    return case, [str(problem) for problem in problems]


def without(text, *names):
    return "".join(line for line in text.splitlines(True) if line.partition(" ")[0] not in names)


def test_what_is_stated_is_read_and_written_as_it_was():
    case, problems = read(STATED)
    assert problems == []
    it = case.identity
    assert (it.overdamper, it.drop_action, it.straight_strung) == (True, False, True)
    assert (it.player, it.last_tuned, it.stairs, it.owners) == ("pneumatic", Span.parse("2019/2022"), 3, 2)
    assert case_text(case) == STATED
    assert read(case_text(case))[0] == case


def test_nothing_of_it_is_needed():
    case, problems = read(without(STATED, *NAMES, "compass"))
    assert problems == []
    assert [getattr(case.identity, name) for name in NAMES] == [None, None, None, "", None, None, None]
    assert not {*NAMES} & {*to_document(case)["identity"]}
    assert case.identity.design == ()


def test_no_and_nought_are_stated_too():
    case, problems = read(STATED.replace("= true", "= false").replace("stairs = 3", "stairs = 0"))
    assert problems == []
    assert (case.identity.overdamper, case.identity.stairs) == (False, 0)
    assert case_text(case).count("= false") == 3
    assert "stairs = 0\n" in case_text(case)


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("overdamper = true", 'overdamper = "yes"', '7: identity.overdamper: found "yes", expected true or false'),
        ("drop_action = false", "drop_action = 0", "8: identity.drop_action: found 0, expected true or false"),
        ("stairs = 3", "stairs = -1", "12: identity.stairs: found -1, expected a number of at least 0"),
        ("stairs = 3", "stairs = 61", "12: identity.stairs: found 61, expected a number of at most 60"),
        ("stairs = 3", "stairs = 1.5", "12: identity.stairs: found 1.5, expected a whole number"),
        ("owners = 2", "owners = 0", "13: identity.owners: found 0, expected a number of at least 1"),
        (
            '"2019/2022"',
            "1900",
            "11: identity.last_tuned: found 1900, expected a date after the instrument was made, 1908",
        ),
        (
            '"2019/2022"',
            "2027",
            "11: identity.last_tuned: found 2027, expected a date up to the inspection, 2026-11-20",
        ),
    ],
)
def test_what_does_not_fit_is_said_in_one_line(old, new, line):
    case, problems = read(STATED.replace(old, new))
    assert case is None
    assert problems == [f"case.toml:{line}"]


def test_an_unknown_system_is_named_with_those_there_are():
    case, (problem,) = read(STATED.replace('"pneumatic"', '"pnuematic"'))
    assert case is None
    assert problem == (
        'case.toml:10: identity.player: found "pnuematic", expected a row of the table market_factors, factor fitted: '
        '"pneumatic", "electronic", "silent"; did you mean "pneumatic"?'
    )


def test_what_only_an_upright_has_is_remarked_of_a_grand():
    case, problems = read(STATED.replace('"upright"', '"grand"'))
    assert case is not None
    assert problems == ["case.toml:7: identity.overdamper: found true, expected true only of an upright"]


def test_what_its_design_has_names_rows_of_the_market():
    case, _ = read(STATED.replace("drop_action = false", "drop_action = true"))
    assert case.identity.design == ("overdamper", "drop_action", "straight_strung", "compass_short")
    for key in case.identity.design:
        row = TABLES.market_factors[key]
        assert row.factor == "design"
        assert row.low < row.typical < 1.0
        assert row.high <= 1.0
        assert row.standing in ("from memory", "our assumption")
    assert {row.key for row in TABLES.market_factors.values() if row.factor == "fitted"} == {
        "pneumatic", "electronic", "silent",
    }  # fmt: skip
