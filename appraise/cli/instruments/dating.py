"""`appraise measure dating CLUE…`: years since a renewal nobody documented."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.options import add_date

if TYPE_CHECKING:
    import argparse

    from appraise.model.measurement import Measurement
    from appraise.model.span import Span
    from appraise.tables.rows import Tables

HELP = "years since a renewal, from the look of its parts"
MORE = "Clues are rows of the table dating_clues; `appraise sources dating_clues` lists them. A documented date wins."


def options(parser: argparse.ArgumentParser) -> None:
    """Add what it takes."""
    parser.add_argument("clues", nargs="*", metavar="CLUE", help="a clue: copper_dull, wire_grey …")
    parser.add_argument("--made", metavar="WHEN", help="when the instrument was made: 1931, 1931-05 or 1925/1931")
    parser.add_argument("--documented", metavar="WHEN", help="the date of the renewal on paper")
    add_date(parser, "the day it is seen; none: today")


def measure(args: argparse.Namespace, tables: Tables) -> Measurement:
    """Weigh the clues.

    Raises:
        InputError: An unknown clue, or dates that cannot be.
    """
    from appraise.cli import inputs
    from appraise.services.instruments.dating import date_clues

    return date_clues(
        args.clues,
        tables,
        inspected=args.date or inputs.today(),
        made=_span(args.made, "made"),
        documented=_span(args.documented, "documented"),
    ).measurement


def _span(text: str | None, what: str) -> Span | None:
    from appraise.model.span import Span
    from appraise.services.refused import InputError

    if text is None:
        return None
    try:
        return Span.parse(text)
    except ValueError:
        raise InputError(f"--{what}: found “{text[:40]}”, expected 1931, 1931-05 or 1925/1931") from None
