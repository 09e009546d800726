"""`appraise sales like CASE`: the sales of the book that are like an instrument, taken as comparables when told to."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain
from appraise.cli.inputs import tables_for, usable_case
from appraise.cli.options import add_json, add_tables, whole
from appraise.cli.output import say, say_json, show_table
from appraise.model.problem import InputError

if TYPE_CHECKING:
    import argparse

    from appraise.evidence.like import Like, Likes
    from appraise.tables.rows import Tables

HELP = "the sales of your book that are like the instrument of a case, the nearest first, to be its comparables"
MORE = (
    "Distance is the gross adjustment to be expected: time, kind of sale, size, age, condition. A sale without price, "
    "kind, date, year made or condition counts for nothing, nor does the sale of this very instrument. Nothing is "
    "written until --take says how many."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument("case", type=Path, metavar="CASE", help="the case file")
    text = "write the N nearest into the case as comparables, adjusted as any other"
    parser.add_argument("--take", type=whole(1, 100), metavar="N", help=text)
    text = "strike out the sale of this number in the list; again for another"
    parser.add_argument("--strike", type=whole(1, 1000), metavar="NUMBER", action="append", default=[], help=text)
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Look, and take where that was said.

    Raises:
        WrongUse: The case says too little, is open elsewhere, or there are not so many like sales.
        Unreadable: The case, the book or the tables cannot be used.
    """
    from appraise.engine.valuation import value_case
    from appraise.services.like_sales import likes

    tables = tables_for(args.tables)
    case = usable_case(args.case, tables)
    try:
        found = likes(case, value_case(case, tables), args.case, args.book, tables)
        left = [one for number, one in enumerate(found.found, 1) if number not in args.strike]
        last = len(found.found)
        if args.strike and max(args.strike) > last:
            raise InputError(f"--strike: found {max(args.strike)}, expected a number of the list, 1 to {last}")
        if args.take is not None and args.take > len(left):
            raise InputError(f"--take: found {args.take}, expected at most the {len(left)} like sales that there are")
        taken = left[: args.take or 0]
        if taken:
            _take(args.case, taken, found, tables)
    except InputError as refused:
        raise WrongUse(f"appraise sales like: {refused}") from None
    if args.json:
        from appraise.report.outputs.evidence import SALES_LIKE

        say_json(SALES_LIKE.dump((found, taken)))
        return ExitCode.DONE
    _tell(found, taken, args.strike)
    return ExitCode.DONE


def _take(path: Path, taken: list[Like], found: Likes, tables: Tables) -> None:
    from appraise.services.like_sales import with_comparables
    from appraise.services.opening import alone

    with alone(path, tables) as sheet:
        sheet.change(with_comparables(sheet.case, taken, found.book), "comparables from the sales book")
        sheet.save()


def _tell(found: Likes, taken: list[Like], struck: list[int]) -> None:
    from appraise.model.locale_format import PLAIN
    from appraise.report.value_texts import outlying_text
    from appraise.services.like_sales import SHOWN, adjustments, unused_lines

    rows, odd = [], []
    for number, one in enumerate(found.found[:SHOWN], 1):
        sale = one.sale
        mark = "taken" if one in taken else "struck out" if number in struck else ""
        if one.outlying is not None:
            odd.append(f"no. {number}: {outlying_text(one.outlying, PLAIN)}")
            mark = ", ".join(filter(None, (mark, "stands out")))
        rows.append(
            (
                str(number),
                f"{100 * one.distance:.0f} %",
                str(sale.date),
                sale.maker,
                sale.made,
                "" if sale.grade is None else f"{sale.grade:g}",
                sale.sale,
                f"{sale.price:,.0f}",
                adjustments(one),
                mark,
            )
        )
    heads = ("no.", "distance", "date", "maker", "made", "grade", "sale", "price", "adjusted for", "")
    if rows:
        show_table(heads, rows, right=frozenset({"no.", "distance", "grade", "price"}))
    say(f"{len(found.found):,} like sales in {found.book}, {found.there:,} among the comparables of the case already.")
    for line in [*odd, *unused_lines(found.unused)]:
        complain(line)
    if taken:
        say(f"{len(taken):,} taken as comparables; `appraise value` adjusts them.")
    elif found.proposed:
        say(f"Nothing was taken: --take {found.proposed} takes the nearest {found.proposed}, --strike leaves one out.")
