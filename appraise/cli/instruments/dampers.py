"""`appraise measure dampers`: ringing on, extent of the felts, uneven lift."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.instruments.options import add_file, add_kind, add_level, from_file

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "dampers: bleed-through, extent of wedge and flat felts, uneven lift, hours"
MORE = "Notes are names, numbers or ranges: A4, 49, 46-58, C3-E5."


def options(parser: argparse.ArgumentParser) -> None:
    """Add what this instrument asks for."""
    parser.add_argument("--ring", nargs="+", default=[], metavar="NOTE=SECONDS", help="time until silent: 12=1.4")
    add_file(parser, "columns note and ring")
    parser.add_argument("--wedge", metavar="NOTES", help="notes with wedge or half-wedge felts: 1-33")
    parser.add_argument("--flat", metavar="NOTES", help="notes with flat felts: 34-68")
    parser.add_argument("--uneven", metavar="NOTES", help="notes early or late on the pedal; none: all even")
    parser.add_argument("--missing", metavar="NOTES", help="notes whose damper misses a string; none: all meet")
    add_kind(parser)
    add_level(parser)


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Measure.

    Raises:
        InputError: A figure cannot be.
        Unreadable: The file cannot be used.
    """
    from appraise.model.case import Kind
    from appraise.services.instruments.dampers import Seen, dampers_measurement
    from appraise.services.instruments.note_values import note_columns, quantity_of, typed

    what = quantity_of(tables.checks["damper_bleed"], "ring", ("seconds",))
    ring = typed(args.ring, what)
    if from_file(args, ring, "--ring"):
        ring = note_columns(args.csv, (what,))[what.key]
    seen = Seen(
        ring,
        _notes(args.wedge, "wedge") or (),
        _notes(args.flat, "flat") or (),
        _notes(args.uneven, "uneven"),
        _notes(args.missing, "missing"),
    )
    return dampers_measurement(seen, Kind(args.kind), tables, level=args.level)


def _notes(text: str | None, name: str) -> tuple[int, ...] | None:
    """Read notes; "none" is none of them, nothing is that nobody looked."""
    from appraise.model.notes import notes_of
    from appraise.services.refused import InputError

    if text is None:
        return None
    if text.strip().casefold() == "none":
        return ()
    try:
        return notes_of(text)
    except ValueError as error:
        raise InputError(f"--{name}: {error}") from None
