"""Beats, cents and the frequency of every note.

Sources: ISO 16:1975 (A4 = 440 Hz); equal temperament against pretty_midi 0.2.11, a general-purpose library of notes;
A. J. Ellis's cent with the sizes of intervals as handbooks of acoustics print them (from memory); beats worked by hand
from the definition.
"""

from __future__ import annotations

import pretty_midi
import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.engine.instruments.pitch import beats_of_cents, cents_of, cents_of_beats, frequency_of
from appraise.model.notes import A4, LAST, STANDARD_A4_HZ, name_of, note_frequency, number_of
from appraise.tables.load import load_tables

MIDI_OF_A0 = 21
NOTES = st.integers(1, LAST)
PITCHES = st.floats(380, 490)


@pytest.mark.parametrize("note", range(1, LAST + 1))
def test_every_note_against_a_general_library(note):
    midi = note + MIDI_OF_A0 - 1
    assert note_frequency(note) == pytest.approx(pretty_midi.note_number_to_hz(midi), rel=1e-12)
    assert pretty_midi.note_name_to_number(name_of(note)) == midi
    assert name_of(note) == pretty_midi.note_number_to_name(midi)


@pytest.mark.parametrize("name", ["Bb2", "Eb5", "Ab1", "Db7", "Gb4", "Cb4", "B#3", "Fb5", "E#2"])
def test_flats_and_odd_spellings_against_a_general_library(name):
    assert number_of(name) == pretty_midi.note_name_to_number(name) - MIDI_OF_A0 + 1


@pytest.mark.parametrize(
    ("note", "hz"),
    # ISO 16:1975 for A4; the others equal-tempered, as printed to three decimals in handbooks (from memory).
    [(1, 27.5), (4, 32.703), (16, 65.406), (28, 130.813), (40, 261.626), (49, 440.0), (52, 523.251), (88, 4186.009)],
)
def test_printed_frequencies(note, hz):
    assert note_frequency(note) == pytest.approx(hz, abs=5e-4)


def test_the_standard_pitch_is_the_table_row():
    assert load_tables().setting("standard_pitch_hz") == STANDARD_A4_HZ == 440.0


@pytest.mark.parametrize(
    ("ratio", "cents"),
    # Ellis's table of intervals, to three decimals (from memory).
    [
        (3 / 2, 701.955),
        (4 / 3, 498.045),
        (5 / 4, 386.314),
        (6 / 5, 315.641),
        (9 / 8, 203.910),
        (16 / 15, 111.731),
        (81 / 80, 21.506),
        (531441 / 524288, 23.460),
        (2.0, 1200.0),
        (435 / 440, -19.786),  # diapason normal of 1859 under the present standard, worked from the definition
    ],
)
def test_sizes_of_intervals(ratio, cents):
    assert cents_of(ratio * 440.0, 440.0) == pytest.approx(cents, abs=6e-4)


@pytest.mark.parametrize(
    ("note", "beats", "cents"),
    # Worked from 1200·log2((f − beats)/f): the same four beats at three octaves.
    [("A2", 4, -64.13), ("A3", 4, -31.77), ("A4", 4, -15.81), ("A4", 1, -3.94), ("A4", -4, 15.67), ("A5", 4, -7.89)],
)
def test_beats_mean_something_else_at_each_note(note, beats, cents):
    assert cents_of_beats(beats, note_frequency(number_of(note))) == pytest.approx(cents, abs=5e-3)


@given(NOTES)
def test_name_and_number_round_trip(note):
    assert number_of(name_of(note)) == note
    assert number_of(f" {note} ") == note


@given(NOTES, PITCHES, st.floats(-600, 300))
def test_cents_hertz_and_beats_round_trip(note, a4, cents):
    place = note_frequency(note, a4)
    assert cents_of(frequency_of(cents, place), place) == pytest.approx(cents, abs=1e-8)
    assert cents_of_beats(beats_of_cents(cents, place), place) == pytest.approx(cents, abs=1e-8)


@given(NOTES, st.floats(0.01, 10), st.floats(0.01, 10))
def test_more_beats_flat_are_more_cents_flat_and_fewer_higher_up(note, one, other):
    low, high = sorted((one, other))
    place = note_frequency(note)
    assert cents_of_beats(high, place) <= cents_of_beats(low, place) < 0
    assert cents_of_beats(low, place * 2) > cents_of_beats(low, place)


@given(PITCHES)
def test_an_agreed_pitch_moves_every_note_alike(a4):
    apart = {round(cents_of(note_frequency(note, a4), note_frequency(note)), 6) for note in (1, A4, LAST)}
    assert len(apart) == 1


@pytest.mark.parametrize("text", ["", "H4", "A", "A9", "0", "89", "C8#", "A-1", "1.5", "A4\n4", "²", "Ａ４"])
def test_what_is_no_note_is_refused(text):
    with pytest.raises(ValueError, match="note"):
        number_of(text)


@pytest.mark.parametrize(("hz", "place"), [(0, 440), (-1, 440), (440, 0)])
def test_no_cents_of_nothing(hz, place):
    with pytest.raises(ValueError, match="positive"):
        cents_of(hz, place)
