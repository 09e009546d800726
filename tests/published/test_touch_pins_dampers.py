"""Facts of the trade about touch, regulation, pins and dampers against the instruments and their tables.

Every fact here is common practice, no source; bands and figures are from memory. The identities of touchweight are
definitions: D = balance + friction, U = balance − friction. Key numbers and names: ISO 16 has A4 = 440 Hz, and the
standard compass counts it as key 49 (middle C, C4, is 40); note numbers of the MIDI standard are 20 higher, from
memory.
"""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from appraise.engine.grade import anchored
from appraise.engine.instruments.regulation import Adjustment, felts_of, jobs_of, ringing
from appraise.engine.instruments.sampling import bands, holds, within
from appraise.engine.instruments.torque import Pattern, Pin, drifts, loose_pins, low_anchors, value_at
from appraise.engine.instruments.touch import Cause, Fault, Line, balance, cause_of, flags_of, friction, line_of
from appraise.model.case import Kind
from appraise.model.notes import name_of, notes_of, number_of
from appraise.model.quantities import to_base
from appraise.services.instruments.dampers import Seen, dampers_measurement
from appraise.services.instruments.regulation import targets_of
from appraise.tables.load import load_tables

TABLES = load_tables()

WEIGHED = [
    # (downweight, upweight, friction, balance) [g].
    (50, 26, 12, 38),  # a good grand: about 50 g down, friction about 12 g
    (55, 25, 15, 40),  # bass
    (45, 25, 10, 35),  # treble
    (52, 28, 12, 40),  # upper figure of the concert grand's balance
    (50, 20, 15, 35),  # 20 g up at least
    (70, 20, 25, 45),  # tight
]


@pytest.mark.parametrize(("down", "up", "rubbing", "weight"), WEIGHED)
def test_friction_and_balance(down, up, rubbing, weight):
    assert friction(down, up) == rubbing
    assert balance(down, up) == weight
    assert (weight + rubbing, weight - rubbing) == (down, up)


@given(st.floats(10, 200), st.floats(0, 100))
def test_identities(down, up):
    assume(up <= down)
    assert balance(down, up) + friction(down, up) == pytest.approx(down)
    assert balance(down, up) - friction(down, up) == pytest.approx(up)
    with pytest.raises(ValueError, match="no more than that"):
        friction(up, down + 1)


@pytest.mark.parametrize(
    ("norm", "note", "low", "high"),
    [
        ("downweight_grand", 1, 53, 57),  # mid-fifties in the bass
        ("downweight_grand", 88, 43, 47),  # mid-forties in the treble
        ("downweight_grand", 44, 48, 52),  # about 50 g
        ("downweight_upright", 44, 45, 60),
        ("upweight", 1, 20, 20),  # 20 g at least
        ("upweight", 88, 25, 25),  # about 25 g
        ("touch_friction", 44, 11.5, 13.5),  # about 12 g
        ("touch_friction", 1, 8, 15),
        ("touch_friction", 88, 8, 15),
        ("balance_weight", 1, 35, 42),
        ("balance_weight", 44, 36, 40),  # 38 to 40 on concert grands
        ("balance_weight", 88, 35, 42),
        ("damper_ring", 10, 1.5, 1.5),  # a second and a half in the bass
        ("damper_ring", 50, 1, 1),  # more than a second is a fault
    ],
)
def test_expected_at_a_note(norm, note, low, high):
    assert low - 1e-9 <= line_of(TABLES.note_norms[norm]).at(note) <= high + 1e-9


@pytest.mark.parametrize("note", [1, 20, 40, 60, 88])
def test_the_lines_of_grand_touch_agree(note):
    down, rubbing, weight = (
        line_of(TABLES.note_norms[key]).at(note) for key in ("downweight_grand", "touch_friction", "balance_weight")
    )
    assert down - rubbing == pytest.approx(weight, abs=0.2)
    assert weight - rubbing >= line_of(TABLES.note_norms["upweight"]).at(note) - 0.2


@pytest.mark.parametrize(
    ("down", "up", "cause"),
    [
        (50, 26, Cause.NONE),
        (66, 24, Cause.FRICTION),
        (66, 42, Cause.WEIGHT),
        (50, 8, Cause.HIDDEN),
        (44, 36, Cause.LOOSE),
        (40, 16, Cause.LIGHT),
    ],
)
def test_where_to_look(down, up, cause):
    lines = [line_of(TABLES.note_norms[key]) for key in ("downweight_grand", "touch_friction")]
    assert cause_of(down, up, *lines, note=44) is cause


def test_a_slope_is_no_unevenness_but_a_jump_is():
    norm, check = TABLES.note_norms["downweight_grand"], TABLES.checks["downweight_grand"]
    line = line_of(norm)
    even = {note: line.at(note) + 2 for note in range(30, 60)}
    assert flags_of(even, line, check.anchors) == ()
    found = flags_of({**even, 44: even[44] - 5}, line, check.anchors)
    assert [(flag.note, flag.fault) for flag in found] == [(44, Fault.UNEVEN)]


REGULATION = [
    # (kind, adjustment, value in mm, in tolerance); common practice, no source.
    (Kind.GRAND, "key_dip", 10.0, True),
    (Kind.GRAND, "key_dip", 12.0, False),
    (Kind.GRAND, "blow", 46.0, True),
    (Kind.GRAND, "blow", 38.0, False),
    (Kind.UPRIGHT, "blow", 45.0, True),
    (Kind.GRAND, "let_off_grand", 1.5, True),
    (Kind.GRAND, "let_off_grand", 0.0, False),  # blocks
    (Kind.UPRIGHT, "let_off_upright", 3.0, True),
    (Kind.GRAND, "drop", 1.5, True),
    (Kind.GRAND, "drop", 6.0, False),
    (Kind.GRAND, "aftertouch", 1.0, True),
    (Kind.GRAND, "checking", 15.0, True),
    (Kind.UPRIGHT, "checking", 30.0, False),
    (Kind.GRAND, "repetition_rise", 7.0, True),
    (Kind.GRAND, "repetition_rise", 0.0, False),
    (Kind.GRAND, "rest_rail", 3.0, True),
    (Kind.GRAND, "rest_rail", 0.0, False),  # hammers must not lie on the rest rail
    (Kind.UPRIGHT, "lost_motion", 0.2, True),
    (Kind.UPRIGHT, "lost_motion", 2.5, False),
]


@pytest.mark.parametrize(("kind", "key", "value", "right"), REGULATION)
def test_regulation(kind, key, value, right):
    assert within(value, targets_of(TABLES, kind)[key].limits) is right


SETS = [("key_dip", 1.5, 3), ("let_off_grand", 0.7, 1.5), ("drop", 0.7, 1.5), ("checking", 1, 3)]


@pytest.mark.parametrize(("key", "low", "high"), SETS)
def test_hours_of_a_whole_set(key, low, high):
    # From memory: hours for 88 notes.
    row = TABLES.regulation_targets[key]
    assert low <= row.setup_hours + 88 * row.minutes_per_note / 60 <= high


@given(st.dictionaries(st.sampled_from(["a", "b", "c"]), st.floats(0, 1), max_size=3), st.floats(0, 1))
def test_hours_never_fall_when_more_is_out(out, more):
    sheet = {
        "a": Adjustment("a", 1.0, 0.5, ("b",)),
        "b": Adjustment("b", 2.0, 0.25, ("c",)),
        "c": Adjustment("c", 0.5, 0.1),
    }

    def hours(shares):
        return sum(job.hours for job in jobs_of(sheet, shares, 88, 0.33))

    for key in sheet:
        worse = {**out, key: max(out.get(key, 0.0), more)}
        assert hours(worse) >= hours(out) - 1e-9


@pytest.mark.parametrize(
    ("key", "worse", "best"),
    [
        ("pin_torque", (10, 5, 4, 3, 2), 12),
        ("downweight_grand", (50, 60, 66, 75), 50),
        ("damper_bleed", (0.5, 1, 2, 4), 0),
    ],
)
def test_grades_along_the_anchors(key, worse, best):
    anchors = TABLES.checks[key].anchors
    grades = [anchored(float(value), anchors) for value in worse]
    assert grades == sorted(grades)
    assert anchored(float(best), anchors) == 1


@given(st.sampled_from([row.key for row in TABLES.checks.values() if row.anchors]), st.data())
def test_tolerance_and_grade_say_the_same(key, data):
    check = TABLES.checks[key]
    value = data.draw(st.floats(*check.plausible))
    grade = anchored(value, check.anchors)
    assume(abs(grade - 3) > 1e-6)
    assert within(value, bands(check.anchors, 3.0)) is (grade < 3)
    assert holds(value, value, bands(check.anchors, 3.0)) is (grade < 3)


TORQUE = [
    # (in·lb, loose); common practice, no source: 35 is the edge, 60 sound, 25 will not hold.
    (60, False),
    (50, False),
    (36, False),
    (34, True),
    (25, True),
]


@pytest.mark.parametrize(("pounds", "loose"), TORQUE)
def test_a_loose_pin(pounds, loose):
    limit = value_at(TABLES.checks["pin_torque"].anchors, TABLES.setting("pin_loose_grade"))
    assert limit == pytest.approx(to_base(35, "in·lb")[0], abs=0.06)
    assert (to_base(pounds, "in·lb")[0] < limit) is loose


@pytest.mark.parametrize(("pounds", "metric"), [(35, 4.0), (60, 6.8), (80, 9.0), (140, 15.8), (25, 2.8)])
def test_torque_of_the_handbooks_in_both_units(pounds, metric):
    assert to_base(pounds, "in·lb")[0] == pytest.approx(metric, abs=0.06)


def _row(torques, section="tenor", row="1"):
    return [Pin(section, row, number, torque) for number, torque in enumerate(torques, 1)]


@pytest.mark.parametrize(
    ("torques", "pattern"),
    [
        ([7.0] * 20, Pattern.NONE),
        ([7.0] * 8 + [3.0] * 4 + [7.0] * 8, Pattern.LINE),
        ([3.0 if n % 5 == 0 else 7.0 for n in range(20)], Pattern.SCATTERED),
        ([3.0] * 14 + [7.0] * 6, Pattern.THROUGHOUT),
        ([7.0, 3.0, 3.0, 3.0, 7.0, 3.0, 7.0], Pattern.THROUGHOUT),
        ([7.0, 3.0, 3.0, 3.0, 7.0, 7.0, 3.0, 7.0, 7.0, 3.0, 7.0], Pattern.DOUBTFUL_LINE),
    ],
)
def test_a_line_of_loose_pins(torques, pattern):
    assert loose_pins(_row(torques), 4.0, 3, 0.05).pattern is pattern


def test_two_rows_that_chance_might_have_made_are_weighed_together():
    pins = _row([7.0] * 8 + [3.0] * 4 + [7.0] * 8) + _row([3.0, 7.0, 7.0] * 6, row="2")
    found = loose_pins(pins, 4.0, 3, 0.05)
    assert found.tested == 2
    assert found.chance == pytest.approx(2 * min(row.runs.chance for row in found.rows))
    assert found.rows[0].line == (9, 10, 11, 12)


@given(st.lists(st.floats(1, 20), min_size=1, max_size=30), st.randoms())
def test_the_order_of_reading_does_not_matter(torques, random):
    pins = _row(torques)
    mixed = list(pins)
    random.shuffle(mixed)
    assert loose_pins(mixed, 4.0, 3, 0.05) == loose_pins(pins, 4.0, 3, 0.05)


def test_pins_between_those_read():
    pins = [
        Pin("bass", "", number, 3.0 if number < 10 else 8.0) for number in (1, 4, 7, 10, 13, 16, 19, 22, 25, 28, 31)
    ]
    (row,) = loose_pins(pins, 4.0, 3, 0.05).rows
    assert row.unread
    assert row.line == (1, 4, 7)


def test_anchors_on_the_loose_side():
    low = low_anchors(TABLES.checks["pin_torque"].anchors)
    assert [grade for _, grade in low] == [5, 4.5, 3.75, 3, 2, 1.5, 1]
    assert value_at(TABLES.checks["pin_torque"].anchors, 5) == 1.7
    assert value_at(TABLES.checks["pin_torque"].anchors, 1) == 10.5


def test_drift():
    assert drifts({"1": 0.5, "2": 0.0, "3": 1.0}, {"1": -1.5, "2": 0.0}) == {"1": -2.0, "2": 0.0}


@pytest.mark.parametrize(
    ("last", "words"),
    [(33, "the common extent"), (45, "better"), (49, "better"), (40, "between"), (20, "less than is common")],
)
def test_how_far_half_wedges_go(last, words):
    # Common practice, no source: half wedges commonly reach about note 33, better instruments 45 or even 49.
    answer = dampers_measurement(Seen(wedge=range(1, last + 1)), Kind.GRAND, TABLES)
    assert words in answer.says[0]


def test_felts():
    assert felts_of(range(1, 34), range(36, 69)) == felts_of([*range(1, 34)], [*range(36, 69)])
    found = felts_of(range(1, 34), range(36, 69))
    assert (found.last_wedge, found.last, found.bare, found.both) == (33, 68, (34, 35), ())
    assert felts_of([], []).last is None


def test_ringing_on():
    # A second and a half in the bass, a second above.
    most = TABLES.note_norms["damper_ring"].points
    assert list(ringing({10: 1.5, 11: 1.6, 50: 1.0, 60: 2.0}, most)) == [60, 11]


NAMES = [
    (1, "A0"),
    (2, "A#0"),
    (3, "B0"),
    (4, "C1"),
    (16, "C2"),
    (28, "C3"),
    (40, "C4"),
    (49, "A4"),
    (52, "C5"),
    (88, "C8"),
]


@pytest.mark.parametrize(("number", "name"), NAMES)
def test_names_of_notes(number, name):
    assert name_of(number) == name
    assert number_of(name) == number


@given(st.integers(1, 88))
def test_names_and_numbers_round_trip(number):
    name = name_of(number)
    assert number_of(name) == number_of(name.lower()) == number_of(str(number)) == number
    octave, step = divmod(number + 20, 12)  # note number of the MIDI standard; octave −1 begins at 0
    assert name == ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"][step] + str(octave - 1)


@pytest.mark.parametrize(
    ("text", "notes"),
    [
        ("46-58", tuple(range(46, 59))),
        ("A4,C5-E5", (49, 52, 53, 54, 55, 56)),
        ("Bb3", (38,)),
        ("C♯3; D♭3", (29,)),
        ("1 16 28", (1, 16, 28)),
        ("C3 – D3", (28, 29, 30)),
    ],
)
def test_ranges_of_notes(text, notes):
    assert notes_of(text) == notes


@pytest.mark.parametrize(
    "text", ["", "H4", "0", "89", "A", "C9", "58-46", "1-", "-1", "A4-B4-C5", "G0", "C#8", "٤٩", "999999"]
)
def test_what_is_no_note(text):
    with pytest.raises(ValueError, match="expected") as caught:
        notes_of(text)
    assert "\n" not in str(caught.value)


def test_a_line_with_one_side():
    line = Line(((1, 20.0),), 0.0, None, 0.0)
    assert [flag.fault for flag in flags_of({5: 19.0, 6: 60.0}, line, ((0, 1), (100, 1)))] == [Fault.LOW]
