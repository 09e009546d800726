"""`appraise measure beats NOTE`: beats at a note, cents and frequency."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "beats at a note, cents and frequency, each from the others"
MORE = "The note is always needed: four beats flat mean nothing without it."
_MOST_BEATS = 5000.0
_MOST_HZ = 20000.0


def options(parser: argparse.ArgumentParser) -> None:
    """Add what it takes."""
    parser.add_argument("note", metavar="NOTE", help="the note, by name (A4, C#3, Bb2) or number (1 to 88)")
    one = parser.add_mutually_exclusive_group()
    one.add_argument("--flat", metavar="N", help="beats a second below its place")
    one.add_argument("--sharp", metavar="N", help="beats a second above its place")
    one.add_argument("--cents", metavar="N", help="deviation in cents, flat negative")
    one.add_argument("--hz", metavar="N", help="frequency that sounds")
    parser.add_argument("--a4", metavar="HZ", help="agreed pitch of A4, where it is not the standard one")


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Turn one into the others.

    Raises:
        InputError: A figure cannot be.
    """
    from appraise.model import plausible
    from appraise.services.instruments.beats import beats_at_note, note_typed
    from appraise.services.typed_quantities import amount

    beats = hz = cents = a4 = None
    if args.flat is not None:
        beats = amount(args.flat, "", "beats flat", 0.0, _MOST_BEATS)
    if args.sharp is not None:
        beats = -amount(args.sharp, "", "beats sharp", 0.0, _MOST_BEATS)
    if args.cents is not None:
        cents = amount(args.cents, "cents", "cents", *plausible.CENTS)
    if args.hz is not None:
        hz = amount(args.hz, "Hz", "frequency", 1.0, _MOST_HZ)
    if args.a4 is not None:
        a4 = amount(args.a4, "Hz", "agreed pitch", 1.0, _MOST_HZ)
    return beats_at_note(note_typed(args.note), tables, beats=beats, cents=cents, hz=hz, a4_hz=a4)
