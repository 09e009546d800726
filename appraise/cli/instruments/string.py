"""`appraise measure string`: what a string or a whole scale bears."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.instruments.options import typed_reading
from appraise.cli.options import units_of

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "tension, share of tensile strength and inharmonicity of a string or of a whole scale"
MORE = (
    "A string needs --note or --hz, --length and --diameter; a wound one --wrap for each layer. Lengths are in mm, or "
    "in inches with --units inch, unless their unit is written: 15.75in. A scale is a CSV with note, length_mm, "
    "diameter_mm, core_mm, wrap_mm, strings."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the instrument's own options."""
    parser.add_argument("--note", metavar="NOTE", help="name or number, A4 or 49")
    parser.add_argument("--hz", metavar="HZ", help="wanted frequency, where it is not that of a note")
    parser.add_argument("--a4", metavar="HZ", help="wanted frequency of A4; 440 where it is not given")
    parser.add_argument("--length", metavar="LENGTH", help="speaking length")
    parser.add_argument("--diameter", metavar="LENGTH", help="of the plain wire, or of the core of a wound string")
    parser.add_argument("--wrap", metavar="LENGTH", action="append", help="winding wire; again for a second layer")
    parser.add_argument("--winding", metavar="KEY", default="copper", help="of `appraise sources wire_materials`")
    parser.add_argument("--strings", metavar="N", help="strings of the note")
    parser.add_argument("--flat", metavar="CENTS", help="how far it stands below pitch: change of tension and a plan")
    parser.add_argument("--strength", metavar="KEY", default="a228_low", help="of `appraise sources wire_strengths`")
    parser.add_argument("--scale", type=Path, metavar="FILE", help="a whole scale as CSV")


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Answer.

    Raises:
        InputError: A reading that cannot be, or one without the others it needs.
        Unreadable: The scale cannot be read.
    """
    return _scale(args, tables) if args.scale is not None else _string(args, tables)


def _a4(args: argparse.Namespace, tables: Tables) -> float:
    from appraise.services.instruments.typed_readings import reading

    return reading("440" if args.a4 is None else args.a4, "a4_frequency", tables)


def _string(args: argparse.Namespace, tables: Tables) -> Measurement:
    from appraise.model.notes import note_frequency
    from appraise.services.instruments.one_string import StringReadings, measure_string
    from appraise.services.instruments.typed_readings import note_number, reading
    from appraise.services.refused import InputError

    if (args.note is None) == (args.hz is None):
        raise InputError("one of --note and --hz is needed")
    if args.hz is not None and args.a4 is not None:
        raise InputError("--a4 belongs to --note or --scale, not to --hz")
    hz = typed_reading(args, tables, "hz", "frequency")
    length = typed_reading(args, tables, "length", "speaking_length")
    core = typed_reading(args, tables, "diameter", "wire_diameter")
    if length is None or core is None:
        raise InputError("--length and --diameter are needed, or --scale with a whole sheet")
    count = typed_reading(args, tables, "strings", "string_count")
    if count is not None and not count.is_integer():
        raise InputError(f"--strings: “{args.strings}” is not a whole number")
    windings = tuple(
        (reading(text, "winding_diameter", tables, units_of(args)), args.winding) for text in args.wrap or ()
    )
    return measure_string(
        StringReadings(
            hz=note_frequency(note_number(args.note), _a4(args, tables)) if hz is None else hz,
            length=length,
            core=core,
            windings=windings,
            strings=1 if count is None else int(count),
            flat=typed_reading(args, tables, "flat", "pitch_change"),
            strength=args.strength,
        ),
        tables,
    )


def _scale(args: argparse.Namespace, tables: Tables) -> Measurement:
    from appraise.services.instruments.scale_file import read_scale
    from appraise.services.instruments.scale_sheet import measure_scale
    from appraise.services.refused import InputError

    for name in ("note", "hz", "length", "diameter", "wrap", "strings"):
        if getattr(args, name) is not None:
            raise InputError(f"--{name} and --scale ask for two answers: give one of them")
    return measure_scale(
        read_scale(args.scale, tables),
        tables,
        a4=_a4(args, tables),
        flat=typed_reading(args, tables, "flat", "pitch_change"),
        strength=args.strength,
    )
