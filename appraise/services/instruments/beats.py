"""Beats at a note, cents and frequency, as one answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.instruments.pitch import beats_of_cents, cents_of, cents_of_beats, frequency_of
from appraise.model import plausible
from appraise.model.measurement import Basis, Figure, Measurement
from appraise.model.notes import name_of, note_frequency, number_of
from appraise.model.problem import InputError
from appraise.model.quantities import amount, number, with_unit, within
from appraise.model.sentence import Amount, sentence
from appraise.services.instruments.inputs import Field, Given, Tool
from appraise.services.quantity_limits import quantity_in_range

if TYPE_CHECKING:
    from appraise.tables.rows import Tables

_AMOUNTS = {
    "flat": ("", "beats flat", 0.0, 5000.0),
    "sharp": ("", "beats sharp", 0.0, 5000.0),
    "cents": ("cents", "cents", *plausible.CENTS),
    "hz": ("Hz", "frequency", 1.0, 20000.0),
    "a4": ("Hz", "agreed pitch", 1.0, 20000.0),
}
"""Unit, name, least and greatest of what the command line takes."""


def _answer(given: Given) -> Measurement:
    if given.case is not None:
        if not given["note"] or not given["beats"]:
            raise InputError("Write the note and the beats a second: four beats flat mean nothing without their note.")
        a4 = quantity_in_range("a4_frequency", given.tables).read(given["a4"] or "440")
        note = number_of(given["note"])
        return beats_at_note(note, given.tables, beats=number(given["beats"]), a4_hz=a4)
    found = {key: amount(given[key], *how) for key, how in _AMOUNTS.items() if given[key] is not None}
    beats = -found["sharp"] if "sharp" in found else found.get("flat")
    cents, hz, a4_hz = (found.get(key) for key in ("cents", "hz", "a4"))
    return beats_at_note(number_of(given["note"]), given.tables, beats=beats, cents=cents, hz=hz, a4_hz=a4_hz)


TOOL = Tool(
    "beats",
    "Beats",
    "The note is always needed: four beats flat mean nothing without it.",
    (
        Field("note", "the note, by name (A4, C#3, Bb2) or number (1 to 88)", "NOTE").form(
            "note", "A3, C#4 or 37: beats mean nothing without their note", "A4"
        ),
        Field("beats").form("beats flat", "a second; negative where it is sharp", "4"),
        Field("--flat", "beats a second below its place", "N", alternative=True),
        Field("--sharp", "beats a second above its place", "N", alternative=True),
        Field("--cents", "deviation in cents, flat negative", "N", alternative=True),
        Field("--hz", "frequency that sounds", "N", alternative=True),
        Field("--a4", "agreed pitch of A4, where it is not the standard one", "HZ").form(
            "A4", "the pitch agreed, as 442 Hz", "440 Hz"
        ),
    ),
    _answer,
)


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
    bounds = tables.setting("agreed_pitch_low_hz"), tables.setting("agreed_pitch_high_hz")
    a4 = within(standard if a4_hz is None else a4_hz, bounds, "Hz", subject="A4")
    place, name = note_frequency(note, a4), name_of(note)
    if beats is not None:
        if beats >= place:
            raise InputError(f"{beats:g} beats flat", f"fewer than the {with_unit(place, 'Hz')} of {name}")
        off = cents_of_beats(beats, place)
    elif hz is not None:
        if hz <= 0.0:
            raise InputError("a frequency is above 0 Hz")
        off = cents_of(hz, place)
    else:
        off = 0.0 if cents is None else cents
    within(off, plausible.CENTS, "cents", subject=f"from {name}")
    apart = abs(beats_of_cents(off, place))
    side = "flat" if off < 0.0 else "sharp" if off > 0.0 else "in place"
    says = sentence("{note} in its place sounds at {frequency}.", note=name, frequency=Amount(place, "Hz"))
    if off:
        says = sentence(
            "{beats} beats a second at {note} are {cents} {side}; at another note the same beats mean something else.",
            beats=Amount(apart), note=name, cents=Amount(abs(off), "cents"), side=side,
        )  # fmt: skip
    row = tables.settings["standard_pitch_hz"]
    source = tables.sources.get(row.source)
    named = f"{source.author}, {source.title}" if source else ""
    return Measurement(
        instrument="beats",
        title=f"Beats at {name}",
        inputs=(
            Figure("note", "Note", note),
            Figure("note_name", "Its name", name),
            Figure("a4_hz", "Agreed pitch, A4", a4, "Hz"),
        ),
        outputs=(
            Figure("reference_hz", "Its place", place, "Hz", "equal temperament, no stretch"),
            Figure("frequency_hz", "Sounds at", frequency_of(off, place), "Hz"),
            Figure("cents", "Deviation", off, "cents", side),
            Figure("beats_per_second", "Beats a second", apart, "", "against a reference at the unison"),
            Figure("cents_per_beat", "One beat flat here is", cents_of_beats(1.0, place), "cents"),
        ),
        says=(says,),
        rests_on=(
            Basis("standard pitch", row.standing.value, named, row.where),
            Basis("cents from beats", "published", "A. J. Ellis’s cent", "1200·log₂((f − beats) / f)"),
        ),
    )
