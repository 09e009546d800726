"""The cautions: both systems of units, in their turn before the start, and beside the checks that can hurt somebody."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from appraise.model.case import Kind
from appraise.services.guide import before_start, cautions_of_check
from tests.helpers.report_cases import CASES

OTHER = {r"\btonnes\b|\d kg\b|\bkilograms\b": r"\d lb\b", r"\d g\b": r"\d oz\b"}
"""A weight as the metric system has it, and what stands beside it."""


def case_of(kind):
    case = CASES["bare"]()
    return replace(case, identity=replace(case.identity, kind=kind))


def test_every_weight_stands_in_both_systems(tables):
    found = 0
    for row in tables.cautions.values():
        for metric, customary in OTHER.items():
            count = len(re.findall(metric, row.text))
            found += count
            assert not count or re.search(customary, row.text), row.key
    assert found > 5


@pytest.mark.parametrize(
    ("kind", "keys"),
    [
        (Kind.GRAND, ["lids", "legs_and_lyre", "string_tension"]),
        (Kind.UPRIGHT, ["lids", "upright_tipping", "string_tension"]),
    ],
)
def test_before_the_start(kind, keys, tables):
    assert before_start(case_of(kind), tables) == [tables.cautions[key].short for key in keys]


@pytest.mark.parametrize(
    ("check", "kind", "key"),
    [
        ("rim_joint_gap", Kind.GRAND, "under_a_grand"),
        ("bridge_root_open", Kind.GRAND, "under_a_grand"),
        ("board_cracks_tight", Kind.GRAND, "under_a_grand"),
        ("block_cracks", Kind.GRAND, "under_a_grand"),
        ("board_cracks_tight", Kind.UPRIGHT, "upright_tipping"),
        ("block_cracks", Kind.GRAND, "action_out"),
        ("plate_bolts_snug", Kind.GRAND, "plate_screws"),
        ("sticking_keys", Kind.UPRIGHT, "lead"),
        ("haze_swirl", Kind.UPRIGHT, "refinishing"),
    ],
)
def test_beside_a_check(check, kind, key, tables):
    row = tables.checks[check]
    assert tables.cautions[key].text in cautions_of_check(row, case_of(kind), tables)
    other = Kind.UPRIGHT if kind is Kind.GRAND else Kind.GRAND
    if tables.cautions[key].kinds:
        assert tables.cautions[key].text not in cautions_of_check(row, case_of(other), tables)
