"""The choice of checks for a visit, a knapsack of looks that tell less the more is known, against the best of all sets.

Sources:
    G. L. Nemhauser, L. A. Wolsey, M. L. Fisher, "An analysis of approximations for maximizing submodular set
    functions", Mathematical Programming 14, 1978: where every element costs alike, greedy reaches 1 − 1/e of the best,
    and of two elements 1 − (1 − 1/2)². From memory.
    S. Khuller, A. Moss, J. Naor, "The budgeted maximum coverage problem", Information Processing Letters 70, 1999:
    where costs differ, the better of greedy by ratio and of the best single element reaches (1 − 1/e) / 2. From memory.
    The worst case for greedy, a block across two columns: the usual example beside that bound, from memory.
The best of all sets is found by trying every one.
"""

from __future__ import annotations

from itertools import combinations
from math import e
from types import SimpleNamespace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from appraise.engine.choice import FEW, chosen
from tests.helpers.depth import examples


def best_of_all(rows, minutes, settled):
    """Return what the best set of checks within the minutes settles [–]."""
    return max(
        settled([row.key for row in rows if row in some])
        for size in range(len(rows) + 1)
        for some in combinations(rows, size)
        if sum(row.minutes for row in some) <= minutes
    )


@st.composite
def coverings(draw, most, *, alike):
    """Looks that each cover some of a dozen open questions of different weight; covering is submodular."""
    weights = draw(st.lists(st.integers(1, 20), min_size=12, max_size=12))
    total = sum(weights) + 1
    sets = draw(st.lists(st.sets(st.integers(0, 11), min_size=1, max_size=6), min_size=2, max_size=most))
    rows = [
        SimpleNamespace(key=f"check {at}", minutes=1.0 if alike else draw(st.integers(1, 20)) / 2)
        for at in range(len(sets))
    ]
    shows = {row.key: shown for row, shown in zip(rows, sets, strict=True)}

    def settled(keys):
        return sum(weights[at] for at in set().union(*(shows[key] for key in keys))) / total

    return rows, settled


@settings(max_examples=examples(200))
@given(coverings(11, alike=True), st.integers(1, 5))
def test_greedy_of_looks_that_take_alike_reaches_its_bound(drawn, count):
    rows, settled = drawn
    found = chosen(rows, float(count), settled)
    assert len(found) == len(set(found)) <= count
    assert settled(found) >= (1.0 - 1.0 / e) * best_of_all(rows, float(count), settled) - 1e-12


@settings(max_examples=examples(200))
@given(coverings(FEW, alike=False), st.integers(2, 30))
def test_the_choice_of_looks_that_differ_reaches_its_bound(drawn, minutes):
    rows, settled = drawn
    assume(any(row.minutes <= minutes for row in rows))
    found = chosen(rows, float(minutes), settled)
    taken = {row.key: row.minutes for row in rows}
    assert sum(taken[key] for key in found) <= minutes
    best = best_of_all(rows, float(minutes), settled)
    assert settled(found) >= 0.5 * (1.0 - 1.0 / e) * best - 1e-12
    # The best single one is among the beginnings that are tried.
    assert settled(found) >= max(settled([row.key]) for row in rows if row.minutes <= minutes) - 1e-4


def test_a_cheap_look_does_not_crowd_out_the_one_that_tells():
    # By ratio the first comes first, and leaves no time for the second, which tells twenty times as much.
    rows = [SimpleNamespace(key="cheap", minutes=1.0), SimpleNamespace(key="telling", minutes=30.0)]
    tells = {"cheap": 0.04, "telling": 0.8}
    assert chosen(rows, 30.0, lambda keys: sum(tells[key] for key in keys)) == ["telling"]


def test_the_worst_case_for_greedy_just_keeps_its_bound():
    # Two columns of four cover all eight; the block across both, half of each, comes first and spoils the choice:
    # 4 + 2 of 8 in two looks, 3/4, what the bound promises and no more. The small ones are so many that greedy is all.
    shows = {"across": {0, 1, 4, 5}, "left": {0, 1, 2, 3}, "right": {4, 5, 6, 7}}
    shows |= {f"small {at}": {at} for at in range(FEW)}
    rows = [SimpleNamespace(key=key, minutes=1.0) for key in shows]

    def settled(keys):
        return len(set().union(*(shows[key] for key in keys))) / 8.001

    assert best_of_all(rows, 2.0, settled) == pytest.approx(8 / 8.001)
    assert settled(chosen(rows, 2.0, settled)) == pytest.approx(0.75 * 8 / 8.001)
