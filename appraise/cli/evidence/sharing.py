"""`appraise sales share SERVER`: one book for a firm, in a PostgreSQL server."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain
from appraise.cli.output import say

if TYPE_CHECKING:
    import argparse

    from appraise.evidence.sale import Sale

HELP = "hand your sales in to a PostgreSQL server that a firm shares, and fetch the others' from it"
MORE = (
    "The table is made where there is none, its columns those of the book. Corrections and sales struck out travel as "
    "well: of two copies of a sale the later revision stands. Needs psycopg, which "
    "`pip install 'appraise[practice]'` brings. Nothing else of this program ever calls a server, and this one only "
    "the server named."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    text = "how to reach it: postgresql://…, or host=/run/postgresql dbname=firm"
    parser.add_argument("server", metavar="SERVER", help=text)


def run(args: argparse.Namespace) -> int:
    """Hand in and fetch.

    Returns:
        0; 1 where a correction gave way to another's of the same sale.

    Raises:
        WrongUse: psycopg is missing, or the server cannot be used.
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book
    from appraise.evidence.exchange import MissingLibrary, fetched, hand_in

    try:
        with book(args.book, create=True) as found:
            given, corrected = hand_in(args.server, found.sales(withdrawn=True))
            taken = found.merge(fetched(args.server))
            count = found.count()
    except (MissingLibrary, ConnectionError, ValueError) as wrong:
        raise WrongUse(f"appraise sales share: {wrong}") from None
    say(f"{given:,} sales handed in, {taken.added:,} fetched; {count:,} now in {args.book.name}")
    if corrected or taken.corrected:
        say(f"{corrected:,} corrections handed in, {taken.corrected:,} fetched")
    for ours, theirs in taken.gave_way:
        complain(
            f"{args.book}: sale of {ours.date}, {ours.kind}: found {_said(ours)} here and {_said(theirs)} in the "
            "shared book, each corrected by itself; the shared one stands, yours is kept: `sales list --earlier`"
        )
    return ExitCode.PROBLEMS if taken.gave_way else ExitCode.DONE


def _said(sale: Sale) -> str:
    return f"{sale.price:,f} {sale.currency}{' struck out' if sale.withdrawn else ''}"
