"""What several instruments share on the command line: their options, and how what is typed is read."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.options import units_of, whole
from appraise.store.findings import shorten

if TYPE_CHECKING:
    from appraise.tables.rows import Tables


def add_file(parser: argparse.ArgumentParser, text: str) -> None:
    """Add `--csv`, with the columns that may stand in it."""
    parser.add_argument("--csv", type=Path, metavar="FILE", help=f"readings from a file of separated values: {text}")


def add_unit(parser: argparse.ArgumentParser, text: str) -> None:
    """Add `--unit`, with the units that fit."""
    parser.add_argument("--unit", metavar="UNIT", default="", help=f"unit of readings that name none: {text}")


def meant(args: argparse.Namespace, unit: str) -> str:
    """Return what a number alone is in: `--unit` where it is said, else the unit that stands in `--units` for ours.

    Args:
        args: The options.
        unit: The base unit of what is asked.
    """
    from appraise.services.displayed_quantities import unit_shown

    said: str = getattr(args, "unit", "")
    return said or unit_shown(unit, units_of(args))


def add_compass(parser: argparse.ArgumentParser) -> None:
    """Add `--compass` and `--level`."""
    parser.add_argument("--compass", type=whole(12, 88), default=88, metavar="N", help="notes of the compass (88)")
    add_level(parser)


def add_level(parser: argparse.ArgumentParser) -> None:
    """Add `--level`."""
    parser.add_argument("--level", type=percent, metavar="PERCENT", help="confidence of the intervals (90)")


def add_kind(parser: argparse.ArgumentParser) -> None:
    """Add `--kind`."""
    parser.add_argument("--kind", choices=("grand", "upright"), default="grand", help="grand unless you say upright")


def percent(text: str) -> float:
    """Read a percentage between 50 and 99.9 as a share.

    Raises:
        argparse.ArgumentTypeError: It is not one.
    """
    try:
        value = float(text.rstrip("%").replace(",", "."))
    except ValueError:
        value = 0.0
    if not 50.0 <= value <= 99.9:
        raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected a percentage from 50 to 99.9')
    return value / 100.0


def from_file(args: argparse.Namespace, given: object, what: str) -> bool:
    """Tell whether the readings come from a file.

    Args:
        args: With the option of `add_file`.
        given: The readings that the command line holds.
        what: What they are called there: "--of".

    Raises:
        InputError: There are both.
    """
    from appraise.services.refused import InputError

    if args.csv is not None and given:
        raise InputError(f"found {what} beside --csv, expected one or the other")
    return args.csv is not None


def typed_reading(args: argparse.Namespace, tables: Tables, option: str, key: str) -> float | None:
    """Return the quantity that an option holds, in the unit of its row; none where it is not given.

    Args:
        args: The options.
        tables: The tables.
        option: As `args` names it.
        key: Row of `reading_ranges`.

    Raises:
        InputError: It cannot be; the text names the option.
    """
    from appraise.services.instruments.typed_readings import reading
    from appraise.services.refused import InputError

    text = getattr(args, option)
    try:
        return None if text is None else reading(text, key, tables, units_of(args))
    except InputError as refused:
        raise InputError(f"--{option.replace('_', '-')}: {refused}") from None
