"""The table of the rules of carriage: what ships is sound, and a broken row is refused."""

from __future__ import annotations

import pytest

from appraise.model.problem import Unreadable
from appraise.tables.load import load_tables

ROW = """\
[[row]]
key = "mine"
regime = "Mine"
topic = "limit"
text = "At most 5 a kilogram."
unit = "EUR"
per_kg = 5
standing = "our assumption"
source = "none"
"""


def test_a_rule_of_your_own(tables, tmp_path):
    (tmp_path / "carriage_rules.toml").write_text(ROW)
    mine = load_tables(tmp_path).carriage_rules
    assert (mine["mine"].per_kg, mine["mine"].yours) == (5.0, True)
    assert len(mine) == len(tables.carriage_rules) + 1


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('"limit"', '"limits"', "one of scope, limit, notice, suit, measure"),
        ('unit = "EUR"\n', "", "the currency of the amounts, or SDR"),
        ('"limit"', '"notice"', "a limit where there is an amount"),
        ("per_kg = 5\n", "", "a limit where there is an amount"),
        ("per_kg = 5", "per_kg = -5", "per_kg"),
        ('source = "none"', 'source = "nowhere"', "the key of a source"),
    ],
)
def test_a_broken_rule_is_refused(tmp_path, old, new, words):
    assert old in ROW
    (tmp_path / "carriage_rules.toml").write_text(ROW.replace(old, new))
    with pytest.raises(Unreadable) as refused:
        load_tables(tmp_path)
    assert any(words in str(problem) for problem in refused.value.problems)


def test_a_check_put_right_by_an_unknown_job_is_refused(tmp_path):
    row = """\
[[row]]
key = "pitch_a4"
component = "plain_strings"
kinds = ["grand", "upright"]
label = "Pitch of A4"
kind = "yes_no"
grade_yes = 3
minutes = 1
how = "by ear"
put_right_by = "magic"
standing = "our assumption"
source = "none"
"""
    (tmp_path / "checks").mkdir()
    (tmp_path / "checks" / "strings.toml").write_text(row)
    with pytest.raises(Unreadable) as refused:
        load_tables(tmp_path)
    assert any("put_right_by" in problem.key for problem in refused.value.problems)


def test_every_rule_names_its_source(tables):
    for rule in tables.carriage_rules.values():
        assert rule.source in tables.sources
        assert rule.where or rule.standing == "from memory"
