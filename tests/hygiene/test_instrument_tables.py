"""The tables of the instruments: a number stands in one place, and a user's row that breaks a rule is refused."""

from __future__ import annotations

import pytest

from appraise.model.problem import Unreadable
from appraise.tables.load import load_tables

OURS = 'standing = "our assumption"\nsource = "none"\n'
NORM = '[[row]]\nkey = "mine"\ncheck = "upweight"\nsense = "least"\npoints = [[1, 20], [88, 25]]\n' + OURS
TARGET = (
    '[[row]]\nkey = "mine"\nlabel = "Mine"\nsheet = "action"\nkinds = ["grand"]\ncheck = "drop"\n'
    "minutes_per_note = 1\nsetup_hours = 0\n" + OURS
)
OWN = TARGET.replace('check = "drop"', 'unit = "mm"\nanchors = [[0, 1], [2, 4]]\nplausible = [0, 9]')
REACH = '[[row]]\nkey = "mine"\nfelt = "wedge"\nlabel = "Mine"\nnote_low = 50\nnote_high = 52\n' + OURS


def test_sound_rows_of_the_user_are_taken(tmp_path):
    for name, content in (("note_norms", NORM), ("regulation_targets", OWN), ("damper_reach", REACH)):
        (tmp_path / f"{name}.toml").write_text(content, encoding="utf-8")
    tables = load_tables(tmp_path)
    assert tables.note_norms["mine"].yours
    assert tables.regulation_targets["mine"].anchors == ((0, 1), (2, 4))
    assert tables.damper_reach["mine"].note_high == 52


def test_no_tolerance_stands_twice():
    tables = load_tables()
    for row in tables.regulation_targets.values():
        assert bool(row.check) != bool(row.anchors)
    assert [row.key for row in tables.regulation_targets.values() if not row.check] == ["repetition_rise"]


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("note_norms", NORM.replace('"upweight"', '"upwaight"'), "did you mean"),
        ("note_norms", NORM.replace('"upweight"', '"damper_felt"'), "measured note by note"),
        ("note_norms", NORM.replace("[88, 25]", "[89, 25]"), "at notes from 1 to 88"),
        ("note_norms", NORM.replace('"least"', '"below"'), "one of about, least, most"),
        ("regulation_targets", TARGET.replace('"action"', '"keys"'), "one of action, dampers"),
        ("regulation_targets", TARGET.replace('"drop"', '"dorp"'), "did you mean drop"),
        ("regulation_targets", TARGET.replace('"drop"', '"repetition"'), "a check with anchors"),
        ("regulation_targets", TARGET.replace('["grand"]', '["upright"]'), "kinds that the check drop is for"),
        ("regulation_targets", TARGET.replace("minutes", "anchors = [[0, 1], [2, 4]]\nminutes"), "no unit, anchors"),
        ("regulation_targets", TARGET.replace('check = "drop"\n', ""), "since no check is named"),
        ("regulation_targets", OWN.replace("[2, 4]", "[2, 6]"), "two or more [value, grade]"),
        ("regulation_targets", OWN.replace("[0, 9]", "[1, 9]"), "a plausible range that holds the anchors"),
        ("regulation_targets", TARGET + 'disturbs = ["mine"]\n', "other adjustments"),
        ("regulation_targets", TARGET + 'disturbs = ["dripp"]\n', "the key of an adjustment"),
        ("damper_reach", REACH.replace("50", "60"), "at most note_high"),
        ("damper_reach", REACH.replace("50", "0"), "a number from 1 to 88"),
        ("damper_reach", REACH.replace('"wedge"', '"round"'), "one of wedge, any"),
    ],
)
def test_a_row_that_breaks_a_rule(tmp_path, name, content, words):
    (tmp_path / f"{name}.toml").write_text(content, encoding="utf-8")
    with pytest.raises(Unreadable) as caught:
        load_tables(tmp_path)
    assert words in str(caught.value)
