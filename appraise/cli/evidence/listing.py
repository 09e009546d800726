"""`appraise sales list`: what the book holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode
from appraise.cli.options import add_json, whole
from appraise.cli.output import say, say_json_list, show_table

if TYPE_CHECKING:
    import argparse

HELP = "list the sales of the book, by day"
MORE = "With --json all columns, without it those that fit."
SHOWN = 50
_HEADS = ("date", "kind", "made", "maker", "class", "grade", "sale", "price", "valued", "from")


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument("--kind", choices=("grand", "upright"), help="only pianos of this kind")
    text = f"the newest N only ({SHOWN} at a terminal where not given)"
    parser.add_argument("--newest", type=whole(1, 10**9), metavar="N", help=text)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """List them.

    Raises:
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book

    with book(args.book) as found:
        if args.json:
            from appraise.report.outputs.evidence import SALE, SALES_LIST

            every = map(SALE.dump, found.sales(kind=args.kind or "", newest=args.newest))
            say_json_list(SALES_LIST.dump((args.book.name, ())) | {"sales": every}, "sales")
            return ExitCode.DONE
        sales = list(found.sales(kind=args.kind or "", newest=args.newest or SHOWN))
        count = found.count()
    rows = []
    for sale in sales:
        valued = f"{sale.low:,.0f} – {sale.high:,.0f}" if sale.low is not None and sale.high is not None else ""
        grade = "" if sale.grade is None else f"{sale.grade:g}"
        place = sale.case_file or (f"{sale.file}:{sale.line}" if sale.file else "typed")
        price = f"{sale.price:,f} {sale.currency}"
        rows.append(
            (str(sale.date), sale.kind, sale.made, sale.maker, sale.maker_class, grade, sale.sale, price, valued, place)
        )
    show_table(_HEADS, rows, right=frozenset({"grade", "price", "valued"}))
    say(f"{len(sales):,} of {count:,} sales")
    return ExitCode.DONE
