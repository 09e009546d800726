"""`appraise measure regulation`: the regulation sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.instruments.options import add_compass, add_file, add_kind, from_file, meant

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "the regulation sheet: what is out of tolerance, and the hours it takes"
MORE = (
    "`appraise sources regulation_targets` lists the adjustments; "
    "a length is in mm, or in inches with --units inch, unless its unit is written."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add what this instrument asks for."""
    parser.add_argument(
        "--of",
        nargs="+",
        action="append",
        default=[],
        metavar=("ADJUSTMENT", "NOTE=VALUE"),
        help="one adjustment and its readings, as often as needed: --of let_off 1=2 A4=1,5 --of key_dip 1-88=10",
    )
    add_file(parser, "columns note and any of the adjustments")
    add_kind(parser)
    add_compass(parser)


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Measure.

    Raises:
        InputError: A figure cannot be.
        Unreadable: The file cannot be used.
    """
    from appraise.model.case import Kind
    from appraise.services.instruments.note_values import note_columns, typed
    from appraise.services.instruments.regulation import regulation_measurement, targets_of
    from appraise.services.refused import InputError
    from appraise.tables.files import nearest

    kind = Kind(args.kind)
    quantities = [target.quantity for target in targets_of(tables, kind).values()]
    known = {name: what for what in quantities for name in (*what.others, what.key)}
    readings: dict[str, dict[int, float]] = {}
    if from_file(args, args.of, "--of"):
        units = {what.key: meant(args, what.unit) for what in quantities}
        readings = note_columns(args.csv, quantities, units, most=args.compass)
    for name, *words in args.of:
        what = known.get(name)
        if what is None:
            mend = nearest(name, known) or "known are " + ", ".join(one.key for one in quantities)
            raise InputError(f'found "{name}", expected an adjustment; {mend}')
        if what.key in readings:
            raise InputError(f"found {what.key} twice, expected it once")
        readings[what.key] = typed(words, what, meant(args, what.unit))
    return regulation_measurement(readings, kind, tables, population=args.compass, level=args.level)
