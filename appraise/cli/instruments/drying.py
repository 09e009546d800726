"""`appraise measure drying`: has it dried out?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.tables.rows import Tables

HELP = "has it dried out? odds from clues, and the next clue worth looking for"
MORE = "Clues are rows of the table drying_clues; a case brings those that follow from its checks as well."


def options(parser: argparse.ArgumentParser) -> None:
    """Add what it takes."""
    parser.add_argument("--seen", nargs="+", default=[], metavar="CLUE", help="clues that were seen")
    parser.add_argument("--absent", nargs="+", default=[], metavar="CLUE", help="clues looked for and not there")
    parser.add_argument("--case", type=Path, metavar="CASE", help="a case file instead")


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Weigh the clues.

    Raises:
        InputError: An unknown clue, or clues beside a case.
        Unreadable: The case cannot be used.
    """
    from appraise.cli.inputs import usable_case
    from appraise.services.instruments.drying import drying_from_clues, drying_of_case
    from appraise.services.refused import InputError

    if args.case is not None:
        if args.seen or args.absent:
            raise InputError("give clues or a case, not both; write the clues in the case file")
        return drying_of_case(usable_case(args.case, tables), tables)
    return drying_from_clues(args.seen, args.absent, tables)
