"""`appraise sales check`: whether the book is whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, complain
from appraise.cli.output import say

if TYPE_CHECKING:
    import argparse

HELP = "see that the book is whole: SQLite's own check of the file, and every row read"
MORE = "Exit code 1 where something is wrong."


def options(parser: argparse.ArgumentParser) -> None:
    """Add no options but the book."""
    del parser


def run(args: argparse.Namespace) -> int:
    """Check it.

    Raises:
        Unreadable: The book cannot be opened.
    """
    from appraise.evidence.book import book

    with book(args.book) as found:
        faults = found.faults()
        count = 0 if faults else found.count()
    for fault in faults:
        complain(f"{args.book}: {fault}")
    if faults:
        return ExitCode.PROBLEMS
    say(f"{args.book.name}: {count:,} sales, all sound")
    return ExitCode.DONE
