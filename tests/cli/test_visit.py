"""`appraise value --minutes, --asking, --skip`: the visit in words and as data."""

from __future__ import annotations

import json

import jsonschema
import pytest

from appraise.cli.schema import schema
from tests.cli.conftest import GOOD

FEW = ("--draws", 128)


def test_the_visit_is_said_with_what_it_promises(appraise, good):
    told = appraise("value", good, "--minutes", 30, *FEW)
    assert told.code == 0
    for words in (
        "Visit",
        "\n1. ",
        " minutes, narrows the range by ",
        ", in all by ",
        "These checks take",
        "narrow the range by about",
    ):
        assert words in told.out
    assert "asking price" not in told.out


def test_the_visit_as_data_fits_the_schema_and_the_minutes(appraise, good):
    told = appraise("value", good, "--minutes", 20, "--asking", 9000, "--json", *FEW)
    found = json.loads(told.out)
    jsonschema.validate(found, schema("value"))
    visit = found["visit"]
    assert visit["minutes"] == 20
    assert 0 < visit["takes_minutes"] == sum(check["minutes"] for check in visit["checks"]) <= 20
    assert visit["narrows_pct"] == visit["checks"][-1]["cumulative_pct"] > 0
    assert 0 <= visit["asking"]["chance_pct"] <= 100
    assert visit["asking"]["price"] == "9000.00"
    assert float(visit["asking"]["most_sure"]) <= float(visit["asking"]["most"])
    plain = json.loads(appraise("value", good, "--json", *FEW).out)
    assert "visit" not in plain
    jsonschema.validate(plain, schema("value"))


def test_an_asking_price_is_answered_in_words(appraise, good):
    value = json.loads(appraise("value", good, "--json", *FEW).out)["value"]
    told = appraise("value", good, "--asking", value["mid"], *FEW)
    assert told.code == 0
    assert "The chance that the instrument is worth the asking price of" in told.out
    assert "at most" in told.out
    assert "first (" in told.out
    wild = appraise("value", good, "--asking", 1e9, *FEW)
    assert "or more is 0%" in wild.out
    assert "None of the checks left is likely to change this answer." in wild.out


def test_a_skipped_check_is_left_out(appraise, good):
    def checks(*more):
        found = json.loads(appraise("value", good, "--minutes", 30, "--json", *FEW, *more).out)
        return [check["check"] for check in found["visit"]["checks"]]

    first = checks()[0]
    assert first not in checks("--skip", first)


@pytest.mark.parametrize(
    ("options", "wanted"),
    [
        (("--minutes", "0"), "a whole number from 1 to 1440"),
        (("--asking", "much"), "a price above 0"),
        (("--asking", "-1"), "a price above 0"),
        (("--minutes", "9", "--skip", "nothing_such"), "a row of the table `checks`"),
        (("--skip", "crown"), "expected the minutes of the visit"),
    ],
)
def test_options_that_do_not_fit_are_refused_in_one_line(appraise, good, options, wanted):
    told = appraise("value", good, *options)
    assert told.code == 2
    assert wanted in told.err.replace("\n", " ")
    assert told.out == ""


def test_an_asking_price_needs_a_value(appraise, tmp_path):
    path = tmp_path / "bare.toml"
    path.write_text(GOOD.partition("[market]")[0], encoding="utf-8")
    told = appraise("value", path, "--asking", 500)
    assert told.code == 2
    assert "market.replacement_cost_new" in told.err
