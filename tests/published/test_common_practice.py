"""Facts of the trade against the grades that the shipped tables give.

Every fact here is common practice, no source, and the figures are from memory or from talk among technicians: what they
call right, what they call doubtful, and what they call a fault. A reading goes through the units, the anchors of its
check and the check's cap; a grade is read in half steps: 1 and 1.5 are as it should be, 2 is sound, 3 wants attention,
4 and worse is a fault.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from appraise.engine.grade import anchored
from appraise.engine.subject import service_life
from appraise.model.case import Assignment, Case, Circumstances, Identity, Kind
from appraise.model.quantities import to_base

RIGHT = (1.0, 1.5)
SOUND = (1.0, 2.0)
DOUBTFUL = (2.5, 3.5)
FAULT = (4.0, 5.0)
NOT_RIGHT = (2.5, 5.0)

FACTS = [
    # Touch.
    ("downweight_grand", 50, "g", (1.0, 1.0), "about-50-g-is-right"),
    ("downweight_grand", 55, "g", RIGHT, "mid-fifties-in-the-bass"),
    ("downweight_grand", 45, "g", RIGHT, "mid-forties-in-the-treble"),
    ("downweight_grand", 70, "g", NOT_RIGHT, "seventy-is-heavy"),
    ("downweight_grand", 36, "g", NOT_RIGHT, "thirty-six-is-too-light"),
    ("upweight", 25, "g", (1.0, 1.0), "25-g-in-the-treble"),
    ("upweight", 20, "g", RIGHT, "20-g-at-least-in-the-bass"),
    ("upweight", 14, "g", NOT_RIGHT, "14-g-is-sluggish"),
    ("touch_friction", 12, "g", (1.0, 1.0), "about-12-g-is-normal"),
    ("balance_weight", 38, "g", (1.0, 1.0), "concert-grand-lower-figure"),
    ("balance_weight", 40, "g", (1.0, 1.0), "concert-grand-upper-figure"),
    ("keystick_friction", 2, "g", RIGHT, "one-to-three-is-low"),
    ("keystick_friction", 4.5, "g", SOUND, "three-to-six-is-medium"),
    ("keystick_friction", 8, "g", NOT_RIGHT, "over-six-is-high"),
    # Action centres.
    ("centre_friction_grand", 2, "g", RIGHT, "two-to-five-grams-lower-end"),
    ("centre_friction_grand", 4, "g", (1.0, 1.0), "two-to-five-grams-middle"),
    ("centre_friction_grand", 5, "g", SOUND, "two-to-five-grams-upper-end"),
    ("centre_swings_grand", 6, "swings", RIGHT, "six-swings-in-the-bass"),
    ("centre_swings_grand", 5, "swings", RIGHT, "five-swings-in-the-middle"),
    ("centre_swings_grand", 4, "swings", RIGHT, "four-swings-in-the-treble"),
    ("centre_swings_grand", 9, "swings", NOT_RIGHT, "nine-swings-are-very-free"),
    # Regulation.
    ("blow_distance", 44, "mm", RIGHT, "grand-lower-figure"),
    ("blow_distance", 46, "mm", (1.0, 1.0), "middle-figure"),
    ("blow_distance", 48, "mm", RIGHT, "grand-and-upright-upper-figure"),
    ("let_off_grand", 1.5, "mm", (1.0, 1.0), "lower-figure"),
    ("let_off_grand", 2.5, "mm", (1.0, 1.0), "upper-figure"),
    ("let_off_grand", 0, "mm", NOT_RIGHT, "hammer-blocks"),
    ("let_off_upright", 3, "mm", (1.0, 1.0), "upper-figure"),
    ("drop", 1.5, "mm", (1.0, 1.0), "one-to-two-millimetres"),
    ("aftertouch", 1, "mm", (1.0, 1.0), "about-one-millimetre"),
    ("checking_distance", 15, "mm", (1.0, 1.0), "about-15-mm"),
    ("checking_distance", 40, "mm", NOT_RIGHT, "hardly-checks"),
    ("rest_rail_grand", 0, "mm", NOT_RIGHT, "hammers-must-not-lie-on-the-rail"),
    ("rest_rail_grand", 3, "mm", (1.0, 1.0), "shanks-clear-the-rail"),
    ("lost_motion", 0, "mm", (1.0, 1.0), "none"),
    ("hammer_flat", 13, "mm", NOT_RIGHT, "half-an-inch-flat-is-worn"),
    # Keys.
    ("key_dip", 10, "mm", (1.0, 1.0), "ten-millimetres"),
    ("key_dip", 9.8, "mm", RIGHT, "ten-less-two-tenths"),
    ("key_dip", 10.2, "mm", RIGHT, "ten-and-two-tenths"),
    ("key_dip", 9.5, "mm", (1.0, 3.0), "least-a-maker-gives"),
    ("key_dip", 11, "mm", (1.0, 3.0), "most-a-maker-gives"),
    ("key_height", 0, "mm", (1.0, 1.0), "at-the-makers-figure"),
    # Pin block and pins.
    ("pin_torque", 80, "in·lb", RIGHT, "new-80"),
    ("pin_torque", 100, "in·lb", (1.0, 1.0), "new-100"),
    ("pin_torque", 120, "in·lb", (1.0, 1.0), "new-120"),
    ("pin_torque", 140, "in·lb", (1.0, 1.0), "new-140"),
    ("pin_torque", 60, "in·lb", SOUND, "used-60-is-sound"),
    ("pin_torque", 50, "in·lb", DOUBTFUL, "used-50-gives-concern"),
    ("pin_torque", 35, "in·lb", (3.0, 4.0), "used-35-is-marginal"),
    ("pin_torque", 25, "in·lb", (4.5, 5.0), "25-will-not-hold"),
    ("pin_torque", 15, "in·lb", (4.5, 5.0), "15-will-not-hold"),
    ("pin_size", 0.276, "in", RIGHT, "1-0-original"),
    ("pin_size", 0.282, "in", RIGHT, "2-0-original"),
    ("pin_size", 0.291, "in", FAULT, "4-0-leaves-no-further-restringing"),
    ("coil_height", 0.25, "in", (1.0, 1.0), "quarter-inch-left-when-new"),
    ("coil_height", 0, "mm", FAULT, "coils-on-the-plate"),
    # Strings.
    ("pitch_a4", 0, "cents", (1.0, 1.0), "at-pitch"),
    ("pitch_a4", 5, "cents", (1.0, 1.0), "five-cents-sharp-is-fine"),
    ("pitch_a4", -5, "cents", (1.0, 1.0), "five-cents-flat-is-fine"),
    ("pitch_a4", -20, "cents", SOUND, "twenty-flat-one-quick-pass"),
    ("pitch_a4", -60, "cents", DOUBTFUL, "sixty-flat-needs-a-raise"),
    ("bass_tension_share", 59, "%", (1.0, 1.0), "59-percent-of-breaking-is-safe"),
    ("bass_tension_share", 71, "%", (3.0, 5.0), "70-percent-is-the-usual-ceiling"),
    # Soundboard.
    ("crown", 3, "mm", (1.0, 1.0), "three-millimetres-strung-is-great"),
    ("crown", 0, "mm", DOUBTFUL, "flat-alone-condemns-no-board"),
    ("downbearing", 1, "deg", (1.0, 1.0), "one-degree"),
    ("downbearing", 0, "deg", FAULT, "none-left"),
    ("downbearing", -0.2, "deg", FAULT, "negative"),
    # Dampers.
    ("damper_bleed", 1, "s", SOUND, "one-second-is-allowed"),
    ("damper_bleed", 3, "s", NOT_RIGHT, "three-seconds-are-not"),
]

WORDS = [
    # (check, column, what the row must say).
    pytest.param("back_check_leather", "how", "two thirds", id="hammers-check-at-two-thirds"),
    pytest.param("damper_key_lift", "how", "half the stroke", id="dampers-lift-at-half-stroke"),
    pytest.param("repetition_spring", "how", "as fast as it can without being felt", id="repetition-spring"),
    pytest.param("rest_rail_grand", "row_note", "must not lie on the rest rail", id="rest-rail"),
    pytest.param("damper_felts_record", "row_note", "about note 33", id="half-wedge-dampers-to-33"),
    pytest.param("damper_felts_record", "row_note", "45 or 49", id="half-wedge-dampers-further"),
    pytest.param("downweight_grand", "row_note", "about 50 g", id="downweight-50"),
    pytest.param("coverings_lifting", "row_note", "drying", id="keytops-lifting-at-the-back"),
    pytest.param("holding_test", "row_note", "hold matters more than torque", id="hold-before-torque"),
]

HOURS = [
    # (remedy, hours that a practised hand gives: common practice).
    pytest.param("keys_rebush", "4", id="specialist"),
    pytest.param("centres_repin", "4", id="hammer-flanges"),
    pytest.param("plastic_parts_replace", "5", id="elbows"),
    pytest.param("back_reglue", "6", id="one-back-of-13-mm"),
    pytest.param("bass_bridge_reglue", "6", id="one-apron"),
    pytest.param("damper_felt_new_grand", "9", id="more-than-a-day"),
]

PLANS = [
    # Years after which colleges have planned renewal in practice rooms.
    pytest.param("plain_strings", 18, id="restring-at-18"),
    pytest.param("hammers", 12, id="hammers-at-12"),
    pytest.param("damper_felt", 12, id="dampers-at-12"),
    pytest.param("key_bushings", 3, id="bushings-at-3"),
    pytest.param("regulation", 6, id="regulation-at-6"),
    pytest.param("regulation", 3, id="regulation-at-3"),
]


def grade_of(tables, key, value, unit):
    """Return the grade in half steps of one reading."""
    check = tables.checks[key]
    reading, base = to_base(value, unit)
    assert base == check.unit
    assert check.plausible is None or check.plausible[0] <= reading <= check.plausible[1]
    return round(2 * min(anchored(reading, check.anchors), check.cap)) / 2


@pytest.mark.parametrize(
    ("key", "value", "unit", "band"), [pytest.param(*fact[:4], id=f"{fact[0]}-{fact[4]}") for fact in FACTS]
)
def test_reading(tables, key, value, unit, band):
    assert band[0] <= grade_of(tables, key, value, unit) <= band[1]


@pytest.mark.parametrize("grams", [30, 40, 44, 56, 60, 70, 90])
def test_no_downweight_grades_better_than_about_fifty(tables, grams):
    assert grade_of(tables, "downweight_grand", 50, "g") <= grade_of(tables, "downweight_grand", grams, "g")


@pytest.mark.parametrize("dip", [8.5, 9.0, 9.5, 11.0, 11.5, 12.0])
def test_no_dip_grades_better_than_ten_millimetres(tables, dip):
    assert grade_of(tables, "key_dip", 10, "mm") <= grade_of(tables, "key_dip", dip, "mm")


@pytest.mark.parametrize(("key", "column", "text"), WORDS)
def test_row_says_so(tables, key, column, text):
    assert text in getattr(tables.checks[key], column)


def test_checking_high_halfway_and_low_are_three_grades(tables):
    # Two thirds up is right, halfway is tolerable, lower is poor.
    words = dict(tables.checks["back_check_leather"].words)
    high, halfway, low = (
        next(grade for grade, text in words.items() if what in text) for what in ("high", "halfway", "low")
    )
    assert high < halfway < low


@pytest.mark.parametrize(("remedy", "hours"), HOURS)
def test_hours_lie_within_the_row(tables, remedy, hours):
    row = tables.remedies[remedy]
    assert row.hours_low <= Fraction(hours) <= row.hours_high


@pytest.mark.parametrize(("component", "years"), PLANS)
def test_college_plan_lies_within_institutional_life(tables, component, years):
    case = Case(Identity(Kind.GRAND), Assignment(date(2026, 11, 20)), circumstances=Circumstances(use="institutional"))
    _, life = service_life(tables.components[component], case, tables)
    assert life.low <= years <= life.high
