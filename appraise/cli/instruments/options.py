"""What the instruments that read note by note share on the command line."""

from __future__ import annotations

import argparse
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import WrongUse
from appraise.cli.options import whole
from appraise.store.findings import shorten

if TYPE_CHECKING:
    from collections.abc import Iterator

    from appraise.model.manner import Units


def add_file(parser: argparse.ArgumentParser, text: str) -> None:
    """Add `--csv`, with the columns that may stand in it."""
    parser.add_argument("--csv", type=Path, metavar="FILE", help=f"readings from a file of separated values: {text}")


def add_unit(parser: argparse.ArgumentParser, text: str) -> None:
    """Add `--unit`, with the units that fit."""
    parser.add_argument("--unit", metavar="UNIT", default="", help=f"unit of readings that name none: {text}")


def units_of(args: argparse.Namespace) -> Units:
    """Return the units that `--units` asks for: those of the answer, and of what is typed without a unit."""
    from appraise.model.manner import Units

    return Units(args.units or Units.METRIC)


def meant(args: argparse.Namespace, unit: str) -> str:
    """Return what a number alone is in: `--unit` where it is said, else the unit that stands in `--units` for ours.

    Args:
        args: The options.
        unit: The base unit of what is asked.
    """
    from appraise.services.shown import unit_shown

    said: str = getattr(args, "unit", "")
    return said or unit_shown(unit, units_of(args))


def add_compass(parser: argparse.ArgumentParser) -> None:
    """Add `--compass` and `--level`."""
    parser.add_argument("--compass", type=whole(12, 88), default=88, metavar="N", help="notes of the compass (88)")
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


@contextmanager
def one_line(name: str) -> Iterator[None]:
    """Turn what a service refuses into a line of wrong use.

    Raises:
        WrongUse: Something was refused.
    """
    from appraise.services.refused import Refused

    try:
        yield
    except Refused as refused:
        raise WrongUse(f"appraise measure {name}: {refused}") from None
