"""What a job takes on one instrument: worked by hand from an invented row for size, price class and pieces."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.engine.costs import job_costs, job_hours, offered, parts_share, pieces, rates
from appraise.engine.sampler import Sampler
from appraise.model.case import Assignment, Case, Costs, Identity, Kind, Reading
from appraise.tables.load import load_tables
from appraise.tables.rows import Standing
from appraise.tables.rows_worth import Remedy

TABLES = load_tables()

WHOLE = Remedy(
    table="remedies",
    key="whole",
    standing=Standing.OUR_ASSUMPTION,
    label="An invented job",
    kinds=(Kind.GRAND, Kind.UPRIGHT),
    hours_low=16,
    hours_typical=20,
    hours_high=30,
    parts_low=0.4,
    parts_high=0.8,
    improves={"plain_strings": 1},
    size_grand=((140, 0.8), (180, 1), (280, 1.5)),
    size_upright=((100, 0.9), (120, 1)),
)
PIECES = replace(
    WHOLE,
    key="pieces",
    hours_low=0.25,
    hours_typical=0.4,
    hours_high=0.7,
    parts_low=0.2,
    parts_high=0.4,
    causes=("strings_missing",),
    per="note",
    setup_hours=0.5,
    size_grand=(),
    size_upright=(),
)


def case(kind=Kind.GRAND, size=None, tier="", readings=(), **costs):
    return Case(
        Identity(kind, size_cm=size, tier=tier),
        Assignment(date(2026, 11, 20)),
        readings=tuple(readings),
        costs=Costs(labour_rate=Decimal(60), overhead_pct=0.0, contingency_pct=0.0, **costs),
    )


def cost(found, remedy):
    return float(job_costs(found, TABLES, [remedy], Sampler.centre())[remedy.key][0])


def counted(key, value, note=None):
    return Reading(key, float(value), note=note)


@pytest.mark.parametrize(
    ("kind", "size", "factor"),
    [
        (Kind.GRAND, None, 1.0),  # no size stated
        (Kind.GRAND, 180.0, 1.0),
        (Kind.GRAND, 160.0, 0.9),  # halfway between 140 and 180 cm: 0.8 + 0.5 · 0.2
        (Kind.GRAND, 230.0, 1.25),  # halfway between 180 and 280 cm: 1 + 0.5 · 0.5
        (Kind.GRAND, 120.0, 0.8),  # flat below
        (Kind.GRAND, 300.0, 1.5),  # flat beyond
        (Kind.UPRIGHT, 110.0, 0.95),  # by height: 0.9 + 0.5 · 0.1
    ],
)
def test_hours_grow_with_the_size(kind, size, factor):
    hours = job_hours(case(kind, size), WHOLE, TABLES)
    assert (hours.low, hours.mid, hours.high) == pytest.approx((16 * factor, 20 * factor, 30 * factor))


def test_a_large_grand_of_a_top_maker_by_hand():
    """230 cm, top maker, 60 an hour, nothing else charged.

    Hours:  20 h · 1.25                     = 25 h
    Labour: 25 h · 60                       = 1500
    Parts:  0.6 of labour · 2 for the class = 1.2
            1500 · 1.2                      = 1800
    Cost:   1500 + 1800                     = 3300
    A good maker's of 180 cm: 20 h · 60 · 1.6 = 1920
    """
    assert TABLES.market_factors["top"].parts == 2
    large = case(size=230.0, tier="top")
    assert job_hours(large, WHOLE, TABLES).mid == pytest.approx(25)
    share = parts_share(large, WHOLE, TABLES)
    assert (share.low, share.mid, share.high) == pytest.approx((0.8, 1.2, 1.6))
    assert cost(large, WHOLE) == pytest.approx(3300)
    assert cost(case(size=180.0, tier="good"), WHOLE) == pytest.approx(1920)


def test_parts_of_a_separate_rate_by_hand():
    """The same with parts by a rate of 40: 25 h · 60 + 25 h · 1.2 · 40 = 1500 + 1200 = 2700."""
    assert cost(case(size=230.0, tier="top", parts_rate=Decimal(40)), WHOLE) == pytest.approx(2700)


def test_five_pieces_by_hand():
    """Five strings at 60 an hour, of a good maker.

    Hours:  0.5 h once + 5 · 0.4 h = 2.5 h (low 0.5 + 1.25 = 1.75, high 0.5 + 3.5 = 4.0)
    Labour: 2.5 h · 60             = 150
    Parts:  5 · 0.4 h · 60 · 0.3   = 36, the set-up needs none
    Cost:   186; parts are 36 / 150 = 0.24 of the labour
    """
    found = case(tier="good", readings=[counted("strings_missing", 5)])
    assert pieces(found, PIECES, TABLES) == 5
    hours = job_hours(found, PIECES, TABLES)
    assert (hours.low, hours.mid, hours.high) == pytest.approx((1.75, 2.5, 4.0))
    assert parts_share(found, PIECES, TABLES).mid == pytest.approx(0.24)
    assert cost(found, PIECES) == pytest.approx(186)
    assert rates(found, TABLES).price(hours.mid, 0.24) == pytest.approx(186)
    # A stencil's parts at 0.8 of the price: 150 + 36 · 0.8 = 178.8.
    assert cost(replace(found, identity=Identity(Kind.GRAND, tier="stencil")), PIECES) == pytest.approx(178.8)


@pytest.mark.parametrize(
    ("readings", "count"),
    [
        ((), 0),
        ((counted("strings_missing", 0),), 0),
        ((counted("strings_missing", 1),), 1),
        ((counted("strings_missing", 2), counted("strings_missing", 3)), 3),  # a mean of 2.5, rounded up
        ((counted("strings_missing", 1, 10), counted("strings_missing", 1, 11)), 2),  # two notes listed
        ((counted("splices", 4),), 0),  # another check
    ],
)
def test_pieces_are_what_the_check_counts(readings, count):
    assert pieces(case(readings=readings), PIECES, TABLES) == count


def test_pieces_of_several_checks_add_up():
    job = replace(PIECES, causes=("strings_missing", "splices"))
    found = case(readings=[counted("strings_missing", 2), counted("splices", 4)])
    assert pieces(found, job, TABLES) == 6


def test_pieces_measured_note_by_note_are_the_notes_out_of_tolerance():
    """Damper bleed grades worse than 3 past two seconds; note 30 was measured twice and is one damper."""
    job = replace(PIECES, causes=("damper_bleed",), improves={"damper_felt": 2})
    seconds = ((20, 4.0), (21, 1.0), (22, 2.0), (30, 5.0), (30, 6.0))
    readings = [Reading("damper_bleed", value, "s", note) for note, value in seconds]
    assert pieces(case(readings=readings), job, TABLES) == 2


def test_a_check_of_the_other_kind_counts_no_piece():
    job = replace(PIECES, causes=("springs_bridles",), improves={"action_springs": 1.5})
    found = [counted("springs_bridles", 4)]
    assert pieces(case(readings=found), job, TABLES) == 0
    assert pieces(case(Kind.UPRIGHT, readings=found), job, TABLES) == 4


def test_jobs_by_the_piece_are_offered_where_something_was_found():
    by_piece = {row.key for row in TABLES.remedies.values() if row.per}
    assert by_piece.isdisjoint(row.key for row in offered(case(), TABLES))
    assert by_piece & {row.key for row in offered(case(readings=[counted("strings_missing", 1)]), TABLES)} == {
        "strings_mend"
    }
    whole = {row.key for row in TABLES.remedies.values() if not row.per and Kind.GRAND in row.kinds}
    assert whole == {row.key for row in offered(case(), TABLES)}


def test_nothing_is_offered_without_a_rate():
    assert offered(replace(case(), costs=Costs()), TABLES) == ()


def test_restringing_and_a_new_board_cost_more_on_a_concert_grand():
    for key in ("restring_grand", "soundboard_new_grand", "refinish_grand", "hammers_new_grand"):
        row = TABLES.remedies[key]
        small, middle, large = (cost(case(size=size), row) for size in (142.0, 178.0, 275.0))
        assert small < middle < large
    row = TABLES.remedies["wippens_new_grand"]
    assert cost(case(tier="top"), row) > 1.4 * cost(case(tier="good"), row)


@given(
    size=st.floats(90, 300),
    tier=st.sampled_from(["top", "good", "ordinary", "stencil", "unidentified", ""]),
    count=st.integers(1, 40),
    remedy=st.sampled_from([WHOLE, PIECES]),
)
def test_the_draws_keep_the_quantiles_of_the_hours(size, tier, count, remedy):
    """Half of the draws lie under the typical hours; the others spread by the stated share of a single job's hours."""
    found = case(size=size, tier=tier, readings=[counted("strings_missing", count)])
    free = replace(remedy, parts_low=0.0, parts_high=0.0)
    drawn = job_costs(found, TABLES, [free], Sampler(7, 2000))[free.key] / 60
    hours = job_hours(found, free, TABLES)
    setup = hours.mid - (hours.high - hours.mid) / (free.hours_high / free.hours_typical - 1.0)
    share = TABLES.setting("quotes_share")
    wanted = [
        setup + (hours.mid - setup) * ((end - setup) / (hours.mid - setup)) ** share
        for end in (hours.low, hours.mid, hours.high)
    ]
    assert np.percentile(drawn, [10, 50, 90]) == pytest.approx(wanted, rel=0.01)


@given(count=st.integers(1, 40), more=st.integers(1, 10))
def test_more_pieces_never_cost_less(count, more):
    few, many = (case(readings=[counted("strings_missing", n)]) for n in (count, count + more))
    source = Sampler(3, 64)
    assert np.all(
        job_costs(few, TABLES, [PIECES], source)["pieces"] < job_costs(many, TABLES, [PIECES], source)["pieces"]
    )
