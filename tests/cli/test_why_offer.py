"""`why CASE offer`: the tree of the highest offer, held to the ranking's row."""

from __future__ import annotations

import json

import pytest

from tests.helpers.samples import copied_samples

FOLDER = copied_samples()
STEPS = ("work", "carriage", "preparation", "guarantee", "holding", "margin")


@pytest.mark.parametrize("terms", [(), ("--margin", "0.2"), ("--resale", "private_sale", "--probability", "0.9")])
@pytest.mark.parametrize("name", ["trade_in_grand", "attic_upright"])
def test_the_tree_of_the_offer_is_the_row_of_the_ranking(appraise, name, terms):
    case = FOLDER / f"{name}.toml"
    code, told, _ = appraise("rank", case, "--draws", "200", "--json", "--no-cache", *terms)
    assert code == 0
    (row,) = json.loads(told)["candidates"]
    code, told, _ = appraise("why", case, "offer", "--draws", "200", "--json", *terms)
    assert code == 0
    tree = json.loads(told)["reason"]
    parts = {part["figure"].removeprefix("offer."): part["value"] for part in tree["parts"]}
    assert tree["value"] == row["offer"] == parts["resale"] - sum(parts[key] for key in STEPS)
    assert {key: parts[key] for key in ("resale", *STEPS)} == {key: row[key] for key in ("resale", *STEPS)}
    assert parts["risk"] == pytest.approx(row["loss_risk_pct"] / 100.0)


def test_a_step_of_the_offer_has_its_rows(appraise):
    code, told, _ = appraise("why", FOLDER / "trade_in_grand.toml", "offer.preparation", "--draws", "200")
    assert code == 0
    assert "settings/preparation_hours_grand" in told


def test_terms_belong_to_the_offer_alone(appraise):
    code, _, told = appraise("why", FOLDER / "trade_in_grand.toml", "value", "--margin", "0.2")
    assert code == 2
    assert told == "appraise why: found --margin with value, expected it with offer alone\n"
