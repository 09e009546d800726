"""`appraise measure touch`: touchweight across the compass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.instruments.options import add_compass, add_file, add_kind, add_unit, from_file

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "touchweight: friction and balance from down- and upweight, note by note"
MORE = "Weigh with the right pedal down; notes 1, 16, 28, 40, 52, 64, 76 and 88 make a quick pass."


def options(parser: argparse.ArgumentParser) -> None:
    """Add what this instrument asks for."""
    parser.add_argument("--down", nargs="+", default=[], metavar="NOTE=G", help="downweights: A4=52, 46-58=51")
    parser.add_argument("--up", nargs="+", default=[], metavar="NOTE=G", help="upweights of the same notes")
    add_file(parser, "columns note, down and up")
    add_kind(parser)
    add_unit(parser, "g (meant where none is said), oz")
    add_compass(parser)


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Measure.

    Raises:
        InputError: A figure cannot be.
        Unreadable: The file cannot be used.
    """
    from appraise.engine.instruments.touch import QUANTITIES
    from appraise.model.case import Kind
    from appraise.services.instruments.note_values import note_columns, quantity_of, typed
    from appraise.services.instruments.touch import touch_measurement

    kind = Kind(args.kind)
    down = quantity_of(tables.checks[QUANTITIES[kind]["downweight"]], "downweight", ("down", "d"))
    up = quantity_of(tables.checks[QUANTITIES[Kind.GRAND]["upweight"]], "upweight", ("up", "u"))
    downs, ups = typed(args.down, down, args.unit), typed(args.up, up, args.unit)
    if from_file(args, downs or ups, "readings"):
        both = {down.key: args.unit, up.key: args.unit}
        found = note_columns(args.csv, (down, up), both, most=args.compass)
        downs, ups = found.get(down.key, {}), found.get(up.key, {})
    return touch_measurement(downs, ups, kind, tables, population=args.compass, level=args.level)
