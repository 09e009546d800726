"""`appraise report CASE -o FILE`: a report of the kind asked for, in the format that the ending of each file says."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.documents import add_output, refuse, write_out
from appraise.cli.kinds import add_kind, item_for
from appraise.cli.valued import add_valuing
from appraise.report.words import capital

if TYPE_CHECKING:
    import argparse


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = "write the report of a case as PDF, HTML, Markdown or JSON"
    parser = subparsers.add_parser("report", help=text, description=f"{capital(text)}.")
    parser.add_argument("case", type=Path, metavar="CASE", help="a case file")
    add_output(parser, required=True)
    add_kind(parser)
    add_valuing(parser, json=False)


def run(args: argparse.Namespace) -> int:
    """Write the report, in every format asked for.

    Raises:
        Unreadable: The case or the tables cannot be used.
        WrongUse: A file cannot be written, or would replace another.
    """
    refuse(args)
    return write_out(args, args.kind, item_for(args), args.case)
