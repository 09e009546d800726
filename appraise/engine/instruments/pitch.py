"""Beats at a note, cents and frequency."""

from __future__ import annotations

from math import log2


def cents_of(frequency_hz: float, reference_hz: float) -> float:
    """Return how far a frequency [Hz] stands from a reference [Hz], in cents, flat negative.

    Raises:
        ValueError: A frequency is not positive.

    References:
        A. J. Ellis's cent, 1/1200 of an octave: `1200·log₂(f / reference)`.
    """
    if frequency_hz <= 0.0 or reference_hz <= 0.0:
        raise ValueError(f"frequencies must be positive: {frequency_hz}, {reference_hz}")
    return 1200.0 * log2(frequency_hz / reference_hz)


def frequency_of(cents: float, reference_hz: float) -> float:
    """Return the frequency [Hz] that stands `cents` [cents] from a reference [Hz]; the inverse of `cents_of`."""
    return float(reference_hz * 2.0 ** (cents / 1200.0))


def cents_of_beats(beats: float, reference_hz: float) -> float:
    """Return beats a second against a reference [Hz] at the unison, positive where the note is flat, in cents.

    Returns:
        `1200·log₂((reference − beats) / reference)`.

    Raises:
        ValueError: The note would be flat by its whole frequency.
    """
    return cents_of(reference_hz - beats, reference_hz)


def beats_of_cents(cents: float, reference_hz: float) -> float:
    """Return the beats a second [1/s] of a note `cents` off its reference [Hz], positive where flat."""
    return reference_hz - frequency_of(cents, reference_hz)
