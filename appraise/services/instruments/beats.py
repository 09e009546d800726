"""Beats at a note, cents and frequency, as one answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments.pitch import beats_of_cents, cents_of, cents_of_beats, frequency_of
from appraise.model import plausible
from appraise.model.measurement import Basis, Figure, Measurement
from appraise.model.notes import name_of, note_frequency, number_of
from appraise.services.displayed_quantities import with_unit
from appraise.services.refused import InputError
from appraise.services.typed_quantities import within

if TYPE_CHECKING:
    from appraise.tables.rows import Tables


def note_typed(text: str) -> int:
    """Read a note by name or number.

    Raises:
        InputError: It is no note of the keyboard.
    """
    try:
        return number_of(text)
    except ValueError as error:
        raise InputError(str(error)) from None


def beats_at_note(
    note: int,
    tables: Tables,
    *,
    beats: float | None = None,
    cents: float | None = None,
    hz: float | None = None,
    a4_hz: float | None = None,
) -> Measurement:
    """Turn beats, cents or a frequency at a note into the other two.

    Args:
        note: 1–88. Beats mean nothing without it: four flat at A2 is six times as much as at C5.
        tables: Holds the standard pitch and the plausible range.
        beats: Beats a second against the note's own place [1/s], positive where the note is flat.
        cents: Deviation [cents], flat negative.
        hz: Frequency that sounds [Hz].
        a4_hz: Agreed pitch [Hz]; none: the standard.

    Returns:
        Beats, cents and frequency; with none of the three given, those of the note in its place.

    Raises:
        InputError: More than one of the three, or a figure that cannot be.
    """
    if sum(given is not None for given in (beats, cents, hz)) > 1:
        raise InputError("give one of beats, cents and frequency")
    standard = tables.setting("standard_pitch_hz")
    low, high = tables.setting("agreed_pitch_low_hz"), tables.setting("agreed_pitch_high_hz")
    a4 = within(standard if a4_hz is None else a4_hz, (low, high), "Hz", what="A4: ")
    place = note_frequency(note, a4)
    if beats is not None:
        if beats >= place:
            most = f"the {with_unit(place, 'Hz')} of {name_of(note)}"
            raise InputError(f"found {beats:g} beats flat, expected fewer than {most}")
        off = cents_of_beats(beats, place)
    elif hz is not None:
        if hz <= 0.0:
            raise InputError("a frequency is above 0 Hz")
        off = cents_of(hz, place)
    else:
        off = 0.0 if cents is None else cents
    within(off, plausible.CENTS, "cents", what=f"from {name_of(note)}: ")
    sounds = frequency_of(off, place)
    apart = beats_of_cents(off, place)
    row = tables.settings["standard_pitch_hz"]
    source = tables.sources.get(row.source)
    return Measurement(
        instrument="beats",
        title=f"Beats at {name_of(note)}",
        inputs=(
            Figure("note", "Note", note),
            Figure("note_name", "Its name", name_of(note)),
            Figure("a4_hz", "Agreed pitch, A4", a4, "Hz"),
        ),
        outputs=(
            Figure("reference_hz", "Its place", place, "Hz", "equal temperament, no stretch"),
            Figure("frequency_hz", "Sounds at", sounds, "Hz"),
            Figure("cents", "Deviation", off, "cents", _side(off)),
            Figure("beats_per_second", "Beats a second", abs(apart), "", "against a reference at the unison"),
            Figure("cents_per_beat", "One beat flat here is", cents_of_beats(1.0, place), "cents"),
        ),
        says=(
            f"{with_unit(abs(apart), '')} beats a second at {name_of(note)} are {with_unit(abs(off), 'cents')} "
            f"{_side(off)}; at another note the same beats mean something else."
            if off
            else f"{name_of(note)} in its place sounds at {with_unit(place, 'Hz')}.",
        ),
        rests_on=(
            Basis(
                "standard pitch",
                row.standing.value,
                f"{source.author}, {source.title}" if source else "",
                row.where,
            ),
            Basis("cents from beats", "published", "A. J. Ellis’s cent", "1200·log₂((f − beats) / f)"),
        ),
    )


def _side(cents: float) -> str:
    return "flat" if cents < 0.0 else "sharp" if cents > 0.0 else "in place"
