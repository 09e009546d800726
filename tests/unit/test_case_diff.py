"""Differences between two states turn the one into the other, whatever was done."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.model.case import EarlierState, Grade, Origin, Reading, Remark
from appraise.services.case_diff import applied, differences
from appraise.services.case_session import CaseSession
from appraise.services.field_names import field_name, value_at, value_words
from appraise.services.merging import Merging, Side
from appraise.store.plain_case import DecodeError, decode_case, encode
from appraise.store.trail import ABSENT, Change, changes_in
from appraise.tables.load import load_tables
from tests.helpers import worksheet_cases
from tests.helpers.edits import checks_of, step

TABLES = load_tables()
CHECKS = checks_of(TABLES)


def worked(case, seed, steps, tmp="none.toml"):
    """Return the case after some random work."""
    from pathlib import Path

    sheet = CaseSession(Path("/nowhere") / tmp, case, TABLES)
    chance = random.Random(seed)
    for _ in range(steps):
        step(sheet, chance, CHECKS)
    return sheet.case


def through_json(changes):
    return changes_in(json.loads(json.dumps([change.plain() for change in changes])))


@given(first=st.integers(0, 2**32), second=st.integers(0, 2**32), steps=st.integers(0, 12))
def test_differences_lead_there_and_back(first, second, steps):
    before = worked(worksheet_cases.upright(), first, steps)
    after = worked(worksheet_cases.upright(), second, 12 - steps)
    assert applied(before, through_json(differences(before, after))) == after
    assert applied(after, through_json(differences(after, before))) == before
    assert decode_case(json.loads(json.dumps(encode(after)))) == after


def test_one_edit_is_one_change():
    case = worksheet_cases.grand(TABLES)
    grade = case.grades[3]
    grades = (*case.grades[:3], replace(grade, grade=5.0), *case.grades[4:])
    assert differences(case, replace(case, grades=grades)) == (
        Change(("grades", 3, "grade"), grade.grade, 5.0, grade.check),
    )
    fewer = replace(case, readings=tuple(one for one in case.readings if one.check != case.readings[4].check))
    assert all(change.new is ABSENT for change in differences(case, fewer))
    assert len(differences(case, fewer)) == len(case.readings) - len(fewer.readings)


def test_a_change_that_does_not_fit_is_refused():
    case = worksheet_cases.upright()
    for change in (
        Change(("identity", "maker"), "not this", "x"),
        Change(("identity", "nonsense"), "", "x"),
        Change(("remarks", 3), {"place": "case", "text": ""}, ABSENT),
        Change(("remarks", 9), ABSENT, {"place": "case", "text": ""}),
        Change(("remarks", 0), ABSENT, {"place": "case"}),
        Change(("remarks", 0), ABSENT, {"place": "case", "text": 3}),
        Change(("identity", "kind"), "upright", "organ"),
        Change(("identity", "size_cm"), 118, "wide"),
        Change((), "", ""),
        Change((0,), "", ""),
    ):
        with pytest.raises(DecodeError):
            applied(case, [change])


# -- merging -------------------------------------------------------------------------------------


def merged(base, mine, theirs, **choice):
    return Merging(base, mine, theirs).merged(choice)


@given(seed=st.integers(0, 2**32), steps=st.integers(0, 12))
def test_what_only_one_side_changed_is_taken(seed, steps):
    base = worksheet_cases.upright()
    one = worked(base, seed, steps)
    for mine, theirs in ((one, base), (base, one)):
        merging = Merging(base, mine, theirs)
        assert not merging.conflicts
        assert merging.merged({}) == one
    assert not Merging(base, one, one).differences


@given(first=st.integers(0, 2**32), second=st.integers(0, 2**32))
def test_a_choice_of_one_side_throughout_gives_its_content(first, second):
    base = worked(worksheet_cases.upright(), first, 6)
    mine, theirs = worked(base, second, 8), worked(base, second + 1, 8)
    for origin in (base, None):
        merging = Merging(origin, mine, theirs)
        for side, whole in ((Side.MINE, mine), (Side.THEIRS, theirs)):
            found = merging.merged({one.key: side for one in merging.differences})
            for name in ("identity", "assignment", "circumstances", "costs"):
                assert getattr(found, name) == getattr(whole, name)
            for name in ("grades", "readings", "remarks"):
                assert sorted(map(repr, getattr(found, name))) == sorted(map(repr, getattr(whole, name)))


def test_only_conflicts_ask():
    base = worksheet_cases.grand(TABLES)
    identity = base.identity
    mine = replace(base, identity=replace(identity, maker="Mine", serial="1"))
    theirs = replace(base, identity=replace(identity, maker="Theirs", model="2"))
    merging = Merging(base, mine, theirs)
    assert [one.key for one in merging.conflicts] == ["identity.maker"]
    with pytest.raises(KeyError):
        merging.merged({})
    found = merging.merged({"identity.maker": Side.THEIRS}).identity
    assert (found.maker, found.serial, found.model) == ("Theirs", "1", "2")
    # Without the version both came from nobody can tell who changed what.
    assert len(Merging(None, mine, theirs).conflicts) == 3


def test_readings_and_grades_are_matched_by_what_they_are_of():
    base = replace(
        worksheet_cases.upright(),
        grades=(Grade(2.0, check="a"), Grade(3.0, check="b")),
        readings=(Reading("torque", 7.0, "N·m", 40), Reading("torque", 8.0, "N·m", 41)),
    )
    mine = replace(
        base,
        grades=(Grade(4.0, check="c"), *base.grades),
        readings=(base.readings[0], Reading("torque", 6.0, "N·m", 41), Reading("torque", 5.0, "N·m", 42)),
    )
    theirs = replace(
        base,
        grades=(Grade(5.0, check="b"), Grade(3.5, check="c")),
        readings=(Reading("torque", 5.5, "N·m", 42), base.readings[1]),
    )
    merging = Merging(base, mine, theirs)
    asked = {(one.of, one.path[-1]) for one in merging.conflicts}
    # Both graded c anew, both read note 42; a and note 40 are gone in theirs alone, b and note 41 changed on one side.
    assert asked == {("c", "grade"), ("torque note 42", "value")}
    found = merging.merged({one.key: Side.THEIRS for one in merging.conflicts})
    assert {grade.check: grade.grade for grade in found.grades} == {"c": 3.5, "b": 5.0}
    assert {one.note: one.value for one in found.readings} == {41: 6.0, 42: 5.5}


def test_a_remark_reworded_and_moved_is_the_same_remark():
    base = replace(
        worksheet_cases.upright(),
        remarks=(Remark("case", "a long scratch on the lid"), Remark("case", "veneer lifts at the left cheek")),
    )
    mine = replace(base, remarks=(base.remarks[0], replace(base.remarks[1], origin=Origin.TRANSIT)))
    theirs = replace(
        base, remarks=(replace(base.remarks[1], text="veneer lifts along the left cheek"), base.remarks[0])
    )
    merging = Merging(base, mine, theirs)
    assert not merging.conflicts
    assert set(merging.merged({}).remarks) == {
        base.remarks[0],
        Remark("case", "veneer lifts along the left cheek", origin=Origin.TRANSIT),
    }


def test_deleted_here_and_changed_there_asks():
    base = replace(worksheet_cases.upright(), remarks=(Remark("case", "a scratch"),))
    mine = replace(base, remarks=())
    theirs = replace(base, remarks=(Remark("case", "a scratch", origin=Origin.WEAR),))
    (one,) = Merging(base, mine, theirs).conflicts
    assert value_words(one.mine) == "not there"
    assert merged(base, mine, theirs, **{one.key: Side.MINE}) == mine
    assert merged(base, mine, theirs, **{one.key: Side.THEIRS}) == theirs


REMEMBERED = EarlierState("case.before-2026-11-20.frozen", "ab" * 32, date(2026, 11, 20))


@pytest.mark.parametrize("other", [None, replace(REMEMBERED, purpose="removal")])
@pytest.mark.parametrize("known", [True, False])
def test_a_state_before_a_move_that_only_one_side_remembers_is_merged(other, known):
    case = worksheet_cases.upright()
    base, here = replace(case, earlier_state=other), replace(case, earlier_state=REMEMBERED)
    for mine, theirs in ((here, base), (base, here)):
        found = Merging(base if known else None, mine, theirs)
        (one,) = found.differences
        assert one.conflict is not known
        assert found.merged({one.key: Side.MINE}) == mine
        assert found.merged({one.key: Side.THEIRS}) == theirs


def test_names_are_those_of_the_forms():
    case = worksheet_cases.grand(TABLES)
    assert field_name(("identity", "size_cm"), "", TABLES) == "Size"
    assert field_name(("remarks", 0, "text"), "soundboard", TABLES).startswith("Defect · Soundboard: ")
    check = case.grades[0].check
    assert field_name(("grades", 0, "grade"), check, TABLES) == f"Grade · {TABLES.checks[check].label}"
    assert field_name(("market", "comparables", 0, "price"), "Hall grand", TABLES) == "Comparable · Hall grand: price"
    assert value_words(case.identity.made) == "1931"


def test_values_of_one_field_have_the_unit_and_the_label_of_that_field():
    case = worksheet_cases.grand(TABLES)
    check = next(row for row in TABLES.checks.values() if row.unit == "mm")

    def words(path, value, of=""):
        return value_at(path, of, value, case, TABLES)

    assert words(("readings", 3, "value"), 1.25, f"{check.key} note 40") == "1.25 mm"
    assert words(("readings", 3, "value"), True, check.key) == "yes"
    assert words(("identity", "size_cm"), 185.0) == "185 cm"
    assert words(("claim", "volume_m3"), 12.0) == "12 m³"
    assert words(("market", "comparables", 0, "distance_km"), 40.0, "Hall grand") == "40 km"
    assert words(("assignment", "basis"), "private_sale") == TABLES.bases["private_sale"].label
    assert words(("renewals", 0, "components"), ["hammers"], "hammers") == TABLES.components["hammers"].label
    assert words(("identity", "maker"), "private_sale") == "private_sale"
    assert words(("identity", "size_cm"), None) == "—"
    assert words(("grades", 0, "grade"), 2.5, "plate_finish") == "2.5"
