"""`appraise measure wood`: moisture content, its inverse, change of width, gaps, settling, and a logger's record."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.instruments.options import typed_reading

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "moisture content of wood, what a gap speaks of, days to settle, a data logger’s record"
MORE = (
    "Quantities may carry their unit: 70F, 55in, 1.5mm; without one they are in °C and mm, or in °F and inches with "
    "--units inch. Write a negative one as --temperature=-5C. "
    "Widths are those of free wood: a board is held by ribs and rim."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the instrument's own options."""
    parser.add_argument("--temperature", metavar="T", help="of the air; 20 °C where it is not given")
    parser.add_argument("--rh", metavar="PERCENT", help="relative humidity of the air")
    parser.add_argument("--moisture", metavar="PERCENT", help="moisture content, as a meter shows it")
    parser.add_argument("--to-temperature", metavar="T", help="of the air later; the same where it is not given")
    parser.add_argument("--to-rh", metavar="PERCENT", help="relative humidity later")
    parser.add_argument("--width", metavar="LENGTH", help="width of the board across the grain")
    parser.add_argument("--wood", metavar="KEY", default="sitka_spruce", help="`appraise sources woods` lists them")
    parser.add_argument("--flat-sawn", action="store_true", help="tangential; a soundboard is quarter-sawn")
    parser.add_argument("--gap", metavar="LENGTH", help="gap or opened shim; the sum of several across the width")
    parser.add_argument("--move", metavar="KEY", help="a kind of move, of `appraise sources settling_times`")
    parser.add_argument("--log", type=Path, metavar="FILE", help="a data logger’s CSV: time, temperature, %%RH")
    parser.add_argument("--unit", choices=("C", "F"), help="of the log’s temperature, where its heading has none")
    parser.add_argument("--month-first", action="store_true", help="the log writes 01/31/2026 for 31 January")


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Answer.

    Raises:
        InputError: A reading that cannot be, or one without the others it needs.
        Unreadable: The log cannot be read.
    """
    from appraise.services.instruments.wood import WoodReadings, measure_wood
    from appraise.services.refused import InputError

    def typed(option: str, key: str) -> float | None:
        return typed_reading(args, tables, option, key)

    width = typed("width", "board_width")
    if args.log is not None:
        return _log(args, tables, width)
    if args.unit is not None or args.month_first:
        raise InputError("--unit and --month-first belong to --log")
    temperature = typed("temperature", "air_temperature")
    return measure_wood(
        WoodReadings(
            temperature=20.0 if temperature is None else temperature,
            humidity=typed("rh", "air_humidity"),
            moisture=typed("moisture", "moisture_content"),
            to_temperature=typed("to_temperature", "air_temperature"),
            to_humidity=typed("to_rh", "air_humidity"),
            width=width,
            wood=args.wood,
            flat_sawn=args.flat_sawn,
            gap=typed("gap", "gap_width"),
            move=args.move,
        ),
        tables,
    )


def _log(args: argparse.Namespace, tables: Tables, width: float | None) -> Measurement:
    from appraise.services.instruments.climate_log import measure_log
    from appraise.services.instruments.log_file import read_log
    from appraise.services.refused import InputError

    beside = ("temperature", "rh", "moisture", "to_temperature", "to_rh", "gap", "move")
    for name in beside:
        if getattr(args, name) is not None:
            raise InputError(f"--{name.replace('_', '-')} and --log ask for two answers: give one of them")
    log = read_log(args.log, tables, unit=args.unit, month_first=args.month_first)
    return measure_log(log, tables, width=width, wood=args.wood, flat_sawn=args.flat_sawn)
