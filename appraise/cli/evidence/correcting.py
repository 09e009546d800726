"""`appraise sales correct NUMBER`: what was written down wrong put right, whatever file or case the sale came from."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from appraise.cli import inputs
from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.evidence.entry import add_facts, facts
from appraise.cli.inputs import tables_for
from appraise.cli.options import add_tables, day, price, whole
from appraise.cli.output import say
from appraise.model.problem import InputError

if TYPE_CHECKING:
    import argparse

HELP = "correct a sale of the book; what stood there before is kept"
MORE = (
    "`sales list` shows the numbers. What is not named stays as it is, the range of the time and the file that the "
    "sale came from in any case; `sales share` carries the correction to the others."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument("number", type=whole(1, 10**12), metavar="NUMBER", help="of the sale, by `sales list`")
    parser.add_argument("--sold", type=price, metavar="MONEY", help="what it was sold for")
    parser.add_argument("--on", type=day, metavar="DAY", help="the day of the sale")
    parser.add_argument("--as", dest="sale", metavar="KEY", help="kind of sale: a market row of the table `bases`")
    add_facts(parser)
    add_tables(parser)


def run(args: argparse.Namespace) -> int:
    """Correct it.

    Raises:
        WrongUse: There is no such sale, nothing is named, or what is named does not fit.
        Unreadable: The book or the tables cannot be used.
    """
    from appraise.evidence.book import book

    tables = tables_for(args.tables)
    if args.on is not None and args.on > inputs.today():
        raise WrongUse(f"appraise sales correct: --on: found {args.on}, expected a day that has been")
    with book(args.book) as kept:
        old = kept.at(args.number)
        if old is None:
            raise WrongUse(f"appraise sales correct: found no sale {args.number:,}, expected a number of `sales list`")
        args.made = args.made if args.made is not None else old.made or None  # it is held to a new day as well
        given: dict[str, Any] = facts(args, tables, "correct", args.on or old.date)
        new = replace(old, **given)
        if new == old:
            raise WrongUse("appraise sales correct: found nothing that differs, expected an option such as --sold")
        try:
            kept.put_in_place(old, new)
        except InputError as refused:
            raise WrongUse(f"appraise sales correct: {refused}") from None
    changed = (f"{name} {getattr(old, name)} → {getattr(new, name)}" for name in given if _differ(old, new, name))
    say(f"sale {args.number:,} corrected: {', '.join(changed)}")
    return ExitCode.DONE


def _differ(old: object, new: object, name: str) -> bool:
    return bool(getattr(old, name) != getattr(new, name))
