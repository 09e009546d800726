"""`appraise measure pitch FILE`: a pitch log's drift, season and verdict."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.options import units_of

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "a pitch log: drift with its interval, what the season explains, and a verdict"
MORE = (
    "FILE is a case, or comma-separated values with the columns date, note, cents, temperature, humidity, remark; a "
    "temperature is in °C, or in °F with --units inch, unless cell or heading says."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add what it takes."""
    parser.add_argument("file", type=Path, metavar="FILE", help="a case file (.toml), or a log as .csv")


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Judge the log.

    Raises:
        InputError: The case holds no reading.
        Unreadable: The file cannot be used.
    """
    from appraise.cli.inputs import usable_case
    from appraise.services.instruments.pitch import pitch_measurement
    from appraise.services.instruments.pitch_csv import read_pitch_csv
    from appraise.services.refused import InputError

    is_case = args.file.suffix.lower() == ".toml"
    log = usable_case(args.file, tables).pitch_log if is_case else read_pitch_csv(args.file, units_of(args))
    try:
        return pitch_measurement(log, tables)
    except InputError as refused:
        raise InputError(f"{args.file}: {refused}") from None
