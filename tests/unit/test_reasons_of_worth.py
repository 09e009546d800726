"""Every figure of the worth against the figures below it: sample cases, and any case."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from appraise.engine.valuation import value_case
from appraise.engine.work import groups
from appraise.explain import reason_tree
from appraise.model.case import Renewal
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.cases import cases
from tests.helpers.depth import examples

TABLES = load_tables()
SAMPLES = sorted(data_folder("sample_cases").glob("*.toml"))


def sample(name):
    return read_case(data_folder("sample_cases") / f"{name}.toml", TABLES, today=date(2026, 12, 1))[0]


class Told:
    """A valued case with the nodes of its tree by address."""

    def __init__(self, case, draws=64):
        self.case = case
        self.valuation = value_case(case, TABLES, draws=draws)
        self.nodes = {}
        for node in reason_tree(case, TABLES, self.valuation).walk():
            self.nodes.setdefault(node.figure, node)
        self.value = {address: node.value for address, node in self.nodes.items()}
        self.method = TABLES.bases[case.assignment.basis].method

    def below(self, address):
        return {part.figure: part.value for part in self.nodes[address].parts}


def curve(points, at):
    return float(np.interp(at, *zip(*points, strict=True)))


def close(found, expected):
    return found == pytest.approx(expected, rel=1e-6, abs=1e-6)


def the_factor_is_the_product_of_its_rows(told):
    holder = "market_factor.tables" if "market_factor.tables" in told.value else "market_factor"
    rows = {
        address.removeprefix("market_factor."): value
        for address, value in told.below(holder).items()
        if address.removeprefix("market_factor.") in TABLES.market_factors
    }
    if told.valuation.market_factor_from == "basis":
        share = TABLES.bases[told.valuation.basis].obsolescence
        base = TABLES.market_factors[f"base_{told.case.identity.kind}"].by_age
        fall = curve(base, told.valuation.market_age) / curve(base, 0.0)
        assert rows == {}
        assert close(told.value["market_factor"], fall**share)
        return
    assert close(told.value[holder], math.prod(rows.values()))
    for key, found in rows.items():
        row = TABLES.market_factors[key]
        by_age = curve(row.by_age, told.value["market_age"]) if row.by_age else 1.0
        assert close(found, row.typical * by_age), key


def renewals_and_looks_follow_from_the_components(told):
    """Of what is left of every component; the method gives each the factor of its own market age."""
    if "renewal" not in told.value:
        assert told.method == "replacement"
        return
    rows = [row for row in TABLES.components.values() if told.case.identity.kind in row.kinds]
    left = {row.key: told.value[f"{row.key}.share"] * (1.0 - told.value[f"{row.key}.depreciation"]) for row in rows}
    kept = sum(amount * told.value.get(f"{key}.market_factor", 1.0) for key, amount in left.items())
    if sum(left.values()) > 0.0:
        assert close(told.value["renewal"], kept / sum(left.values()))
    gone = 0.0
    for row in rows:
        if row.appearance:
            assert close(told.value[f"{row.key}.look"], curve(row.appearance, told.value[f"{row.key}.grade"])), row.key
            gone += 1.0 - told.value[f"{row.key}.look"]
    if kept > 0.0:
        assert close(told.value["appearance"], 1.0 - gone * told.value["looks.sound"] / kept)


def taking_adds_up(told):
    value, costs = told.value, told.case.costs
    if told.method == "residual":
        shares = value["margin"] + value.get("guarantee_share", 0.0) + value.get("holding_share", 0.0)
        assert close(value["kept"], 1.0 - shares)
    if "taking" not in value:
        assert told.valuation.taking == 0.0
        return
    parts = told.below("taking")
    assert close(value["taking"], sum(parts.values()))
    assert close(value["taking"], told.valuation.taking)
    for address, amount in parts.items():
        stated = getattr(costs, address, None)
        if stated is not None:
            assert close(amount, float(stated)), address
        else:
            stairs = 1.0 + value.get(f"{address}.stairs", 0.0)
            assert close(amount, value[f"{address}.hours"] * value[f"{address}.hour"] * stairs), address


def the_cost_approach_as_is_adds_up(told):
    value = told.value
    if told.method == "replacement":
        assert "approach.cost.central" not in value
        return
    new = value["replacement_cost_new"] * value["basis_factor"]
    assert close(value["price_new"], new)
    whole = new * value["market_factor"] * value["share_of_new.central"] * value["renewal"] * value["appearance"]
    taken = whole * value.get("kept", 1.0) - value.get("taking", 0.0)
    assert close(value["approach.cost.central"], min(taken, new))


def courses_and_the_option_add_up(told):
    value, v = told.value, told.valuation
    for name in ("left_alone", "after_work", "salvage"):
        course = getattr(v, name)
        assert (name in value) == (course is not None)
        if course is not None:
            assert close(value[name], course.mid)
    if told.method != "replacement":
        best = max(value[name] for name in ("left_alone", "after_work", "salvage") if name in value)
        # Percentile 50 is the best estimate before it is rounded.
        assert close(value.get("option", 0.0), max(0.0, value["value.p50"] - best))
    if "removal" in value and told.case.costs.removal is not None:
        assert close(value["removal"], float(told.case.costs.removal))


def lists_of_work_add_up(told):
    value, lists = told.value, groups(told.valuation.work)
    for group, jobs in lists.items():
        assert (f"work_list.{group}" in value) == bool(jobs)
        if jobs:
            assert close(value[f"work_list.{group}"], sum(value[f"work.{job.remedy}.cost"] for job in jobs))
    both = [value.get("work_list.needed", 0.0), value.get("work_list.pays", 0.0)]
    assert close(value.get("work_listed", 0.0), sum(both))
    chosen = [job.remedy for job in told.valuation.work if job.chosen]
    if chosen:
        assert close(value["plan_cost"], sum(value[f"work.{key}.cost"] for key in chosen))
    for job in told.valuation.work:
        assert value.get(f"work.{job.remedy}.pieces", 1) == max(1, job.pieces)


def the_worth_adds_up(told):
    the_factor_is_the_product_of_its_rows(told)
    renewals_and_looks_follow_from_the_components(told)
    taking_adds_up(told)
    the_cost_approach_as_is_adds_up(told)
    courses_and_the_option_add_up(told)
    lists_of_work_add_up(told)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_of_every_sample(path):
    the_worth_adds_up(Told(sample(path.stem)))


@pytest.mark.parametrize("basis", sorted(TABLES.bases))
def test_on_every_basis(basis):
    case = sample("renewed_grand")
    told = Told(replace(case, assignment=replace(case.assignment, basis=basis)))
    the_worth_adds_up(told)
    row = TABLES.bases[basis]
    assert told.value["market_level"] == row.market_level
    assert told.value["exposure"] == row.exposure
    assert ("incentive" in told.value) == (row.method == "market" and row.work_weighed)
    assert ("kept" in told.value) == (row.method == "residual")


@settings(
    max_examples=examples(40), deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(cases(TABLES, priced=True))
def test_of_any_case(case):
    the_worth_adds_up(Told(case))


def addresses(case):
    return [node.figure for node in reason_tree(case, TABLES, value_case(case, TABLES, draws=64)).walk()]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_address_is_one_figure(path):
    found = addresses(sample(path.stem))
    assert len(found) == len(set(found))


def test_two_undated_renewals_with_one_clue_are_two_figures():
    """The keys were dated by one clue twice; each stands in the tree with its own address."""
    case = sample("sell_as_is_upright")
    clues = ("keytops_one_piece", "dust_thick")
    again = replace(case, renewals=(Renewal(("wippens",), clues=clues), Renewal(("wippens", "keys"), clues=clues)))
    found = addresses(again)
    assert len(found) == len(set(found))
    assert {"wippens.age.clue.dust_thick", "wippens.age.clue.dust_thick.2"} <= set(found)


def test_the_part_that_holds_the_whole_back_is_named():
    told = Told(sample("cracked_plate_grand"))
    assert "plate, at grade 5.0" in told.nodes["usability"].how
    assert told.value["usability"] == told.value["plate.usability"]


def test_stairs_make_carriage_dearer_and_say_so():
    case = sample("sell_as_is_upright")
    assert case.costs.carriage is None
    third, level = (Told(replace(case, identity=replace(case.identity, stairs=flights))) for flights in (3, 0))
    assert close(third.value["carriage"], level.value["carriage"] * (1.0 + 3.0 * TABLES.setting("carriage_per_flight")))
    the_worth_adds_up(third)
