"""`appraise sales list`: what the book holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode
from appraise.cli.options import add_json, whole
from appraise.cli.output import say, say_json_list, show_table

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterable

    from appraise.evidence.book import Book
    from appraise.evidence.sale import Sale

HELP = "list the sales of the book, by day"
MORE = "With --json all columns, without it those that fit."
SHOWN = 50
_HEADS = ("no.", "date", "kind", "made", "maker", "class", "grade", "sale", "price", "valued", "from")


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument("--kind", choices=("grand", "upright"), help="only pianos of this kind")
    text = f"the newest N only ({SHOWN} at a terminal where not given)"
    parser.add_argument("--newest", type=whole(1, 10**9), metavar="N", help=text)
    parser.add_argument("--struck", action="store_true", help="those struck out as well, with the reason")
    parser.add_argument("--earlier", action="store_true", help="what sales said before they were corrected")
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """List them.

    Raises:
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book

    with book(args.book) as found:
        if args.json:
            from appraise.report.outputs.evidence import NUMBERED, SALES_LIST

            every = _asked(found, args, args.newest)
            say_json_list(SALES_LIST.dump((args.book.name, ())) | {"sales": map(NUMBERED.dump, every)}, "sales")
            return ExitCode.DONE
        sales = list(_asked(found, args, args.newest or SHOWN))
        count = found.count()
    show_table(_HEADS, [_cells(*one) for one in sales], right=frozenset({"no.", "grade", "price", "valued"}))
    say(f"{len(sales):,} states before corrections" if args.earlier else f"{len(sales):,} of {count:,} sales")
    return ExitCode.DONE


def _asked(found: Book, args: argparse.Namespace, newest: int | None) -> Iterable[tuple[int, Sale]]:
    if args.earlier:
        return found.earlier(kind=args.kind or "", newest=newest)
    return found.numbered(kind=args.kind or "", newest=newest, withdrawn=args.struck)


def _cells(number: int, sale: Sale) -> tuple[str, ...]:
    valued = f"{sale.low:,.0f} – {sale.high:,.0f}" if sale.low is not None and sale.high is not None else ""
    grade = "" if sale.grade is None else f"{sale.grade:g}"
    place = sale.case_file or (f"{sale.file}:{sale.line}" if sale.file else "typed")
    if sale.withdrawn:
        place = f"struck out: {sale.withdrawn}"
    price = f"{sale.price:,f} {sale.currency}"
    what = (str(sale.date), sale.kind, sale.made, sale.maker, sale.maker_class, grade, sale.sale)
    return (str(number), *what, price, valued, place)
