"""Note names and key numbers of the 88-note compass: A0 is 1, A4 is 49, C8 is 88."""

from __future__ import annotations

import re

from appraise.model.problem import InputError, quoted

FIRST = 1
LAST = 88
"""Numbers of the lowest and the highest key."""

A4 = 49
"""Number of the note that the standard pitch names."""
STANDARD_A4_HZ = 440.0
"""Frequency of A4 [Hz]: ISO 16:1975."""

_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_SIGNS = {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}
_NAME = re.compile(r"([A-Ga-g])([#♯b♭]?)([0-8])\Z")
_NUMBER = re.compile(r"[0-9]{1,3}\Z")
_BELOW_A0 = 8
"""Key number = 12 · octave + semitones above C − 8."""
_DASHES = re.compile(r"\s*[-–—]\s*")


def number_of(text: str) -> int:
    """Return the key number of one note.

    Args:
        text: A key number ("49") or a name with its octave in scientific pitch notation, middle C as C4: "A4", "c#3",
            "Bb3", with # or ♯, b or ♭.

    Raises:
        InputError: Not a note of the 88-note compass; the text is one line.
    """
    typed = text.strip()
    if _NUMBER.match(typed):
        number = int(typed)
    else:
        match = _NAME.match(typed)
        if match is None:
            raise InputError(quoted(typed), "a note such as A4, C#3 or 49")
        number = 12 * int(match[3]) + _STEPS[match[1].upper()] + _SIGNS[match[2]] - _BELOW_A0
    if not FIRST <= number <= LAST:
        raise InputError(f"note {typed}", f"one from {FIRST} (A0) to {LAST} (C8)")
    return number


def name_of(number: int) -> str:
    """Return the name of a key number: 49 is "A4", 28 is "C3", 29 is "C#3".

    Raises:
        InputError: Not a key of the 88-note compass.
    """
    if not FIRST <= number <= LAST:
        raise InputError(f"note {number}", f"one from {FIRST} (A0) to {LAST} (C8)")
    octave, step = divmod(number + _BELOW_A0, 12)
    return f"{_NAMES[step]}{octave}"


def note_name(note: int, compass: int = LAST) -> str:
    """Return a note as the trade names it: "A1", "C#3"; its number from the lowest key on an unusual compass."""
    return name_of(note) if compass <= LAST and FIRST <= note <= LAST else str(note)


def notes_of(text: str) -> tuple[int, ...]:
    """Return the key numbers of notes and ranges, in the order they stand, each once.

    Args:
        text: "49", "46-58", "A4,C5-E5", "1 16 28": separated by commas, semicolons or spaces; a range runs upwards.

    Raises:
        InputError: No note at all, an unknown note, or a range that runs downwards; the text is one line.
    """
    joined = _DASHES.sub("-", text.strip())
    parts = [part for part in re.split(r"[,;\s]+", joined) if part]
    if not parts:
        raise InputError("nothing", "notes such as 49, A4 or 46-58")
    result: dict[int, None] = {}
    for part in parts:
        ends = part.split("-")
        if len(ends) > 2 or "" in ends:
            raise InputError(quoted(part), "a range such as 46-58 or C3-E5")
        low, high = number_of(ends[0]), number_of(ends[-1])
        if low > high:
            raise InputError(quoted(part), "a range that runs upwards, such as 46-58")
        result.update(dict.fromkeys(range(low, high + 1)))
    return tuple(result)


def note_frequency(note: float, a4_hz: float = STANDARD_A4_HZ) -> float:
    """Return the frequency of a note in equal temperament [Hz].

    Args:
        note: Number of the note, A4 = 49.
        a4_hz: Frequency of A4 [Hz].

    References:
        ISO 16:1975 for 440 Hz; twelve equal semitones: `a4 · 2^((note − 49) / 12)`.
    """
    return float(a4_hz * 2.0 ** ((note - A4) / 12.0))
