"""A transit claim worked by hand beside the program's figures: leg, scratches, two shanks, loose pins, two doubts.

Sources of the rules, as `test_claims` has them: pro-rata average, loss × sum insured / value at risk (Wikipedia,
"Condition of average"; a broker's page); new for old off the repair before the excess (2,000 − 200 − 500 = 1,300, a
public example); the measure, the lesser of repair and diminution and never more than the value before, is our
synthesis, and policies differ. Hours, shares for parts and the setup of each job are rows of `remedies.toml`, our
assumptions, written out here as they stood; the rate of 64.00 and the contingency of 10 % are the case's. The story
and its instrument are invented.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import cache

import pytest

from appraise.model.case import Reading, Remark
from appraise.model.claim import Claim, Finding, Origin
from appraise.model.loss import Doubt, Terms
from appraise.report.loss import costing, parts
from tests.report.test_loss import TABLES, found, sample

CENT = Decimal("0.01")
RATE = Decimal(64)
SUM_INSURED, EXCESS = Decimal(15_000), Decimal(250)

GRADES = {"legs_grand": 4.0}
COUNTS = {"scratches": 6.0, "pins_failed": 3.0, "board_cracks_tight": 2.0}
"""Answers of the arrival; before there were 2 old scratches, no loose pin, and 1 old hairline."""

STORY = (
    Remark("legs_and_casters", "Treble leg cracked through.", origin=Origin.TRANSIT),
    Remark("finish", "Four fresh scratches on the cheek.", origin=Origin.TRANSIT),
    Remark("wippens", "Two shanks snapped.", origin=Origin.TRANSIT, notes=(40, 41)),
    Remark("pin_block", "Three pins loose.", origin=Origin.TRANSIT),
    Remark("plate", "Dark line at the second strut.", finding=Finding.SUSPECTED, check="plate_crack"),
    Remark("soundboard", "A second crack, age not known."),
)


def cents(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


@cache
def story():
    before = sample("before")
    grades = tuple(replace(one, grade=GRADES.get(one.check, one.grade)) for one in before.grades)
    readings = tuple(replace(one, value=COUNTS.get(one.check, one.value)) for one in before.readings)
    after = replace(
        before,
        grades=grades,
        readings=(*readings, Reading("action_parts_mended", value=2.0)),
        remarks=(*before.remarks, *STORY),
        assignment=replace(before.assignment, inspected=date(2026, 11, 3), reported=None),
        claim=Claim(),
    )
    return found(before, after, Terms(sum_insured=SUM_INSURED, excess=EXCESS))


BY_HAND = (
    # Job, hours, share for parts [%]: hours and shares are the typical figures of remedies.toml.
    # Three pins: setup 0.50 h + 3 × 0.35 h = 1.55 h; parts 15 % of the 1.05 h on pins = 10.2 % of all.
    ("Fit single oversize pins", "1.55", "10.2"),
    # Two shanks: setup 0.50 h + 2 × 0.70 h = 1.90 h; parts 25 % of 1.40 h = 18.4 % of all.
    ("Replace single shanks, wippens or flanges", "1.90", "18.4"),
    # Scratches, whole: 6 h; parts (2 % + 5 %) / 2.
    ("Fill, touch up and level scratches", "6.00", "3.5"),
    # The leg: 3 h; parts (5 % + 20 %) / 2.
    ("Tighten and repair legs or toes", "3.00", "12.5"),
)
COSTS = {
    # 1.55 × 64 = 99.20; + 10.2 % = 10.12; contingency 10 % of 109.32 = 10.93
    "Fit single oversize pins": Decimal("120.25"),
    # 1.90 × 64 = 121.60; + 18.4 % = 22.37; 10 % of 143.97 = 14.40
    "Replace single shanks, wippens or flanges": Decimal("158.37"),
    # 6.00 × 64 = 384.00; + 3.5 % = 13.44; 10 % of 397.44 = 39.74
    "Fill, touch up and level scratches": Decimal("437.18"),
    # 3.00 × 64 = 192.00; + 12.5 % = 24.00; 10 % of 216.00 = 21.60
    "Tighten and repair legs or toes": Decimal("237.60"),
}
TOGETHER = Decimal("953.40")  # 120.25 + 158.37 + 437.18 + 237.60


def test_the_hand_adds_up():
    for job, hours, share in BY_HAND:
        labour = cents(Decimal(hours) * RATE)
        material = cents(Decimal(hours) * RATE * Decimal(share) / 100)
        assert labour + material + cents((labour + material) / 10) == COSTS[job]
    assert sum(COSTS.values()) == TOGETHER


def test_the_rows_are_the_ones_that_the_hand_used():
    rows = {row.label: row for row in TABLES.remedies.values() if "grand" in row.kinds}
    pins, shanks = rows["Fit single oversize pins"], rows["Replace single shanks, wippens or flanges"]
    assert (pins.setup_hours, pins.hours_typical) == (0.5, 0.35)
    assert (shanks.setup_hours, shanks.hours_typical) == (0.5, 0.7)
    for row, pieces, share in ((pins, 3, "10.2"), (shanks, 2, "18.4")):
        own = pieces * row.hours_typical
        middle = 50 * (row.parts_low + row.parts_high)
        assert round(middle * own / (own + row.setup_hours), 1) == float(share)
    costs = sample("before").costs
    assert (costs.labour_rate, costs.contingency_pct, costs.parts_rate, costs.overhead_pct) == (RATE, 10, None, None)


def test_the_bill_is_the_one_worked_by_hand():
    item = story()
    bill = costing.billed(item, item.proposed)
    assert [(line.job.label, str(line.hours), str(line.parts_pct)) for line in bill.lines] == list(BY_HAND)
    assert {line.job.label: line.cost for line in bill.lines} == COSTS
    assert (bill.cost, bill.betterment, bill.net) == (TOGETHER, 0, TOGETHER)
    assert item.proposed.repair.mid == pytest.approx(float(TOGETHER), rel=0.02)


def test_the_loss_is_no_less_than_the_cure_and_no_more_than_the_value():
    found_ = story().proposed
    assert found_.diminution.mid >= found_.net_repair.mid
    assert found_.loss.mid == min(found_.repair_route.mid, found_.diminution.mid)
    assert found_.loss.mid < story().loss.value_before.mid


def test_average_and_excess_in_this_order():
    item = story()
    loss = Decimal(str(item.proposed.loss.mid))
    at_risk = Decimal(str(item.loss.value_before.mid))
    # Average: loss × 15,000 / value at risk; then the excess of 250, borne by the insured.
    assert at_risk > SUM_INSURED
    by_hand = loss * SUM_INSURED / at_risk - EXCESS
    assert by_hand > 0
    assert item.proposed.payable.mid == pytest.approx(float(by_hand), abs=0.005)
    assert parts.working(item).endswith(f"= {cents(by_hand):,}")


def test_what_is_in_doubt_is_in_no_established_figure():
    doubts = {each.line.latest.text: each for each in story().loss.doubtful}
    crack, line = doubts["A second crack, age not known."], doubts["Dark line at the second strut."]
    assert (crack.doubt, line.doubt, line.probability) == (Doubt.UNKNOWN, Doubt.SUSPECTED, 0.5)
    for each in (crack, line):
        assert each.without == story().proposed.loss
        assert each.counted.mid > each.without.mid
    # A hairline that the ribs hold is no new soundboard; a cracked plate is most of the instrument.
    jobs = {job.remedy for job in story().loss.scenarios[-1].items}
    assert not any(job.startswith("soundboard_new") for job in jobs)
    assert crack.counted.mid < 2 * crack.without.mid
    assert line.counted.mid > 0.5 * story().loss.value_before.mid
