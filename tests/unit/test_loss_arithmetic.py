"""Laws of the arithmetic of claims."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from appraise.engine.loss.arithmetic import (
    average_share,
    betterment,
    carriage_limit,
    diminution,
    is_total,
    payable,
    total_loss,
)
from appraise.engine.loss.matching import match_remarks, similarity
from appraise.explain.terms import limit_text
from appraise.model.case import Origin, Remark
from appraise.model.locale_format import PLAIN
from appraise.model.loss import RemarkClass
from appraise.tables.load import load_tables
from tests.helpers.depth import whole

AMOUNT = st.floats(0, 1e9, allow_subnormal=False)
SHARE = st.floats(0, 1, allow_subnormal=False)
TABLES = load_tables()


@given(AMOUNT, AMOUNT, AMOUNT, AMOUNT, st.none() | SHARE)
def test_payable_never_passes_the_loss_or_the_sum_insured(loss, insured, value, excess, spared):
    paid = payable(loss, sum_insured=insured, value_at_risk=value, excess=excess, spared_from=spared)
    assert 0.0 <= paid <= min(loss, insured)
    assert paid <= max(loss - excess, 0.0) + 1e-6


@given(AMOUNT, AMOUNT, AMOUNT, AMOUNT)
def test_payable_never_falls_with_a_greater_loss(loss, more, insured, value):
    terms = {"sum_insured": insured, "value_at_risk": value, "excess": 100.0}
    assert payable(loss + more, **terms) >= payable(loss, **terms)


DRAWN = st.floats(-1e6, 1e6, allow_subnormal=False)


@settings(max_examples=whole(4000, 200))
@given(DRAWN, DRAWN, DRAWN, st.none() | st.floats(0, 1e6, allow_subnormal=False), st.booleans())
def test_no_loss_is_above_the_value_before(before, after, salvage, cure, surrendered):
    drawn = [np.array([each]) for each in (before, after, salvage)]
    (fall,) = diminution(*drawn, None if cure is None else np.array([cure]))
    (total,) = total_loss(drawn[0], drawn[2], surrendered=surrendered)
    for loss in (fall, total):
        assert 0.0 <= loss <= max(before, 0.0)
    # Where the wreck brings something, no more than what it does not bring; its disposal is no part of the loss.
    assert fall <= max(before - max(salvage, 0.0), 0.0)
    room = max(before - max(salvage, 0.0), 0.0)
    if cure is not None:
        assert fall >= min(cure, room)
    assert fall >= min(before - after, room)
    assert fall <= total or not surrendered


@given(AMOUNT)
def test_without_a_policy_the_whole_loss_is_payable(loss):
    assert payable(loss) == loss
    assert payable(-loss) == 0.0


@given(AMOUNT, AMOUNT)
def test_average_is_a_share(insured, value):
    assert 0.0 <= average_share(insured, value) <= 1.0
    assert average_share(insured, value, spared_from=0.75) >= average_share(insured, value)


@given(AMOUNT, st.floats(-1, 2, allow_subnormal=False))
def test_betterment_lies_between_nothing_and_the_cost(cost, worn):
    assert 0.0 <= betterment(cost, worn) <= cost


@given(AMOUNT, AMOUNT, SHARE)
def test_a_dearer_repair_stays_a_total_loss(repair, value, share):
    if is_total(repair, value, share):
        assert is_total(repair * 2, value, share)


@given(st.floats(20, 2000), st.floats(20, 2000), st.sampled_from(["cmr_limit", "hague_visby_limit"]))
def test_a_heavier_piano_is_never_owed_less(one, two, rule):
    row = TABLES.carriage_rules[rule]
    light, heavy = sorted((one, two))
    assert carriage_limit(row, light, None).amount <= carriage_limit(row, heavy, None).amount


def test_a_limit_without_what_it_needs_says_so():
    rules = TABLES.carriage_rules
    assert carriage_limit(rules["cmr_limit"], None, 4.0).amount is None
    assert limit_text(carriage_limit(rules["hague_visby_limit"], None, None), PLAIN) == "needs the weight"
    assert limit_text(carriage_limit(rules["hgb_451e"], 480.0, None), PLAIN) == "needs the volume of the load space"


PLACES = ("finish", "casework", "case", "pedals", "plain_strings")
TEXTS = ("dent on the rim", "dent on the rim, sharp", "scratch at the tail", "lyre torn off", "", "[b]", "crack 4 mm")
REMARKS = st.lists(
    st.builds(
        Remark,
        place=st.sampled_from(PLACES),
        text=st.sampled_from(TEXTS),
        origin=st.sampled_from(list(Origin)),
        notes=st.lists(st.integers(1, 88), max_size=3, unique=True).map(tuple),
    ),
    max_size=6,
)


@given(REMARKS)
def test_identical_states_keep_every_remark(remarks):
    lines = match_remarks(remarks, remarks, TABLES)
    assert {line.outcome for line in lines} <= {RemarkClass.KEPT}
    assert len(lines) == len(remarks)


@given(REMARKS, REMARKS)
def test_every_remark_is_told_once(before, after):
    lines = match_remarks(before, after, TABLES)
    assert sorted(map(repr, filter(None, (line.before for line in lines)))) == sorted(map(repr, before))
    assert sorted(map(repr, filter(None, (line.after for line in lines)))) == sorted(map(repr, after))
    for line in lines:
        assert (line.before is None) == (line.outcome is RemarkClass.NEW)
        assert (line.after is None) == (line.outcome is RemarkClass.MENDED)


@given(REMARKS, REMARKS)
def test_without_the_one_state_all_is_new_and_without_the_other_all_is_mended(before, after):
    assert {line.outcome for line in match_remarks([], after, TABLES)} <= {RemarkClass.NEW}
    assert {line.outcome for line in match_remarks(before, [], TABLES)} <= {RemarkClass.MENDED}


@given(st.sampled_from(TEXTS) | st.text(max_size=40), st.sampled_from(TEXTS) | st.text(max_size=40))
def test_similarity_is_the_same_either_way(one, two):
    assert similarity(one, two) == similarity(two, one)
    assert similarity(one, one) == 1.0
    assert 0.0 <= similarity(one, two) <= 1.0


def pair(before: Remark, after: Remark, worse=()) -> RemarkClass:
    """Return what becomes of one remark that another follows."""
    first, *rest = match_remarks([before], [after], TABLES, worse)
    assert not rest, "they were not paired"
    return first.outcome


def test_what_makes_a_remark_worse():
    old = Remark("soundboard", "Crack below the tenor, 4 mm long, dusty", origin=Origin.BEFORE)
    assert pair(old, old) is RemarkClass.KEPT
    assert pair(old, Remark("soundboard", "Crack below the tenor, 9 mm long, dusty")) is RemarkClass.WORSE
    assert pair(old, Remark("soundboard", "Crack below the tenor, 3 mm long, dusty")) is RemarkClass.KEPT
    assert pair(old, Remark("soundboard", old.text, origin=Origin.TRANSIT)) is RemarkClass.WORSE
    wires = Remark("damper_action", "Wires bent", notes=(30, 33))
    assert pair(wires, Remark("damper_action", "Wires bent", notes=(30, 33, 36))) is RemarkClass.WORSE
    assert pair(wires, Remark("damper_action", "Wires bent", notes=(30,))) is RemarkClass.KEPT


def test_other_words_are_worse_only_where_a_check_says_so():
    old, told = Remark("finish", "Two scratches at the tail, polished over"), "Two bright scratches at the tail, fresh"
    assert pair(old, Remark("finish", told)) is RemarkClass.KEPT
    assert pair(old, Remark("finish", told), {"finish"}) is RemarkClass.WORSE


def test_remarks_of_two_stations_are_never_one():
    before, after = Remark("finish", "Crack"), Remark("soundboard", "Crack")
    assert [line.outcome for line in match_remarks([before], [after], TABLES)] == [RemarkClass.NEW, RemarkClass.MENDED]


def classes(before, after, **more):
    """Return what became of the remarks of two states, in the order told."""
    return [line.outcome for line in match_remarks(before, after, TABLES, **more)]


WHOLE = Remark("finish", "Two scratches at the tail, polished over; hairline crack in the polyester at the music desk")
PARTS = [
    Remark("finish", "Scratches at the tail, polished over"),
    Remark("finish", "Hairline crack in the polyester at the music desk"),
]


def test_a_remark_told_in_parts_is_the_same():
    assert classes([WHOLE], PARTS) == [RemarkClass.KEPT, RemarkClass.KEPT]
    assert classes(PARTS, [WHOLE]) == [RemarkClass.KEPT, RemarkClass.KEPT]


def test_a_part_put_down_to_the_move_is_new():
    fresh = Remark("finish", PARTS[1].text, origin=Origin.TRANSIT)
    assert classes([WHOLE, PARTS[1]], [PARTS[1], fresh]) == [RemarkClass.KEPT, RemarkClass.WORSE]
    assert classes([WHOLE], [WHOLE, fresh]) == [RemarkClass.KEPT, RemarkClass.NEW]


def test_a_part_elsewhere_or_at_other_notes_is_new():
    assert classes([WHOLE], [PARTS[0], Remark("soundboard", PARTS[1].text)])[1] is RemarkClass.NEW
    assert classes([WHOLE], [PARTS[0], Remark("finish", PARTS[1].text, notes=(3,))])[1] is RemarkClass.NEW


def test_what_was_ticked_goes_before_the_words():
    old = [Remark("finish", "Scratch at the tail"), Remark("casework", "Dent on the bass cheek")]
    told = Remark("soundboard", "Something else altogether", earlier=1, worse=True)
    lines = match_remarks(old, [told], TABLES, mended=[2])
    assert [(line.outcome, line.ticked) for line in lines] == [(RemarkClass.WORSE, True), (RemarkClass.MENDED, True)]
    assert lines[0].before is old[0]


def test_a_tick_of_kept_stands_although_a_figure_grew():
    old = Remark("soundboard", "Crack, 4 mm long")
    assert classes([old], [Remark("soundboard", "Crack, 9 mm long", earlier=1)]) == [RemarkClass.KEPT]


def test_one_earlier_remark_may_go_on_in_two_and_a_number_there_is_not_is_passed_over():
    old = [Remark("finish", "Scratches")]
    after = [Remark("finish", "One", earlier=1), Remark("case", "Two", earlier=1), Remark("keys", "Three", earlier=9)]
    assert classes(old, after) == [RemarkClass.KEPT, RemarkClass.KEPT, RemarkClass.NEW]


WORDS = ("crack", "dent", "scratch", "along", "bass", "treble", "cheek", "tail", "4", "9", "fresh")
REMARK = st.builds(
    Remark,
    st.sampled_from(["finish", "casework", "case", "soundboard"]),
    st.lists(st.sampled_from(WORDS), min_size=1).map(" ".join),
    origin=st.sampled_from(list(Origin)),
    notes=st.lists(st.integers(1, 88), max_size=2).map(tuple),
    earlier=st.none() | st.integers(1, 6),
)


@given(st.lists(REMARK, max_size=5), st.lists(REMARK, max_size=5), st.sets(st.integers(1, 6)))
def test_every_remark_of_both_states_is_told(before, after, mended):
    lines = match_remarks(before, after, TABLES, mended=mended)
    assert [line.after for line in lines[: len(after)]] == after
    told = [line.before for line in lines if line.before is not None]
    assert all(any(each is remark for each in told) for remark in before)
    for line in lines:
        assert (line.before is None) == (line.outcome is RemarkClass.NEW)
        assert (line.after is None) == (line.outcome is RemarkClass.MENDED)
