"""Every figure of the reason tree against the figures below it, reckoned as its own words say."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest
from scipy import special

from appraise.engine.valuation import value_case
from appraise.explain.tree import reason_tree
from appraise.model.case import EffectiveAge
from appraise.store.read import read_case
from appraise.tables.load import load_tables

TABLES = load_tables()
SAMPLES = sorted((Path(__file__).parents[2] / "sample_cases").glob("*.toml"))
HEIDECKE = sorted((row.grade, row.c_pct / 100.0) for row in TABLES.condition_classes.values())
PRIORS = sorted((row.consumed, row.grade) for row in TABLES.priors.values())


def curve(points, at):
    return float(np.interp(at, *zip(*points, strict=True)))


def roots(depreciation):
    """Consumed share of life at which Ross's age curve comes to a depreciation."""
    return (math.sqrt(1.0 + 8.0 * depreciation) - 1.0) / 2.0


class Life:
    """A Weibull life from the three figures of a node."""

    def __init__(self, low, typical, high):
        self.shape = math.log(math.log(10.0) / math.log(10.0 / 9.0)) / math.log(high / low)
        self.scale = typical / math.log(2.0) ** (1.0 / self.shape)

    def consumed(self, age):
        if age <= 0.0:
            return 0.0
        z = (age / self.scale) ** self.shape
        if z > 600.0:  # Γ(s, z)·exp(z) is z^(s − 1) there
            return age / (age + age / self.shape / z)
        tail = special.gamma(1.0 / self.shape) * special.gammaincc(1.0 / self.shape, z)
        return age / (age + self.scale / self.shape * math.exp(z) * tail)

    def left(self, age, probability):
        z = (age / self.scale) ** self.shape
        return self.scale * (z - math.log(1.0 - probability)) ** (1.0 / self.shape) - age


def flat(node, found):
    found.setdefault(node.figure, node)
    for part in node.parts:
        flat(part, found)
    return found


@pytest.fixture(scope="module", params=SAMPLES, ids=lambda path: path.stem)
def told(request):
    case = read_case(request.param, TABLES, today=date(2026, 12, 1))[0]
    nodes = flat(reason_tree(case, TABLES, value_case(case, TABLES)), {})
    return case, nodes, {address: node.value for address, node in nodes.items()}


def parts_of(case):
    return [row for row in TABLES.components.values() if case.identity.kind in row.kinds]


def test_low_middle_and_high_rise(told):
    _, nodes, value = told
    edges = [address for address in nodes if f"{address}.low" in nodes and f"{address}.high" in nodes]
    assert len(edges) > 100
    for address in edges:
        assert value[f"{address}.low"] <= value[address] <= value[f"{address}.high"], address


def test_a_component_follows_from_its_age_its_life_and_its_grade(told):
    case, _nodes, value = told
    assert case.assignment.law == "probable_life"
    for row in parts_of(case):
        key = row.key
        life = Life(value[f"{key}.life.low"], value[f"{key}.life"], value[f"{key}.life.high"])
        aged, spoken = life.consumed(value[f"{key}.age"]), curve(HEIDECKE, value[f"{key}.grade"])
        if row.hazard:
            # Taken to be absent; no sample says when it was last tuned.
            assert value[f"{key}.expected"] == (2.0 if key == "tuning" else 1.0), key
        else:
            assert value[f"{key}.expected"] == pytest.approx(curve(PRIORS, aged), abs=2e-3), key
        if row.hazard:
            # No part: it has no share of the cost and does not age.
            assert value[f"{key}.depreciation"] == value[f"{key}.share"] == 0.0, key
            assert value[f"{key}.usability"] == pytest.approx(curve(row.gate, value[f"{key}.grade"])), key
            continue
        consumed = aged - row.visibility * max(0.0, aged - roots(spoken))
        assert value[f"{key}.consumed"] == pytest.approx(consumed, abs=2e-4), key
        ross = (consumed + consumed**2) / 2.0
        assert value[f"{key}.depreciation"] == pytest.approx(ross + (1.0 - ross) * spoken, abs=3e-4), key
        effective = roots(value[f"{key}.depreciation"]) * value[f"{key}.life"]
        assert value[f"{key}.effective_age"] == pytest.approx(effective), key
        share = min(1.0, max(0.0, (row.due_from - value[f"{key}.grade"]) / TABLES.setting("due_lead")))
        for edge, probability in ((".low", 0.1), ("", 0.5), (".high", 0.9)):
            left = share * life.left(effective, probability)
            assert value[f"{key}.remaining{edge}"] == pytest.approx(left, abs=1e-6), key
        if row.gate:
            assert value[f"{key}.usability"] == pytest.approx(curve(row.gate, value[f"{key}.grade"])), key


@pytest.mark.parametrize("law", sorted(TABLES.laws))
def test_the_whole_follows_from_its_components_under_every_law(law):
    case = read_case(SAMPLES[-2], TABLES, today=date(2026, 12, 1))[0]
    aged = (EffectiveAge("hammers", 9.0, "as the felt looks"),)
    case = replace(case, assignment=replace(case.assignment, law=law), effective_ages=aged)
    tree = reason_tree(case, TABLES, value_case(case, TABLES, draws=64))
    value = {address: node.value for address, node in flat(tree, {}).items()}
    left = 0.0
    for row in parts_of(case):
        key = row.key
        if row.hazard:
            continue
        age, life = value[f"{key}.age"], value[f"{key}.life"]
        spoken, loss = curve(HEIDECKE, value[f"{key}.grade"]), value[f"{key}.depreciation"]
        left += value[f"{key}.share"] * (1.0 - loss)
        consumed = value[f"{key}.consumed"]
        ross = (consumed + consumed**2) / 2.0
        if key == "hammers":
            assert consumed == pytest.approx(min(1.0, 9.0 / life))
            assert loss == pytest.approx(ross)
        elif law in ("probable_life", "fixed_life"):
            assert loss == pytest.approx(ross + (1.0 - ross) * spoken, abs=3e-4), key
        elif law in ("ross", "straight_line"):
            assert loss == pytest.approx(ross if law == "ross" else consumed), key
        elif law == "declining_balance":
            assert loss == pytest.approx(1.0 - (1.0 - TABLES.laws[law].rate) ** age), key
        if law != "probable_life" and key != "hammers":
            assert consumed == pytest.approx(min(1.0, age / life)), key
    assert value["share_of_new.central"] == pytest.approx(left * value["usability"])


def shown_by_parts_of(expected):
    """The mean of grades drawn about an expected one and cut to 1–5, by 20,000 equally likely draws."""
    new, used = TABLES.setting("grade_sd_unseen_new"), TABLES.setting("grade_sd_unseen")
    sd = new + (used - new) * min(1.0, max(0.0, (expected - 1.0) / 1.5))
    drawn = [NormalDist(expected, sd).inv_cdf((k + 0.5) / 20_000) for k in range(20_000)]
    return sum(min(5.0, max(1.0, grade)) for grade in drawn) / len(drawn)


def test_a_grade_follows_from_the_checks_and_from_what_was_not_checked(told):
    case, nodes, value = told
    limit = TABLES.setting("surprise_limit")
    leaning = 0
    for row in parts_of(case):
        key = row.key
        checks = [part.value for part in nodes[f"{key}.grade"].parts if part.figure.startswith("check.")]
        if checks:
            assert value[f"{key}.derived"] == pytest.approx(max(checks)), key
        if f"{key}.unseen" in value:
            expected = value[f"{key}.expected"]
            if f"{key}.shown" in value:
                assert value[f"{key}.shown"] == pytest.approx(shown_by_parts_of(expected), abs=1e-4), key
            shown = value.get(f"{key}.shown", expected)
            apart = min(limit, max(-limit, value.get("general.grade", shown) - shown))
            unseen = expected + value.get("general.weight", 0.0) * apart
            assert value[f"{key}.unseen"] == pytest.approx(min(5.0, max(1.0, unseen))), key
            seen = value.get(f"{key}.derived", unseen)
            lean = seen + (1.0 - value[f"{key}.wear_seen"]) * max(0.0, unseen - seen)
            assert value[f"{key}.grade"] == pytest.approx(min(5.0, max(1.0, lean))), key
            leaning += 1
        elif row.hazard and f"{key}.derived" not in value:
            assert value[f"{key}.grade"] == value[f"{key}.expected"], key
        elif row.hazard:
            found, expected = value[f"{key}.derived"], value[f"{key}.expected"]
            lean = found + (1.0 - value[f"{key}.inspected"]) * max(0.0, expected - found)
            assert value[f"{key}.grade"] == pytest.approx(lean), key
        elif checks:
            assert value[f"{key}.grade"] == pytest.approx(max(checks)), key
    assert leaning


def test_a_check_follows_from_the_reading_shown_or_says_that_it_does_not(told):
    _, nodes, value = told
    followed = graded = 0
    for address, node in nodes.items():
        graded += address.startswith("check.")
        if address.startswith("check.") and node.how.startswith("from the reading"):
            row = TABLES.checks[address.removeprefix("check.")]
            reading = nodes[f"reading.{row.key}"]
            shown = reading.value * (100.0 if reading.unit == "%" else 1.0)
            assert node.value == pytest.approx(min(row.cap, curve(row.anchors, shown))), address
            followed += 1
        elif address.startswith("alone."):
            row = TABLES.checks[address.removeprefix("alone.")]
            own = {
                key: value.get(f"alone.{key}", value.get(f"check.{key}"))
                for key in row.judged_with
                if f"check.{key}" in value
            }
            near = max(own.values(), default=TABLES.setting("judged_alone_grade"))
            assert value[f"check.{row.key}"] == pytest.approx(min(node.value, near + row.ahead)), address
    assert followed or not graded


def test_stations_and_the_whole_are_sums_of_their_components(told):
    case, nodes, value = told
    left = 0.0
    for address, node in nodes.items():
        if not (address.startswith("station.") and address.endswith(".depreciation")):
            continue
        station = address.split(".")[1]
        inside = [part.figure.removesuffix(".depreciation") for part in node.parts if part.figure.endswith("tion")]
        weight = sum(value[f"{key}.share"] for key in inside)
        for figure in ("depreciation", "grade", "inspected", "effective_age"):
            mean = sum(value[f"{key}.share"] * value[f"{key}.{figure}"] for key in inside) / weight
            assert value[f"station.{station}.{figure}"] == pytest.approx(mean), address
        assert value[f"station.{station}.variance"] == pytest.approx(sum(value[f"{key}.variance"] for key in inside))
        left += sum(value[f"{key}.share"] * (1.0 - value[f"{key}.depreciation"]) for key in inside)
    gates = [value[f"{row.key}.usability"] for row in parts_of(case) if row.gate]
    assert value["usability"] == pytest.approx(min([1.0, *gates]))
    assert value["share_of_new.central"] == pytest.approx(left * value["usability"])


def test_the_approaches_follow_from_their_figures(told):
    case, nodes, value = told
    method = TABLES.bases[case.assignment.basis].method

    def off(amount):
        flat = value.get("taking", 0.0)
        if method != "residual":
            return amount - flat
        share = value["margin"] + value.get("guarantee_share", 0.0) + value.get("holding_share", 0.0)
        return amount * (1.0 - share) - flat

    if "taking" in value:
        sums = [part.value for part in nodes["taking"].parts]
        assert value["taking"] == pytest.approx(sum(sums))
    product = value["replacement_cost_new"] * value["market_factor"] * value["basis_factor"]
    product *= value["share_of_new.central"]
    if "renewal" in value:
        product *= value["renewal"] * value["appearance"]
    assert value["approach.cost.central"] == pytest.approx(off(product))
    lines = [n for n in range(1, 9) if f"comparable.{n}" in value]
    for n in lines:
        steps = [part.value for part in nodes[f"comparable.{n}"].parts if part.label.startswith("Adjustment for")]
        price = value[f"comparable.{n}.price"]
        assert value[f"comparable.{n}"] == pytest.approx(price + sum(steps))
        assert value[f"comparable.{n}.gross"] == pytest.approx(sum(map(abs, steps)) / price)
        assert value[f"comparable.{n}.net"] == pytest.approx(sum(steps) / price)
    if lines and "market_factor.tables" in value:
        levels = [value[f"comparable.{n}.market_factor"] for n in lines]
        assert value["market_factor"] == pytest.approx(value["market_factor.tables"] * float(np.median(levels)))
    if lines and method in ("market", "residual"):
        weighted = [(value[f"comparable.{n}.weight"], value[f"comparable.{n}"]) for n in lines]
        if all(price > 0.0 for _, price in weighted):
            mean = math.exp(sum(weight * math.log(price) for weight, price in weighted))
        else:
            mean = sum(weight * price for weight, price in weighted)
        assert value["approach.sales.central"] == pytest.approx(mean)
        assert value["approach.cost.weight"] + value["approach.sales.weight"] == pytest.approx(1.0)


def test_work_follows_from_hours_and_their_price(told):
    case, nodes, value = told
    jobs = [address for address in nodes if address.startswith("work.") and address.endswith(".cost")]
    if not jobs:
        return
    hour = value["hour.rate"] * (1.0 + value["hour.overhead"]) * (1.0 + value["hour.contingency"])
    assert value["hour"] == pytest.approx(hour)
    work = value_case(case, TABLES).work
    for item in work:
        job = f"work.{item.remedy}"
        for end in ("low", "high"):
            cost = value[f"{job}.hours.{end}"] * hour + value[f"{job}.parts.{end}"]
            # The mean over the draws may lie outside what the least and the most of the table come to.
            edge = min if end == "low" else max
            assert value[f"{job}.cost.{end}"] == pytest.approx(edge(cost, value[f"{job}.cost"]))
    listed = [item.remedy for item in work if item.group != "player"]
    if listed:
        assert value["work_listed"] == pytest.approx(sum(value[f"work.{job}.cost"] for job in listed))
        assert value["work_listed_hours"] == pytest.approx(sum(value[f"work.{job}.hours"] for job in listed))
    chosen = [item.remedy for item in work if item.chosen]
    if chosen:
        assert value["plan_cost"] == pytest.approx(sum(value[f"work.{job}.cost"] for job in chosen))
        assert value["plan_hours"] == pytest.approx(sum(value[f"work.{job}.hours"] for job in chosen))
