"""`appraise sales import FILE.csv`: sales from a file of separated values."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import MOST, ExitCode, WrongUse, complain
from appraise.cli.inputs import tables_for, today
from appraise.cli.options import add_tables
from appraise.cli.output import say
from appraise.evidence.cells import ORDERS
from appraise.evidence.imports import REQUIRED, Said, headed, mappable, sales
from appraise.model.currency import DIGITS

if TYPE_CHECKING:
    import argparse

    from appraise.evidence.imports import Headed
    from appraise.model.problem import Problem

HELP = "take the sales of a CSV file into the book; each line that cannot be read is named, the others are kept"
MORE = (
    f"Columns are known by their headings in several spellings; {', '.join(REQUIRED)} have to be there, and price_new "
    "where a sale is to say something of the market. A line that was imported before is passed over."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument("file", type=Path, metavar="FILE", help="comma, semicolon or tab between the columns")
    text = "what a heading means; nothing behind the = passes it over; may be given again"
    parser.add_argument("--map", action="append", default=[], metavar="HEADING=COLUMN", help=text)
    parser.add_argument("--try", dest="only_try", action="store_true", help="read it all and write nothing")
    parser.add_argument("--dates", choices=ORDERS[:2], help="order of days such as 03/04/2026, day or month first")
    parser.add_argument(
        "--decimal", choices=("comma", "point"), help="decimal mark (each cell tells it where not given)"
    )
    parser.add_argument("--encoding", metavar="NAME", help="utf-8 where not given; cp1252, latin-1 …")
    parser.add_argument("--currency", metavar="CODE", help="currency of amounts that name none")
    text = "kind of sale of lines that name none (retail where not given)"
    parser.add_argument("--as", dest="sale", default="retail", metavar="KEY", help=text)
    text = "rates by day, a file of date, currency, rate; with --into, other currencies are brought into that one"
    parser.add_argument("--rates", type=Path, metavar="FILE", help=text)
    parser.add_argument("--into", metavar="CODE", help="the currency that the rates are in")
    add_tables(parser)


def run(args: argparse.Namespace) -> int:
    """Import it.

    Returns:
        0 where every line could be taken, 1 where some were refused.

    Raises:
        WrongUse: The options do not fit.
        Unreadable: The book, the file, the rates or the tables cannot be used; nothing was taken then.
    """
    from appraise.evidence.book import book

    tables = tables_for(args.tables)
    if args.sale not in tables.bases:
        raise WrongUse(f'appraise sales import: --as: found "{args.sale[:40]}", expected a row of the table `bases`')
    said = _said(args)
    file = headed(args.file, said)
    _tell(file)
    refused = read = 0

    def refuse(problem: Problem) -> None:
        nonlocal refused
        refused += 1
        if refused <= MOST:
            complain(str(problem))

    if args.only_try:
        read = sum(1 for _ in sales(file, said, tables, refuse))
        line = f"{read:,} sales could be taken, {refused:,} lines refused; nothing was written"
    else:
        args.book.parent.mkdir(parents=True, exist_ok=True)
        with book(args.book, create=True) as found:
            before = found.count()
            new = found.add(sales(file, said, tables, refuse))
            after = found.count()
        line = f"{new:,} sales taken, {refused:,} lines refused; {before:,} before, {after:,} now in {args.book.name}"
    if refused > MOST:
        complain(f"{args.file}: {refused - MOST:,} more problems")
    say(line)
    return ExitCode.PROBLEMS if refused else ExitCode.DONE


def _said(args: argparse.Namespace) -> Said:
    import codecs

    from appraise.evidence.rates import read_rates

    columns = {}
    for pair in args.map:
        heading, sign, column = pair.rpartition("=")
        if not sign or (column and column not in mappable()):
            expected = f"HEADING=COLUMN, the column one of {', '.join(mappable())}"
            raise WrongUse(f'appraise sales import: --map: found "{pair[:60]}", expected {expected}')
        columns[heading] = column
    if (args.rates is None) != (args.into is None):
        raise WrongUse("appraise sales import: --rates, --into: found one of them, expected both")
    for option in ("currency", "into"):
        code = (getattr(args, option) or "").upper()
        if code and code not in DIGITS:
            raise WrongUse(f'appraise sales import: --{option}: found "{code[:20]}", expected a code of ISO 4217')
    try:
        known = codecs.lookup(args.encoding or "utf-8")
    except (LookupError, ValueError):
        known = None
    if known is None or not known._is_text_encoding:
        found = f'found "{args.encoding[:20]}", expected one such as cp1252'
        raise WrongUse(f"appraise sales import: --encoding: {found}")
    rates = None if args.rates is None else read_rates(args.rates, args.into.upper())
    decimal = {"comma": ",", "point": ".", None: ""}[args.decimal]
    currency = (args.currency or "").upper()
    return Said(currency, args.sale, args.dates or "", decimal, args.encoding or "", columns, rates, today())


def _tell(file: Headed) -> None:
    known = [f"{heading} → {column}" for heading, column in zip(file.headings, file.columns, strict=True) if column]
    passed = [heading for heading, column in zip(file.headings, file.columns, strict=True) if not column]
    say(f"columns: {', '.join(known)}")
    if passed:
        say(f"passed over: {', '.join(passed)}; --map HEADING=COLUMN takes one")
    if "price_new" not in file.columns:
        say("no price new: the table prices_new stands for it where class and size are known; these sales count less")
