"""`appraise open [CASE]`: the worksheet."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import WrongUse
from appraise.cli.options import add_tables
from appraise.cli.summaries import COMMANDS
from appraise.report.words import capital

if TYPE_CHECKING:
    import argparse


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = COMMANDS["open"]
    parser = subparsers.add_parser("open", help=text, description=f"{capital(text)}.")
    parser.add_argument("case", nargs="?", type=Path, metavar="CASE", help="a case file, or a folder of them")
    text = "ask the checks as plain lines on standard input and output, for screen readers and slow links"
    parser.add_argument("--lines", action="store_true", help=text)
    add_tables(parser)


def run(args: argparse.Namespace) -> int:
    """Open the worksheet, or walk in lines.

    Raises:
        WrongUse: There is no terminal to open it in.
        Unreadable: The case or the tables cannot be used.
    """
    if args.lines:
        from appraise.cli.inputs import tables_for
        from appraise.cli.lines import walk_in_lines

        if args.case is None or args.case.is_dir():
            raise WrongUse("appraise open: found --lines without a case file, expected `appraise open --lines CASE`")
        return walk_in_lines(args.case, tables_for(args.tables))
    if not interactive():
        raise WrongUse("appraise open: found no terminal, expected one; `appraise value CASE` needs none")
    case: Path | None = args.case
    folder = Path()
    if case is not None and case.is_dir():
        folder, case = case, None
    elif case is not None:
        folder = case.parent
    return open_worksheet(folder, case, args.tables)


def interactive() -> bool:
    """Say whether a person sits at both ends."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def open_worksheet(folder: Path, case: Path | None, overlay: Path | None = None, *, tour: bool = False) -> int:
    """Run the terminal interface until it is left.

    Args:
        folder: Whose cases are listed.
        case: The case to open at once.
        overlay: The user's own tables.
        tour: Whether to lead through it.

    Returns:
        The exit code.

    Raises:
        Unreadable: The case or the tables cannot be used.
    """
    # By name, so that no command loads the terminal interface but those that open it.
    code: int = import_module("appraise.app").run(folder, case, overlay, **({"tour": True} if tour else {}))
    return code
