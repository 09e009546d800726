"""The pitch log and the clues to drying in a case file: what is accepted, and what is refused and how."""

from __future__ import annotations

from datetime import date

import pytest

from appraise.model.case import DryingClueSeen, PitchReading
from appraise.store.document import case_text
from appraise.store.read import parse_case

LOG = """
[[pitch_log]]
date = 2026-03-14
note = 49
cents = -4.5
temperature = 21
humidity = 38
remark = "before tuning"
"""
CLUES = """
[[drying_clues]]
clue = "pins_loose"
seen = true
remark = "three rows"
"""


@pytest.fixture
def read(problems_of, good):
    """Return a function from what is added to the good file to (case, problems as lines)."""
    return lambda text: problems_of(good + text)


def test_both_are_read_and_written_again(read, tables):
    case, problems = read(LOG + CLUES)
    assert problems == []
    assert case.pitch_log == (PitchReading(date(2026, 3, 14), 49, -4.5, 21.0, 38.0, "before tuning"),)
    assert case.drying_clues == (DryingClueSeen("pins_loose", True, "three rows"),)
    assert parse_case(case_text(case), tables, file="case.toml") == (case, [])
    assert 'clue = "pins_loose"\nseen = true\n' in case_text(case)


def test_a_file_without_them_reads_as_before(read):
    case, problems = read("")
    assert problems == []
    assert case.pitch_log == case.drying_clues == ()
    assert "pitch_log" not in case_text(case)


@pytest.mark.parametrize(
    ("old", "new", "field", "value"),
    [
        ("note = 49", 'note = "A4"', "note", 49),
        ("note = 49", 'note = "Bb2"', "note", 26),
        ("temperature = 21", 'temperature = "70 °F"', "temperature", 21.1111111),
        ("temperature = 21", 'temperature = "21,5 °C"', "temperature", 21.5),
        ("humidity = 38", 'humidity = "38 % RH"', "humidity", 38.0),
        ("humidity = 38", "", "humidity", None),
        ("cents = -4.5", 'cents = "−4,5 cents"', "cents", -4.5),
        ("cents = -4.5", "cents = -4", "cents", -4.0),
    ],
)
def test_other_ways_to_write_it(read, old, new, field, value):
    case, problems = read(LOG.replace(old, new))
    assert problems == []
    assert getattr(case.pitch_log[0], field) == (pytest.approx(value) if isinstance(value, float) else value)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (
            "cents",
            "cent",
            'pitch_log[1].cent: found an unknown key, expected a key of [pitch_log]; did you mean "cents"?',
        ),
        ("humidity", "humidty", 'did you mean "humidity"?'),
        ("date = 2026-03-14\n", "", "pitch_log[1].date: found nothing, expected the day of the reading"),
        ("note = 49\n", "", "pitch_log[1].note: found nothing, expected the note"),
        ("cents = -4.5\n", "", "pitch_log[1].cents: found nothing, expected the deviation in cents"),
        ("2026-03-14", "2026-11-21", "expected a day up to the inspection, 2026-11-20"),
        ("2026-03-14", "1920-01-01", "expected a day after the instrument was made"),
        ("2026-03-14", '"2026-03-14"', "without quotes"),
        ("note = 49", "note = 0", "a note from 1 to 88"),
        ("note = 49", "note = 89", "a note from 1 to 88"),
        ("note = 49", 'note = "H4"', "its name in quotes"),
        ("note = 49", "note = 49.0", "a note by its number"),
        ("note = 49", "note = true", "a note by its number"),
        ("-4.5", "-900", "expected -600 to 300 cents"),
        ("-4.5", "nan", "expected -600 to 300 cents"),
        ("-4.5", "-inf", "expected -600 to 300 cents"),
        ("-4.5", '"-4 Hz"', "as a number or a text with its unit: cents"),
        ("-4.5", '"four beats flat"', "as a number or a text with its unit: cents"),
        ("-4.5", "true", "expected -600 to 300 cents"),
        ("= 21", "= 70", "expected -20 to 50 °C"),
        ("= 21", '= "21 mm"', "°C, C, °F, F"),
        ("= 38", "= 138", "expected 1 to 100 %"),
        ("= 38", "= 0.38", "check the unit and the decimal point"),
        ("= 38", "= [38]", "expected 1 to 100 %"),
    ],
)
def test_a_wrong_pitch_reading_is_named(read, old, new, words):
    assert old in LOG
    case, problems = read(LOG.replace(old, new, 1))
    assert case is None
    assert any(words in line for line in problems), problems
    assert all(line.startswith("case.toml:") for line in problems)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (CLUES.replace("pins_loose", "pins_lose"), 'did you mean "pins_loose"?'),
        (CLUES.replace("seen = true\n", ""), "seen: found nothing, expected true, or false"),
        (CLUES.replace("true", '"yes"'), "expected true or false"),
        (CLUES.replace("true", "1"), "expected true or false"),
        (CLUES.replace("remark", "remarks"), 'did you mean "remark"?'),
        (CLUES + CLUES, 'found a second word on "pins_loose", expected every clue once'),
        ("\n[drying_clues]\nclue = 1\n", "tables, each under [[drying_clues]]"),
        ("\n[[drying_clue]]\nseen = true\n", 'did you mean "drying_clues"?'),
        ("\n[pitch_log]\ncents = 1\n", "tables, each under [[pitch_log]]"),
    ],
)
def test_a_wrong_clue_is_named(read, text, words):
    case, problems = read(text)
    assert case is None
    assert any(words in line for line in problems), problems
