"""The sample cases: each reads without a problem, is invented and says so, and its valuation tells its story."""

from functools import cache

import pytest

from appraise.engine.valuation import value_case
from appraise.model.case import STATIONS, Kind, Origin
from appraise.store.read import read_case
from appraise.store.write import write_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from appraise.tables.rows import CheckKind

FOLDER = data_folder("sample_cases")
NAMES = sorted(path.stem for path in FOLDER.glob("*.toml"))
MAKERS = {
    "Brindlequist",
    "Calverosse",
    "Dunmarrow",
    "Merrowick",
    "Orvendal",
    "Ostravell",
    "Pellardine",
    "Thornquill & Dasse",
    "Veyrold",
}
"""All invented."""


@cache
def our_tables():
    return load_tables()


@cache
def read(name):
    return read_case(FOLDER / f"{name}.toml", our_tables())


@cache
def valued(name):
    return value_case(read(name)[0], our_tables(), draws=512)


def relative_width(name):
    exact = valued(name).exact
    return exact.width / abs(exact.mid)


def chosen(name):
    return {item.remedy for item in valued(name).work if item.chosen}


def share_of_checks_made(name):
    case, tables = read(name)[0], our_tables()
    rows = [
        row for row in tables.checks.values() if case.identity.kind in row.kinds and row.kind is not CheckKind.RECORD
    ]
    made = {reading.check for reading in case.readings} | {grade.check for grade in case.grades}
    return sum(row.key in made for row in rows) / len(rows)


def test_grands_and_uprights_are_there():
    kinds = [read(name)[0].identity.kind for name in NAMES]
    assert kinds.count(Kind.GRAND) >= 4
    assert kinds.count(Kind.UPRIGHT) >= 4


@pytest.mark.parametrize("name", NAMES)
def test_reads_without_a_problem(name):
    case, problems = read(name)
    assert problems == []
    assert case is not None


@pytest.mark.parametrize("name", NAMES)
def test_says_that_it_is_invented(name):
    case, _ = read(name)
    first = (FOLDER / f"{name}.toml").read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("# Everything in this file is invented")
    assert "Harrowmere" in first
    assert case.invented.startswith("Everything in this file is invented")
    assert case.identity.maker in MAKERS
    assert case.market.replacement_source.startswith("Invented")
    assert all(comparable.source.startswith("Invented") for comparable in case.market.comparables)


@pytest.mark.parametrize("name", NAMES)
def test_a_save_changes_nothing(name, tmp_path):
    content = (FOLDER / f"{name}.toml").read_bytes()
    copy = tmp_path / "case.toml"
    copy.write_bytes(content)
    write_case(copy, read(name)[0], our_tables())
    assert copy.read_bytes() == content
    assert [path.name for path in tmp_path.iterdir()] == ["case.toml"]


@pytest.mark.parametrize("name", NAMES)
def test_the_range_is_in_order_and_never_below_salvage(name):
    valuation = valued(name)
    assert valuation.value.low <= valuation.value.mid <= valuation.value.high
    assert valuation.exact.low >= valuation.salvage.low
    assert valuation.exact.mid >= valuation.salvage.mid
    assert valuation.exact.high >= valuation.salvage.high


def test_a_recent_grand_thoroughly_inspected():
    valuation = valued("recent_grand")
    assert 0.75 <= share_of_checks_made("recent_grand") <= 0.85
    assert valuation.share_of_new.mid > 0.85
    assert valuation.best == "left_alone"
    assert chosen("recent_grand") == set()
    assert valuation.market_factor_from == "comparables"


def test_a_grand_renewed_in_two_stages():
    name = "renewed_grand"
    valuation, case = valued(name), read(name)[0]
    assert valuation.component("plain_strings").age_evidence == "renewal"
    assert valuation.component("hammers").age_evidence == "clues"
    assert valuation.component("wippens").age_evidence == "made"
    # The cream felt says 10 to 35 years and the bright cloth at most 15.
    assert 10 <= valuation.component("hammers").age_years.mid <= 15
    assert len({renewal.by for renewal in case.renewals if "orkshop" in renewal.by}) == 2
    assert valuation.best == "after_work"
    assert {"hammers_reshape", "regulate_grand"} <= chosen(name)
    assert chosen(name).isdisjoint({"refinish_grand", "soundboard_new_grand", "key_coverings_new", "restring_grand"})
    assert any(not item.curable and not item.chosen for item in valuation.work)
    assert 0.12 < valuation.value.mid / float(case.market.replacement_cost_new) < 0.4


def test_an_upright_from_a_dry_attic():
    valuation, case = valued("attic_upright"), read("attic_upright")[0]
    assert case.circumstances.climate == "dry_heated"
    assert sum(remark.origin is Origin.CLIMATE for remark in case.remarks) >= 4
    assert valuation.component("pin_block").governing == "pin_torque"
    assert valuation.component("pin_block").grade.mid > 4
    assert valuation.usability < 0.6
    # Nobody pays for it: to be rid of it costs money, and that is what it is worth.
    assert valuation.best == "salvage"
    assert valuation.value.mid < 0


def test_a_practice_upright_worn_by_use():
    name = "practice_upright"
    valuation = valued(name)
    assert valuation.station("structure").grade.mid < 2.5
    assert valuation.station("action").grade.mid - valuation.station("structure").grade.mid > 1.5
    assert valuation.component("key_bushings").grade.mid >= 4
    assert valuation.component("hammers").grade.mid >= 4
    domestic = our_tables().life("hammers", "")
    assert valuation.component("hammers").life_years.mid < domestic.typical / 2
    assert chosen(name).isdisjoint({"hammers_new_upright", "keys_rebush", "wippens_new_upright"})


def test_a_cracked_plate_leaves_little():
    name = "cracked_plate_grand"
    valuation, case = valued(name), read(name)[0]
    assert valuation.component("plate").governing == "plate_crack"
    assert valuation.component("plate").grade.mid == 5
    assert valuation.usability < 0.2
    assert valuation.value.mid < 0.1 * float(case.market.replacement_cost_new)
    # No cheap job may pass for the cure of a crack.
    assert not any(item.curable for item in valuation.work if "plate_refinish" in item.remedy)
    assert "plate_weld_grand" not in chosen(name)


def test_a_flood_spares_no_station():
    name = "flooded_hall_grand"
    valuation, case = valued(name), read(name)[0]
    assert valuation.basis == "like_for_like"
    assert valuation.component("flood_damage").governing == "flood_line"
    assert valuation.component("flood_damage").usability < 0.1
    for component in ("rim_and_posts", "bridges", "soundboard", "ribs_and_glue", "key_frame", "casework"):
        assert valuation.component(component).grade.mid >= 4, component
    assert valuation.value.mid < 0.25 * float(case.market.replacement_cost_new)


def test_what_was_hardly_inspected_has_the_widest_range():
    name = "barely_inspected_upright"
    valuation, case = valued(name), read(name)[0]
    assert not case.grades
    assert not case.readings
    assert all(valuation.station(station).inspected == 0 for station in STATIONS)
    for other in NAMES:
        if other != name and valued(other).best != "salvage":  # near nothing no width is relative to anything
            assert relative_width(other) < relative_width(name), other
            assert valued(other).share_of_new.width < valuation.share_of_new.width, other
    # Made at any time in more than fifty years: its age alone sets what it brings.
    assert valuation.drivers[0].input in {"general condition", "market factor", "made"}
    assert valuation.next_checks[0].narrows_pct > 2


def test_an_upright_best_sold_as_it_is():
    valuation = valued("sell_as_is_upright")
    assert valuation.best == "left_alone"
    assert valuation.work
    assert not any(item.chosen or item.curable for item in valuation.work)
    assert valuation.value.low > valuation.salvage.high


def test_before_and_after_a_removal():
    before, after = (read(name)[0] for name in ("removal_before", "removal_after"))
    assert before.identity == after.identity
    assert (before.market, before.costs, before.assignment.basis) == (
        after.market,
        after.costs,
        after.assignment.basis,
    )
    assert before.assignment.inspected < after.assignment.inspected
    # What was there before is still there; a mark may have been photographed anew.
    seen = {(remark.place, remark.text) for remark in before.remarks}
    assert seen < {(remark.place, remark.text) for remark in after.remarks}
    assert all(remark.origin is Origin.BEFORE for remark in before.remarks)
    new = [remark for remark in after.remarks if (remark.place, remark.text) not in seen]
    assert sum(remark.origin is Origin.TRANSIT for remark in new) >= 5
    values = [valued(name) for name in ("removal_before", "removal_after")]
    for component in ("legs_and_casters", "pedals", "key_frame", "damper_action", "lid_and_hardware"):
        assert values[1].component(component).grade.mid > values[0].component(component).grade.mid + 0.5, component
    assert values[1].value.mid < 0.95 * values[0].value.mid


def test_what_a_dealer_can_pay():
    valuation, case = valued("trade_in_grand"), read("trade_in_grand")[0]
    assert valuation.basis == "trade_in"
    assert valuation.currency == "GBP"
    assert case.costs.margin_pct
    assert case.costs.carriage
    assert case.costs.holding
    showroom = [
        line.adjusted
        for line, sold in zip(valuation.grid, case.market.comparables, strict=True)
        if sold.sale == "retail"
    ]
    # The lines are brought to what a dealer can pay, margin and costs taken off; the prices themselves are a
    # showroom's.
    assert valuation.value.mid == pytest.approx(min(showroom), rel=0.1)
    prices = [float(sold.price) for sold in case.market.comparables if sold.sale == "retail"]
    assert 0.2 * min(prices) < valuation.value.mid < 0.65 * min(prices)
