"""The pitch log: its verdicts, the season, and readings that neither explains."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from appraise.engine.instruments.pitch_log import judge_log
from appraise.explain.terms import VERDICTS
from appraise.model import plausible
from appraise.model.case import PitchReading
from appraise.model.problem import InputError
from appraise.services.instruments.pitch import pitch_measurement
from appraise.tables.load import load_tables
from tests.helpers.depth import examples
from tests.helpers.pitch_logs import START, log

TABLES = load_tables()


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [
        (log(36), "steady"),
        (log(36, humid=False), "steady"),
        (log(36, season=0.8), "seasonal"),
        (log(36, drift=-9), "drifting_flat"),
        (log(36, drift=9), "drifting_sharp"),
        (log(36, drift=-9, season=0.8), "drifting_flat"),
        (log(36, drift=-9, notes=(1, 25, 49, 73)), "drifting_flat"),
        (log(8, drift=-9), "not_enough"),
        (log(4, drift=-9, every=1, notes=(25, 49)), "not_enough"),
        (log(36, every=12), "not_enough"),
        (log(20, noise=12, humid=False), "not_enough"),
        (log(2), "not_enough"),
        ([replace(r, note=10 + n) for n, r in enumerate(log(36))], "not_enough"),
    ],
)
def test_verdicts(readings, verdict):
    found = judge_log(readings, TABLES)
    assert found.verdict == verdict
    assert pitch_measurement(readings, TABLES).outputs[0].value == VERDICTS[verdict]


def test_drift_and_season_are_found_again():
    found = judge_log(log(60, drift=-4, season=0.8, notes=(25, 49)), TABLES)
    assert found.drift.value == pytest.approx(-4, abs=0.4)
    assert found.drift.low < -4 < found.drift.high
    assert found.season.slope.value == pytest.approx(0.8, abs=0.05)
    assert found.season.explained > 0.9
    assert not found.season.why_not


def test_a_season_not_taken_out_would_widen_the_drift():
    readings = log(36, drift=-4, season=0.8)
    without = judge_log([replace(reading, humidity=None) for reading in readings], TABLES)
    taken = judge_log(readings, TABLES)
    assert taken.drift.high - taken.drift.low < (without.drift.high - without.drift.low) / 3
    assert without.season.why_not == "few"


@pytest.mark.parametrize(
    ("readings", "why"),
    [
        (log(12), "few"),
        ([replace(r, humidity=50.0 + n % 3) for n, r in enumerate(log(36))], "narrow"),
        ([replace(r, humidity=30.0 + n) for n, r in enumerate(log(36))], "with time"),
        (log(48, noise=4, seed=4), "no effect"),
    ],
)
def test_why_the_season_is_left_in(readings, why):
    assert judge_log(readings, TABLES).season.why_not == why


def test_a_wild_reading_stands_outside_and_moves_nothing():
    readings = log(36, drift=-4, season=0.8)
    clean = judge_log(readings, TABLES)
    wild = judge_log([*readings[:7], replace(readings[7], cents=readings[7].cents - 40), *readings[8:]], TABLES)
    assert [line.outside for line in clean.lines] == [False] * len(readings)
    assert [n for n, line in enumerate(wild.lines) if line.outside] == [7]
    assert wild.drift.value == pytest.approx(clean.drift.value, abs=0.7)
    assert wild.verdict == clean.verdict


def test_what_a_summer_brings_is_not_outside():
    found = judge_log(log(36, season=0.8), TABLES)
    assert not any(line.outside for line in found.lines)
    assert max(line.reading.cents for line in found.lines) - min(line.reading.cents for line in found.lines) > 15


def test_an_empty_log_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        judge_log([], TABLES)
    with pytest.raises(InputError, match="no reading"):
        pitch_measurement([], TABLES)


READINGS = st.builds(
    PitchReading,
    date=st.dates(date(2020, 1, 1), date(2024, 12, 31)),
    note=st.sampled_from([1, 25, 49]),
    cents=st.floats(*plausible.CENTS),
    humidity=st.none() | st.floats(*plausible.HUMIDITY),
)


@settings(max_examples=examples(60), deadline=None)
@given(st.lists(READINGS, min_size=1, max_size=20), st.randoms())
def test_any_log_has_a_verdict_whatever_its_order(readings, random):
    found = judge_log(readings, TABLES)
    assert found.verdict in VERDICTS
    if found.drift is not None:
        assert found.drift.low <= found.drift.value <= found.drift.high
    assert 0 <= found.season.explained <= 1
    mixed = list(readings)
    random.shuffle(mixed)
    again = judge_log(mixed, TABLES)
    assert (again.verdict, again.drift, again.season, again.scatter) == (
        found.verdict,
        found.drift,
        found.season,
        found.scatter,
    )


@settings(max_examples=examples(30), deadline=None)
@given(st.floats(-20, 20), st.floats(-100, 100))
def test_a_level_changes_no_verdict_and_a_tilt_only_the_drift(tilt, level):
    readings = log(36, season=0.8)
    moved = [
        replace(reading, cents=reading.cents + level + tilt * (reading.date - START).days / 365.2425)
        for reading in readings
    ]
    before, after = judge_log(readings, TABLES), judge_log(moved, TABLES)
    assert after.drift.value == pytest.approx(before.drift.value + tilt, abs=1e-4)
    assert after.season.slope.value == pytest.approx(before.season.slope.value, abs=1e-4)
