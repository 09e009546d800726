"""`appraise sales share SERVER`: one book for a firm, in a PostgreSQL server."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.output import say

if TYPE_CHECKING:
    import argparse

HELP = "hand your sales in to a PostgreSQL server that a firm shares, and fetch the others' from it"
MORE = (
    "The table is made where there is none, its columns those of the book. Needs psycopg, which "
    "`pip install 'appraise[practice]'` brings. Nothing else of this program ever calls a server, and this one only "
    "the server named."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    text = "how to reach it: postgresql://…, or host=/run/postgresql dbname=firm"
    parser.add_argument("server", metavar="SERVER", help=text)


def run(args: argparse.Namespace) -> int:
    """Hand in and fetch.

    Raises:
        WrongUse: psycopg is missing, or the server cannot be used.
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book
    from appraise.evidence.exchange import MissingLibrary, fetched, hand_in

    try:
        with book(args.book, create=True) as found:
            given = hand_in(args.server, found.sales())
            taken = found.add(fetched(args.server))
            count = found.count()
    except (MissingLibrary, ConnectionError, ValueError) as wrong:
        raise WrongUse(f"appraise sales share: {wrong}") from None
    say(f"{given:,} sales handed in, {taken:,} fetched; {count:,} now in {args.book.name}")
    return ExitCode.DONE
