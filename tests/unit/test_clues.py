"""Dating clues that disagree, and how far a part speaks for the rest."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from appraise.engine.clues import disagreeing
from appraise.engine.subject import assemble
from appraise.model.case import Assignment, Case, Grade, Identity, Kind
from appraise.model.span import Span
from appraise.tables.load import load_tables

TABLES = load_tables()
UNSEEN = Case(Identity(Kind.GRAND, made=Span.of_year(1986)), Assignment(date(2026, 11, 20)))


@pytest.mark.parametrize(
    ("clues", "pairs"),
    [
        (["hammer_felt_brown", "key_cloth_bright"], [("hammer_felt_brown", "key_cloth_bright")]),
        (["copper_dull", "wire_grey"], []),
        (["copper_dull"], []),
        ([], []),
    ],
)
def test_clues_whose_years_hardly_meet(clues, pairs):
    assert list(disagreeing([TABLES.dating_clues[key] for key in clues])) == pairs


def test_the_order_of_the_clues_does_not_matter():
    rows = [TABLES.dating_clues[key] for key in ("key_cloth_bright", "hammer_felt_brown", "copper_dull")]
    assert disagreeing(rows) == disagreeing(rows[::-1])


def precision(component):
    seen = replace(UNSEEN, grades=(Grade(2.0, component=component, reason="seen"),))
    return assemble(seen, TABLES).common.precision


def test_a_scratched_case_says_less_of_the_rest_than_its_share_of_cost():
    # Common practice, no source: nobody judges a pin block by the polish or the iron.
    shares = {key: row.share(Kind.GRAND) for key, row in TABLES.components.items()}
    assert shares["finish"] > shares["hammers"]
    assert precision("finish") < precision("hammers")
    assert precision("plate") < precision("wippens")
