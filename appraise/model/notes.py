"""Notes of the keyboard: number, name and frequency in equal temperament."""

from __future__ import annotations

import re

A4 = 49
"""Number of the note that the standard pitch names."""
STANDARD_A4_HZ = 440.0
"""Frequency of A4 [Hz]: ISO 16:1975."""
LAST = 88
"""Highest note of a full compass."""

_NAMES = ("A", "A#", "B", "C", "C#", "D", "D#", "E", "F", "F#", "G", "G#")
_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_NAME = re.compile(r"([A-Ga-g])([#♯b♭]?)(-?\d)\Z")


def note_name(note: int) -> str:
    """Return the name of a note: 49 → "A4", 1 → "A0", 40 → "C4"; black keys with a sharp."""
    return f"{_NAMES[(note - 1) % 12]}{(note + 8) // 12}"


def note_number(text: str) -> int:
    """Return the number of a note from its name or its number.

    Args:
        text: "A4", "C#3", "Bb2" or "49".

    Returns:
        1 (A0) to 88 (C8).

    Raises:
        ValueError: It is no note of 88; the text of the error is one line for the person.
    """
    typed = text.strip()
    match = _NAME.match(typed)
    if match is not None:
        sharp = {"#": 1, "♯": 1, "b": -1, "♭": -1, "": 0}[match[2]]
        number = 12 * int(match[3]) + _STEPS[match[1].upper()] + sharp - 8
    elif re.fullmatch(r"[0-9]{1,3}", typed):
        number = int(typed)
    else:
        raise ValueError(f"“{typed}” is not a note: write its name, such as A4, C#3 or Bb2, or its number 1 to {LAST}")
    if not 1 <= number <= LAST:
        raise ValueError(f"“{typed}” is not on a keyboard of {LAST} notes: A0 is 1, A4 is {A4}, C8 is {LAST}")
    return number


def note_frequency(note: float, a4_hz: float = STANDARD_A4_HZ) -> float:
    """Return the frequency of a note in equal temperament [Hz].

    Args:
        note: Number of the note, A4 = 49.
        a4_hz: Frequency of A4 [Hz].

    References:
        ISO 16:1975 for 440 Hz; twelve equal semitones: `a4 · 2^((note − 49) / 12)`.
    """
    return float(a4_hz * 2.0 ** ((note - A4) / 12.0))
