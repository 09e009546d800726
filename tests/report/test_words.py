"""Plain English: lists, dates, numbers, and text made harmless."""

from __future__ import annotations

from datetime import date

import pytest

from appraise.model.locale_format import PLAIN
from appraise.model.span import Span
from appraise.report.words import capital, counted, day, listed, literal, many, number, small


@pytest.mark.parametrize(
    ("items", "text"),
    [
        ([], ""),
        (["plate"], "plate"),
        (["plate", "bridges"], "plate and bridges"),
        (["plate", "bridges", "keys"], "plate, bridges and keys"),
        (["plate", "bridges", "ribs and glue"], "plate, bridges, and ribs and glue"),
        (["hammers", "rim or posts"], "hammers, and rim or posts"),
        (["key frame, pins and punchings", "key leads"], "key frame, pins and punchings; and key leads"),
    ],
)
def test_lists(items, text):
    assert listed(items) == text


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("1931", "in 1931"),
        ("1931-05", "in May 1931"),
        ("1931-05-12", "on 12 May 1931"),
        ("1925/1931", "between 1925 and 1931"),
        ("1931-05-12/1931-06-02", "between 12 May 1931 and 2 June 1931"),
    ],
)
def test_dates(written, words):
    assert PLAIN.when(Span.parse(written)) == words


def test_days_do_not_hang_on_the_locale():
    assert day(date(2026, 3, 1)) == "1 March 2026"


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(1234.5, 1, "1,234.5"), (185.0, 1, "185"), (100.0, 0, "100"), (-0.04, 1, "0"), (-2.5, 1, "−2.5"), (0.0, 2, "0")],
)
def test_numbers(value, decimals, text):
    assert number(value, decimals) == text


@pytest.mark.parametrize(
    ("label", "plural"),
    [("Hammers", True), ("Rim and posts", True), ("Soundboard", False), ("Brass", False), ("Case and veneer", True)],
)
def test_number_agreement(label, plural):
    assert many(label) is plural


def test_capitals_and_counts():
    assert small("Pin block") == "pin block"
    assert small("RH at the visit") == "RH at the visit"
    assert capital("pin block") == "Pin block"
    assert counted(1, "draw") == "1 draw"
    assert counted(0, "draw") == "0 draws"
    assert counted(2, "entry", "entries") == "2 entries"


def test_literal_is_one_harmless_line():
    assert literal("  two\r\nlines \x1b[31mred\x07 \u202eback ") == "two lines \ufffd[31mred\ufffd \ufffdback"


@pytest.mark.parametrize(
    ("hours", "told"),
    [(158.28, "158 h"), (9.97, "10 h"), (9.94, "9.9 h"), (8.64, "8.6 h"), (2.5, "2.5 h"), (0.54, "0.54 h"), (0, "0 h")],
)
def test_hours_are_told_as_finely_as_they_can_be_planned(hours, told):
    assert PLAIN.figure(hours, "h", "EUR") == told
