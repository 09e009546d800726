"""Laws of wood and wire: round trips, monotone, and the lag against SciPy's own solver."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import lsim

from appraise.engine.instruments import climate, wire
from appraise.engine.instruments.moisture import (
    Sorption,
    equilibrium_moisture_content,
    followed,
    moisture_change,
    relative_humidity,
    width_change,
)
from appraise.model.notes import name_of, number_of
from appraise.model.problem import InputError
from appraise.model.quantities import to_base
from appraise.services.instruments.one_string import StringReadings, compute, raise_row
from appraise.services.instruments.scale import ScaleNote, measure_scale
from appraise.services.instruments.wood import WoodReadings, measure_wood
from appraise.services.quantity_limits import quantity_in_range
from appraise.tables.load import load_tables

TABLES = load_tables()
SORPTION = Sorption.of(TABLES.sorption)
WARMTH = st.floats(-10.0, 45.0)
HUMIDITY = st.floats(0.0, 99.5)


@given(WARMTH, HUMIDITY)
def test_the_inverse_brings_the_humidity_back(temperature, humidity):
    moisture = equilibrium_moisture_content(temperature, humidity, SORPTION)
    assert float(relative_humidity(temperature, moisture, SORPTION)) == pytest.approx(humidity, abs=1e-6)


@given(WARMTH, HUMIDITY, st.floats(0.01, 20.0))
def test_damper_air_makes_damper_wood(temperature, humidity, more):
    before, after = equilibrium_moisture_content(temperature, np.array([humidity, min(100, humidity + more)]), SORPTION)
    assert after > before


@given(st.floats(10.0, 3000.0), st.floats(0.001, 0.005), st.floats(2.0, 20.0), st.floats(0.0, 10.0))
def test_a_gap_gives_back_the_drying_that_opened_it(width, coefficient, moisture, lost):
    gap = -width_change(width, coefficient, moisture + lost, moisture)
    assert moisture_change(gap, width, coefficient) == pytest.approx(lost, abs=1e-9)


@given(st.lists(st.floats(3.0, 20.0), min_size=3, max_size=60), st.floats(0.2, 30.0))
def test_the_lag_against_scipys_linear_system(equilibrium, lag):
    days, wanted = np.arange(len(equilibrium), dtype=float), np.array(equilibrium)
    _, expected, _ = lsim(([1.0 / lag], [1.0, 1.0 / lag]), wanted, days, X0=[7.0 * lag])
    np.testing.assert_allclose(followed(days, wanted, lag, 7.0), expected, rtol=1e-7, atol=1e-7)


@given(st.lists(st.floats(3.0, 20.0), min_size=2, max_size=40), st.floats(0.1, 30.0))
def test_wood_never_leaves_the_range_of_the_air(equilibrium, lag):
    wanted = np.array(equilibrium)
    path = followed(np.linspace(0.0, 5.0, len(wanted)), wanted, lag, float(wanted[0]))
    assert path.min() >= wanted.min() - 1e-9
    assert path.max() <= wanted.max() + 1e-9


def test_after_three_lags_95_percent_is_done():
    path = followed(np.array([0.0, 0.0, 21.0]), np.array([10.0, 6.0, 6.0]), 7.0, 10.0)
    assert path[-1] == pytest.approx(6 + 4 * np.exp(-3))
    with pytest.raises(ValueError, match="go back"):
        followed(np.array([1.0, 0.0]), np.array([5.0, 5.0]), 7.0, 5.0)
    with pytest.raises(ValueError, match="above 0"):
        followed(np.array([0.0, 1.0]), np.array([5.0, 5.0]), 0.0, 5.0)


@given(st.lists(st.booleans(), min_size=1, max_size=60))
def test_the_longest_spell_against_counting(inside):
    best = now = 0
    for one in inside:
        now = now + 1 if one else 0
        best = max(best, now)
    spell = climate.longest_spell(np.array(inside), np.arange(len(inside)) * climate.DAY, 2 * climate.DAY)
    assert spell.days == pytest.approx(max(best - 1, 0))
    assert (spell.first < 0) == (best == 0)


def test_a_gap_ends_a_spell_and_is_nobodys_time():
    seconds = np.array([0.0, 1, 2, 30, 31]) * climate.DAY
    spell = climate.longest_spell(np.ones(5, bool), seconds, 5 * climate.DAY)
    assert (spell.days, spell.first, spell.last) == (2.0, 0, 2)
    assert climate.weights(seconds, 5 * climate.DAY).sum() == pytest.approx(3.0)


@given(st.floats(0.5, 2.0), st.floats(30.0, 2000.0), st.floats(20.0, 4000.0), st.floats(-600.0, 600.0))
def test_change_of_pitch_there_and_back(core, length, hz, cents):
    pull = wire.tension(wire.linear_mass(core, 7850.0), length, hz)
    assert wire.at_cents(wire.at_cents(pull, cents), -cents) == pytest.approx(pull)
    sharper = wire.tension(wire.linear_mass(core, 7850.0), length, hz * 2 ** (cents / 1200))
    assert wire.at_cents(pull, cents) == pytest.approx(sharper)


@given(st.floats(0.5, 2.0), st.lists(st.floats(0.2, 2.0), max_size=3))
def test_a_winding_makes_a_string_heavier_and_no_stronger(core, layers):
    masses = [wire.linear_mass(core, 7850.0, [(w, 8960.0) for w in layers[:n]]) for n in range(len(layers) + 1)]
    assert all(second > first for first, second in pairwise(masses))
    assert masses[-1] < 8960e-6 * np.pi / 4 * (core + 2 * sum(layers)) ** 2 + 1e-12  # less than solid copper


def test_thicker_wire_is_weaker_in_every_row():
    grid = tuple(TABLES.wire_grid.values())
    for row in TABLES.wire_strengths.values():
        found = [wire.strength(row, grid, float(mm)) for mm in np.linspace(0.77, 1.6, 40)]
        assert None not in found
        assert all(a > b for a, b in pairwise(found)), row.key


@given(st.floats(-40.0, 60.0))
def test_degrees_there_and_back(celsius):
    assert to_base(celsius * 1.8 + 32.0, "°F")[0] == pytest.approx(celsius, abs=1e-9)
    assert quantity_in_range("air_temperature", TABLES).read(f"{celsius * 1.8 + 32.0:.9f} °F") == pytest.approx(
        celsius, abs=1e-6
    )


@pytest.mark.parametrize("note", range(1, 89))
def test_note_names_there_and_back(note):
    assert number_of(name_of(note)) == number_of(str(note)) == note


@pytest.mark.parametrize("text", ["", "H4", "A", "A9", "0", "89", "4A", "A-1", "١"])
def test_what_is_no_note(text):
    with pytest.raises(InputError):
        number_of(text)


@pytest.mark.parametrize("cents", [0.0, 0.1, 5.0, 5.01, 20.0, 49.0, 50.5, 100.0, 300.0, 1200.0])
def test_every_pitch_has_one_row_of_the_plan(cents):
    row = raise_row(cents, TABLES)
    assert row is raise_row(-cents, TABLES)
    assert row.above_cents <= cents <= row.up_to_cents


def test_the_swing_behind_a_gap_is_called_an_upper_bound():
    answer = measure_wood(WoodReadings(humidity=35.0, width=1300.0, gap=1.0), TABLES)
    found = {figure.key: figure for figure in answer.outputs}
    emc = found["moisture_content_pct"].value
    assert found["gap_moisture_drop_pct"].value == pytest.approx(1.0 / (1300 * 0.00148))
    closed = equilibrium_moisture_content(20.0, found["closed_humidity_pct"].value, SORPTION)
    assert closed == pytest.approx(emc + found["gap_moisture_drop_pct"].value)
    assert "upper bound" in found["humidity_swing_pct"].note
    assert any("ribs and rim" in text for text in answer.says)


def test_a_gap_no_drying_explains_has_no_humidity():
    answer = measure_wood(WoodReadings(humidity=50.0, width=300.0, gap=20.0), TABLES)
    found = {figure.key: figure for figure in answer.outputs}
    assert found["closed_humidity_pct"].value is None
    assert found["humidity_swing_pct"].value is None
    assert "drying alone" in found["closed_humidity_pct"].note


@pytest.mark.parametrize(
    "readings",
    [
        WoodReadings(),
        WoodReadings(humidity=101.0),
        WoodReadings(humidity=float("nan")),
        WoodReadings(humidity=40.0, width=1000.0),
        WoodReadings(humidity=40.0, gap=1.0),
        WoodReadings(humidity=40.0, width=20.0, gap=25.0),
        WoodReadings(humidity=40.0, wood="ebony"),
        WoodReadings(humidity=40.0, to_temperature=10.0),
        WoodReadings(move="moon"),
        WoodReadings(temperature=99.0, move="local"),
    ],
)
def test_readings_that_cannot_be(readings):
    with pytest.raises(InputError):
        measure_wood(readings, TABLES)


def invented_scale() -> list[ScaleNote]:
    """A whole scale, invented: lengths halve at a little less than every octave, wire steps down towards the treble."""
    scale = []
    for note in range(1, 89):
        if note <= 20:
            scale.append(ScaleNote(note, 1500 - 18 * note, 1.3 - 0.01 * note, ((1.7 - 0.06 * note, "copper"),), 1))
        else:
            length = 52.0 * 1.89 ** ((88 - note) / 12)
            scale.append(ScaleNote(note, min(length, 1350.0), 0.775 + 0.004 * (88 - note), (), 3 if note > 28 else 2))
    return scale


def test_the_total_of_an_invented_scale_is_what_the_trade_quotes():
    # Common practice, no source: 13.6 to 18.1 tonnes for the usual instrument, more for large ones.
    answer = measure_scale(invented_scale(), TABLES, a4=440.0, flat=25.0)
    found = {figure.key: figure.value for figure in answer.outputs}
    assert 13.6 <= found["total_tf"] <= 20.0
    assert found["total_kn"] == pytest.approx(found["total_tf"] * 9.80665)
    notes = next(grid for grid in answer.grids if grid.key == "notes")
    assert len(notes.rows) == 88
    assert sum(row[-1] for row in notes.rows) == pytest.approx(found["total_kn"] * 1e3)
    assert found["total_now_kn"] == pytest.approx(found["total_kn"] * 2 ** (-25 / 600))
    assert any("Never lean" in text for text in answer.cautions)


def test_which_notes_pass_a_ceiling_hangs_on_the_strength_used():
    past = {}
    for key in TABLES.wire_strengths:
        answer = measure_scale(invented_scale(), TABLES, a4=466.0, strength=key)
        past[key] = {f.key: f.value for f in answer.outputs}["past_cautious"]
    assert past["fit_m163"] >= past["fit_m145"] >= past["a228_high"]
    assert past["fit_m163"] > past["a228_high"]


@given(st.floats(-300.0, 300.0), st.floats(0.8, 1.5))
def test_share_of_strength_rises_with_pitch(cents, core):
    low = compute(StringReadings(220.0, 500.0, core), TABLES)
    high = compute(StringReadings(220.0 * 2 ** ((abs(cents) + 1) / 1200), 500.0, core), TABLES)
    assert high.percent > low.percent
    assert high.inharmonicity < low.inharmonicity
