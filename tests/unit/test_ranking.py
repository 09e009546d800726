"""What a dealer can offer: the margin kept as often as stated, and laws that hold whatever the case."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from appraise.engine import costs as costing
from appraise.engine.ranking import highest_offer, residual_setup, trade_in
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, worths
from appraise.engine.valuation import value_case
from appraise.model.case import Grade
from appraise.model.ranking import Candidate
from appraise.report.ranking import TAKEN, adds_up, apart, flat, from_tables, unstated
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.cases import cases
from tests.helpers.depth import examples

TABLES = load_tables()
DRAWS = 96
SLACK = 1e-6
SAMPLES = sorted(data_folder("sample_cases").glob("*.toml"))

priced = cases(TABLES, priced=True)


def with_margin(case, pct):
    return replace(case, costs=replace(case.costs, margin_pct=pct))


def rooms(case, margin_share, draws, seed):
    """What can be paid in every draw [money], drawn anew at this margin [–]: with the margin kept, and with nothing.

    The margin is kept of what the parts bring as well, and removal is paid in full. Both are asked for at once, for
    the gain between two price levels hangs on the levels searched.
    """
    source = Sampler(seed, draws)
    setup = residual_setup(with_margin(case, 100.0 * margin_share), TABLES, "retail", source)
    world, off = draw_world(setup, source), setup.taking
    removal = costing.removal(case, TABLES)
    parts = (world.salvage + removal) * (1.0 - margin_share) - removal
    kept = replace(world, market=replace(world.market, salvage=parts))
    whole = 1.0 - off.holding_share - off.guarantee_share
    both = worths(setup, [(kept, whole - margin_share, off.flat), (world, whole, off.flat)])
    return tuple(found.value for found in both)


@given(priced, st.floats(0.05, 0.95), st.integers(0, 50))
def test_the_offer_keeps_the_margin_as_often_as_stated(case, probability, seed):
    found = trade_in(case, TABLES, probability=probability, draws=DRAWS, seed=seed)
    room, net = rooms(case, found.margin_share, DRAWS, seed)
    slack = SLACK * max(1.0, float(np.abs(room).max()))
    assert np.mean(room >= found.offer - slack) >= probability - 1e-9
    assert np.mean(net < found.offer - slack) <= found.risk <= np.mean(net < found.offer + slack)
    assert found.profit == found.margin


@given(priced, st.floats(0.05, 0.95))
def test_no_higher_offer_keeps_it(case, probability):
    found = trade_in(case, TABLES, probability=probability, draws=DRAWS)
    room, _ = rooms(case, found.margin_share, DRAWS, found.seed)
    step = value_case(case, TABLES, draws=DRAWS).step
    higher = found.offer + step * (1.0 + 1e-6) + SLACK * max(1.0, float(np.abs(room).max()))
    assert np.mean(room >= higher) < probability + 1.0 / DRAWS


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_nine_times_out_of_ten_is_the_low_end_of_the_trade_in_range(path):
    case, _ = read_case(path, TABLES)
    case = replace(case, assignment=replace(case.assignment, basis="trade_in"))
    valued = value_case(case, TABLES)
    found = trade_in(case, TABLES, probability=0.9)
    if found.course == "part_out":  # the offer keeps a margin of the parts, which the value does not
        assert found.offer <= valued.value.low + valued.step * 1.01
    else:
        assert found.offer == pytest.approx(valued.value.low, abs=valued.step * 1.01)


@given(priced, st.floats(0.0, 50.0), st.floats(0.5, 50.0))
def test_a_dearer_margin_never_raises_the_offer(case, pct, more):
    low, high = (trade_in(with_margin(case, each), TABLES, draws=DRAWS) for each in (pct, pct + more))
    assert high.offer <= low.offer
    assert high.risk <= low.risk


@given(priced, st.data())
def test_a_worse_grade_never_raises_the_offer(case, data):
    keys = [key for key, row in TABLES.components.items() if case.identity.kind in row.kinds]
    component = data.draw(st.sampled_from(keys))
    low, high = sorted(data.draw(st.lists(st.integers(2, 10), min_size=2, max_size=2, unique=True)))
    others = tuple(grade for grade in case.grades if grade.component != component)
    offers = [
        trade_in(
            replace(case, grades=(*others, Grade(half / 2, component=component, reason="seen"))), TABLES, draws=DRAWS
        ).offer
        for half in (low, high)
    ]
    assert offers[1] <= offers[0]


@given(priced, st.floats(0.05, 0.9), st.floats(0.01, 0.09))
def test_more_sureness_never_raises_the_offer(case, probability, more):
    first, surer = (trade_in(case, TABLES, probability=each, draws=DRAWS) for each in (probability, probability + more))
    assert surer.offer <= first.offer
    assert surer.margin_kept >= first.margin_kept
    assert surer.risk <= first.risk


@given(priced)
def test_the_basis_of_the_case_does_not_matter(case):
    assume(TABLES.bases[case.assignment.basis].method != "residual")
    other = replace(case, assignment=replace(case.assignment, basis="trade_in"))
    assert trade_in(case, TABLES, draws=DRAWS) == trade_in(other, TABLES, draws=DRAWS)


def test_one_that_is_parted_out_shows_what_its_parts_bring():
    """No resale, carriage or holding of an instrument that nobody puts up for sale; the parts keep a margin too."""
    case, _ = read_case(next(path for path in SAMPLES if path.stem == "cracked_plate_grand"), TABLES)
    found = trade_in(case, TABLES)
    assert found.course == "part_out"
    source = Sampler(found.seed, found.draws)
    salvage = draw_world(residual_setup(case, TABLES, "retail", source), source).salvage
    assert found.resale.mid == pytest.approx(float(np.median(salvage)))
    assert (found.work.mid, found.carriage, found.preparation, found.guarantee, found.holding) == (0.0,) * 5
    assert (found.plan, found.share_of_retail) == ((), None)
    assert found.offer < found.resale.mid


def test_costs_that_the_case_leaves_out_are_the_tables():
    case, _ = read_case(next(path for path in SAMPLES if path.stem == "trade_in_grand"), TABLES)
    assert trade_in(case, TABLES, draws=DRAWS).not_stated == ("preparation", "guarantee")
    none = replace(case.costs, labour_rate=None, carriage=None, holding=None)
    found = trade_in(replace(case, costs=none), TABLES, draws=DRAWS)
    assert found.not_stated == ("labour_rate", "carriage", "preparation", "guarantee", "holding")
    assert found.work.mid == 0.0
    # Without a rate the tables' hour is a share of the price new; carriage goes in and to the next owner.
    hour = case.market.cost_new * TABLES.setting("hour_of_new_grand")
    assert found.carriage == pytest.approx(2.0 * TABLES.setting("carriage_hours_grand") * hour)
    assert found.holding == pytest.approx(TABLES.setting("holding_share") * found.resale.mid)
    row = flat(ranked(found))
    assert from_tables(row) == ["carriage", "preparation", "guarantee", "holding"]
    assert unstated(row, "work")
    every = replace(case.costs, carriage=Decimal(0), preparation=Decimal(0), guarantee=Decimal(150))
    free = trade_in(replace(case, costs=every), TABLES, draws=DRAWS)
    assert free.not_stated == ()
    assert free.guarantee == 150.0


def ranked(trade):
    return Candidate("x.toml", "grand", "", "", None, "", "0" * 64, "0", trade)


@settings(max_examples=examples(500))
@given(priced, st.sampled_from(["retail", "private_sale"]), st.floats(0.05, 0.95), st.floats(0.0, 60.0))
def test_every_row_adds_up_to_the_unit(case, resale, probability, margin):
    """The residual method: what is left of the resale once everything is paid is the margin, course by course."""
    trade = trade_in(with_margin(case, margin), TABLES, resale=resale, probability=probability, draws=64)
    row = flat(ranked(trade))
    money = [row[key] for key in ("offer", "resale", *TAKEN, "margin", "expected_profit")]
    assert all(isinstance(amount, int) for amount in money)
    assert row["offer"] == row["resale"] - sum(row[key] for key in TAKEN) - row["margin"]
    assert row["expected_profit"] == row["margin"]
    # Rounding moves no figure of the engine by a unit, and the margin by no more than the others together.
    exact = [trade.offer, trade.resale.mid, trade.work.mid, trade.carriage, trade.preparation, trade.guarantee]
    for amount, each in zip(money, [*exact, trade.holding], strict=False):
        assert abs(amount - each) <= 1.0
    assert abs(row["margin"] - trade.margin) <= 4.5
    # And so the sentence that people read.
    figures = [float(text.replace(",", "").replace("−", "-")) for text in re.findall(r"−?\d[\d,]*", adds_up(row))]
    signs = [-1 if sign == "−" else 1 for sign in re.findall(r" ([−+]) ", adds_up(row))]
    assert figures[0] == figures[1] + sum(sign * figure for sign, figure in zip(signs, figures[2:], strict=True))
    if row["course"] == "part_out":
        assert not any(row[key] for key in TAKEN)


@pytest.mark.parametrize(("offer", "share", "way"), [(9000, 6700, "below"), (4000, 6100, "above"), (-50, 10, "above")])
def test_an_offer_far_from_the_usual_share_says_so(offer, share, way):
    row = {"offer": offer, "share_of_retail": share, "currency": "EUR"}
    assert f"more than a third {way} the offer" in apart(row)
    assert apart({**row, "offer": share}) == apart({**row, "offer": share * 4 // 3}) == ""
    assert apart({**row, "share_of_retail": None}) == ""


def test_a_private_resale_brings_less_than_retail():
    case, _ = read_case(next(path for path in SAMPLES if path.stem == "trade_in_grand"), TABLES)
    retail, private = (trade_in(case, TABLES, resale=resale) for resale in ("retail", "private_sale"))
    assert private.resale.mid == pytest.approx(retail.resale.mid * TABLES.bases["private_sale"].typical, rel=0.05)
    assert private.offer < retail.offer


@pytest.mark.parametrize("wrong", [0.0, 1.0, -0.1, 1.5, float("nan")])
def test_a_probability_lies_between(wrong):
    case, _ = read_case(SAMPLES[0], TABLES)
    with pytest.raises(ValueError, match="probability"):
        trade_in(case, TABLES, probability=wrong)


def test_a_resale_takes_place_on_a_market():
    case, _ = read_case(SAMPLES[0], TABLES)
    with pytest.raises(ValueError, match="market"):
        trade_in(case, TABLES, resale="like_for_like")


def test_few_draws_are_counted_not_interpolated():
    room = np.array([40.0, 10.0, 30.0, 20.0, 50.0])
    assert [highest_offer(room, share, 1.0) for share in (0.99, 0.8, 0.79, 0.6, 0.2, 0.01)] == [10, 20, 20, 30, 50, 50]
    assert highest_offer(room - 100.0, 0.8, 7.0) == -84.0


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_how_much_was_looked_at_is_what_the_valuation_says(path):
    case, _ = read_case(path, TABLES)
    found = value_case(case, TABLES, draws=DRAWS)
    parts = [part for station in found.stations for part in station.components]
    share = sum(part.share * part.inspected for part in parts)
    assert trade_in(case, TABLES, draws=DRAWS).looked_at == pytest.approx(share)
    assert (share < 0.01) == (path.stem == "barely_inspected_upright")
