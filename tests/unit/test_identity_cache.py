"""What is kept from one valuation to the next changes no figure."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from appraise.engine.identity_cache import IdentityCache, forget, valued_once
from appraise.engine.valuation import value_case
from appraise.model.case import Grade
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables

TABLES = load_tables()


def made_anew(self, made_from, how, make):
    return make()


@pytest.mark.parametrize("name", ["renewed_grand", "practice_upright", "removal_before", "flooded_hall_grand"])
def test_a_changed_grade_gives_the_figures_of_a_fresh_start(name, monkeypatch):
    case = read_case(data_folder("sample_cases") / f"{name}.toml", TABLES)[0]
    changes = [replace(case, grades=(*case.grades, Grade(grade, component=part))) for part, grade in CHANGES]
    one_after_the_other = [value_case(each, TABLES, draws=128) for each in (case, *changes, case)]
    monkeypatch.setattr(IdentityCache, "of", made_anew)
    for each, before in zip((case, *changes, case), one_after_the_other, strict=True):
        again = value_case(each, TABLES, draws=128)
        assert again.exact == before.exact
        assert again.percentiles == before.percentiles
        assert again.work == before.work


@pytest.mark.parametrize("name", ["renewed_grand", "trade_in_grand", "sell_as_is_upright", "flooded_hall_grand"])
def test_a_case_valued_once_has_the_figures_of_one_that_is_being_changed(name):
    case = read_case(data_folder("sample_cases") / f"{name}.toml", TABLES)[0]
    kept = value_case(case, TABLES, draws=256)
    forget()
    with valued_once():
        once = value_case(case, TABLES, draws=256)
    assert once.exact == kept.exact
    assert once.percentiles == kept.percentiles
    assert once.work == kept.work
    assert once.grid == kept.grid


def test_what_only_changes_ask_for_is_not_kept_of_a_case_valued_once():
    kept, one = IdentityCache(2, for_changes=True), np.ones(3)
    with valued_once():
        assert kept.of((one,), None, lambda: "first") == "first"
        assert kept.of((one,), None, lambda: "second") == "second"
    assert kept.of((one,), None, lambda: "third") == "third"
    assert kept.of((one,), None, lambda: "fourth") == "third"


CHANGES = (("hammers", 4.0), ("pin_block", 3.5), ("finish", 2.0), ("wippens", 5.0), ("soundboard", 4.5), ("plate", 5.0))


def test_results_are_told_apart_by_the_objects_they_come_from():
    kept = IdentityCache(2)
    one, other = np.ones(3), np.ones(3)
    assert kept.of((one,), None, lambda: "first") == "first"
    assert kept.of((one,), None, lambda: "again") == "first"
    assert kept.of((other,), None, lambda: "another") == "another"
    assert kept.of((one,), 2, lambda: "with a two") == "with a two"
    # The least recently used was given up.
    assert kept.of((one,), None, lambda: "anew") == "anew"


def test_threads_share_what_is_kept_without_stumbling():
    kept, arrays = IdentityCache(4), [np.full(3, n) for n in range(16)]

    def ask(at):
        for n in range(2000):
            one = arrays[(at + n) % len(arrays)]
            assert kept.of((one,), None, lambda one=one: float(one[0])) == one[0]
            if n % 100 == 0:
                kept.clear()

    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(ask, range(4))) == [None] * 4
