"""`appraise sales export FILE`: the book as CSV or Parquet, for any other engine."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.output import say, stream

if TYPE_CHECKING:
    import argparse

HELP = "write the whole book as CSV or Parquet, which every database engine reads"
MORE = (
    "CSV begins text that a spreadsheet would take for a formula with an apostrophe; `sales import` reads it back. "
    "Parquet needs pyarrow, which `pip install 'appraise[practice]'` brings."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument("file", metavar="FILE", help="ending in .csv or .parquet; - writes CSV to standard output")


def run(args: argparse.Namespace) -> int:
    """Write it.

    Raises:
        WrongUse: The ending says neither, or pyarrow is not there.
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book
    from appraise.evidence.exchange import MissingLibrary, parquet, write_csv

    ending = ".csv" if args.file == "-" else Path(args.file).suffix.lower()
    if ending not in (".csv", ".parquet"):
        raise WrongUse(f'appraise sales export: found "{args.file[:60]}", expected a name ending in .csv or .parquet')
    with book(args.book) as found:
        if ending == ".csv":
            with stream(args.file) as out:
                count = write_csv(out, found.sales())
        else:
            try:
                with stream(args.file) as out:
                    count = parquet(out.buffer, found.sales())
            except MissingLibrary as missing:
                raise WrongUse(f"appraise sales export: {missing}") from None
    if args.file != "-":
        say(f"{count:,} sales in {args.file}")
    return ExitCode.DONE
