"""Readings that follow from others: friction and balance weight from the touchweight."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.engine.derived import following
from appraise.engine.grade import judged_checks
from appraise.model.case import Assignment, Case, Identity, Kind, Reading
from appraise.services.walk import progress
from appraise.tables.load import load_tables

TABLES = load_tables()
GRAND = Case(Identity(Kind.GRAND), Assignment(date(2026, 11, 20)))


def weighed(down, up):
    readings = [Reading("downweight_grand", float(value), "g", note) for note, value in down.items()]
    readings += [Reading("upweight", float(value), "g", note) for note, value in up.items()]
    return replace(GRAND, readings=tuple(readings))


@pytest.mark.parametrize(
    ("down", "up", "friction", "balance"),
    # Common practice, no source: down 50 g and up 26 g are 12 g of friction at a balance weight of 38 g.
    [(50, 26, 12, 38), (50, 20, 15, 35), (64, 16, 24, 40)],
)
def test_friction_and_balance(down, up, friction, balance):
    found = following(weighed({40: down}, {40: up}), TABLES)
    assert found == {"touch_friction": {40: friction}, "balance_weight": {40: balance}}


def test_only_notes_with_both():
    found = following(weighed({1: 55, 40: 50}, {40: 26, 88: 24}), TABLES)
    assert set(found["touch_friction"]) == {40}


def test_readings_of_ones_own_come_first():
    case = weighed({40: 50}, {40: 26})
    own = replace(case, readings=(*case.readings, Reading("touch_friction", 9.0, "g", 40)))
    assert set(following(own, TABLES)) == {"balance_weight"}
    assert judged_checks(own, TABLES)["touch_friction"].result.value == 9.0


def test_it_grades_and_counts_as_done():
    case = weighed({40: 50, 41: 50}, {40: 26, 41: 26})
    judged = judged_checks(case, TABLES)
    assert judged["touch_friction"].result.grade == pytest.approx(1.0)
    assert judged["balance_weight"].result.grade == pytest.approx(1.0)
    assert progress(case, TABLES)["action"].done == 4


@given(st.floats(10, 200), st.floats(0, 100))
def test_down_and_up_come_back(down, up):
    found = following(weighed({40: down}, {40: up}), TABLES)
    friction, balance = found["touch_friction"][40], found["balance_weight"][40]
    assert balance + friction == pytest.approx(down)
    assert balance - friction == pytest.approx(up)


def test_an_upright_has_none():
    case = replace(weighed({40: 50}, {40: 26}), identity=Identity(Kind.UPRIGHT))
    assert following(case, TABLES) == {}
