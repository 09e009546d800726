"""The JSON object: the keys promised, money as strings, units in keys, the same bytes each time."""

from __future__ import annotations

import json
import re

import pytest

from appraise.report.appraisal import appraisal
from appraise.report.json_text import dumps
from appraise.report.outputs.value import REPORT, VALUE, VALUES, WHY
from appraise.tables.load import load_tables
from tests.helpers.golden import golden
from tests.helpers.report_cases import grand
from tests.report.conftest import valued

PROMISED = {
    *("schema", "case", "currency", "basis", "value", "left_alone", "after_work", "work", "stations"),
    *("next_intervention", "next_checks", "approaches", "rationale", "cautions", "tables_version", "seed", "draws"),
}


def keys(value):
    """Yield every key of an object and of those within."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from keys(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner)


def test_the_promised_keys_are_there(item):
    found = VALUE.dump((item, None))
    assert set(found) >= PROMISED
    station = found["stations"][0]
    assert set(station) >= {
        *("station", "grade", "grade_low", "grade_high", "inspected", "depreciation_pct", "effective_age_years"),
        *("remaining_years", "components"),
    }
    assert set(station["remaining_years"]) == {"low", "mid", "high"}
    assert [entry["station"] for entry in found["stations"]] == [s.station for s in item.valuation.stations]
    assert list(found["work"]) == ["needed", "pays", "player"]
    listed = [work for jobs in found["work"].values() for work in jobs]
    assert [work["remedy"] for work in listed] == [work.remedy for work in item.valuation.work]
    for work in listed:
        assert set(work) >= {"remedy", "cost_low", "cost_mid", "cost_high", "value_added", "curable", "if_left"}
    for check in found["next_checks"]:
        assert set(check) >= {"check", "narrows_pct"}
    for sentence in found["rationale"]:
        assert set(sentence) == {"topic", "text", "figures"}


def test_keys_are_snake_case(item):
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", key) for key in keys(REPORT.dump((item, "full"))))


def test_money_is_a_decimal_string(item):
    found = VALUE.dump((item, None))
    amounts = [
        amount
        for entry in ("left_alone", "after_work", "salvage", "plan_cost")
        if found[entry] is not None
        for amount in found[entry].values()
    ]
    amounts += [
        work[key]
        for jobs in found["work"].values()
        for work in jobs
        for key in ("cost_low", "cost_mid", "cost_high", "value_added")
    ]
    if found["value"] is not None:
        amounts += [found["taking"], found["option"]]
        amounts += [found["value"][key] for key in ("low", "mid", "high", "step")]
        amounts += list(found["value"]["percentiles"].values())
    assert all(re.fullmatch(r"-?\d+\.\d\d", amount) and amount != "-0.00" for amount in amounts)


def test_every_figure_a_sentence_rests_on_is_a_reason(item):
    found = REPORT.dump((item, "full"))
    addresses = set()

    def walk(node):
        addresses.add(node["figure"])
        for part in node["parts"]:
            walk(part)

    walk(found["reasons"])
    for sentence in found["rationale"]:
        assert addresses.issuperset(sentence["figures"])


def test_without_a_price_there_is_null_and_not_nought():
    found = VALUE.dump((valued("bare"), None))
    assert found["value"] is None
    assert (found["left_alone"], found["taking"], found["option"]) == (None, None, None)
    assert found["share_of_new_pct"]["low"] <= found["share_of_new_pct"]["mid"] <= found["share_of_new_pct"]["high"]


def test_it_is_json_without_control_characters():
    text = dumps(REPORT.dump((valued("hostile"), "full")))
    assert json.loads(text)["identity"]["maker"].startswith("[/x]")
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", text)
    assert not re.search(r"\\u00[01]", text)


@pytest.mark.usefixtures("value_anew")
def test_the_same_seed_gives_the_same_bytes():
    def once(seed):
        return dumps(REPORT.dump((appraisal(grand(), load_tables(), file="g.toml", draws=100, seed=seed), "full")))

    assert once(7) == once(7)
    assert once(7) != once(8)


def test_several_cases_are_a_list():
    found = VALUES.dump([(valued("grand"), None), (valued("bare"), None)])
    assert found["schema"] == 2
    assert [entry["case"] for entry in found["cases"]] == ["grand.toml", "bare.toml"]


def test_a_figure_with_its_tree_cut_at_a_depth():
    item = valued("grand")
    node = item.figures.get("hammers.depreciation")
    assert node is not None
    shallow = WHY.dump((item, node, 0))["reason"]
    assert shallow["parts"] == []
    assert shallow["references"]
    deep = WHY.dump((item, node, None))["reason"]
    assert len(deep["parts"]) == len(node.parts)


@pytest.mark.parametrize("name", ["grand", "bare"])
def test_the_object_of_two_cases(name, json_snapshot):
    item = valued(name)
    assert golden(dumps({**VALUE.dump((item, None)), "tables_version": "TABLES"})) == json_snapshot
