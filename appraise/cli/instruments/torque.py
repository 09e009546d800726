"""`appraise measure torque`: tuning pins, by torque and by holding."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.instruments.options import add_file, add_level, add_unit, from_file, meant
from appraise.cli.options import whole

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "tuning pins: torque by section, lines of loose pins, holding test"
MORE = (
    "Pins are numbered along their row from the bass end; "
    "a torque is in N·m, or in in·lb with --units inch, unless its unit is written."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add what this instrument asks for."""
    parser.add_argument(
        "--of",
        nargs="+",
        action="append",
        default=[],
        metavar=("SECTION/ROW", "PIN=TORQUE"),
        help="a section or a row of it, and its pins, as often as needed: --of bass 1=7.4 --of tenor/2 1=60inlb",
    )
    add_file(parser, "columns section, row, pin and torque; section and row may be missing")
    add_unit(parser, "N·m, in·lb")
    parser.add_argument("--below", metavar="TORQUE", help="a pin with less counts as loose")
    parser.add_argument("--pins", type=whole(50, 300), metavar="N", help="tuning pins of the instrument (230)")
    add_level(parser)
    parser.add_argument("--set", nargs="+", default=[], metavar="PIN=CENTS", help="holding test: pitch as set")
    parser.add_argument("--found", nargs="+", default=[], metavar="PIN=CENTS", help="holding test: pitch found later")
    parser.add_argument("--hours", metavar="HOURS", help="holding test: hours between the two")


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Measure.

    Raises:
        InputError: A figure cannot be.
        Unreadable: The file cannot be used.
    """
    from appraise.services.instruments.note_values import amount, quantity_of
    from appraise.services.instruments.torque import pins_from, pins_typed, torque_measurement

    if args.set or args.found or args.hours:
        return _holding(args, tables)
    limit = quantity_of(tables.checks["pin_torque"], "torque")
    unit = meant(args, limit.unit)
    filed = from_file(args, args.of, "--of")
    pins = pins_from(args.csv, tables, unit) if filed else pins_typed(args.of, tables, unit)
    below = amount(args.below, limit, unit) if args.below else None
    return torque_measurement(pins, tables, below=below, population=args.pins, level=args.level)


def _holding(args: argparse.Namespace, tables: Tables) -> Measurement:
    from appraise.services.instruments.holding import HOURS, cents_typed, holding_measurement
    from appraise.services.instruments.note_values import amount
    from appraise.services.refused import InputError

    if args.of or args.csv is not None:
        raise InputError("found torques beside a holding test, expected one or the other")
    if not (args.set and args.found and args.hours):
        raise InputError("a holding test needs --set, --found and --hours")
    return holding_measurement(cents_typed(args.set), cents_typed(args.found), amount(args.hours, HOURS), tables)
