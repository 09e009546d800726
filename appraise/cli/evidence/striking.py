"""`appraise sales strike NUMBER`: a sale struck out, which stays in the book and counts for nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.options import whole
from appraise.cli.output import say
from appraise.model.problem import InputError
from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    import argparse

HELP = "strike a sale out: it stays in the book with the reason, and counts for nothing"
MORE = (
    "`sales list --struck` shows what was struck out; --undo takes it back; `sales share` carries both to the others."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument("number", type=whole(1, 10**12), metavar="NUMBER", help="of the sale, by `sales list`")
    parser.add_argument("--why", metavar="TEXT", help="the reason, kept with the sale")
    parser.add_argument("--undo", action="store_true", help="let it count again")


def run(args: argparse.Namespace) -> int:
    """Strike it out, or take that back.

    Raises:
        WrongUse: There is no such sale, it is so already, or the reason is missing.
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book

    why = sanitize_line(args.why or "").strip()[:2000]
    if bool(why) == args.undo:
        raise WrongUse("appraise sales strike: expected one of --why TEXT and --undo")
    with book(args.book) as kept:
        old = kept.at(args.number)
        if old is None:
            raise WrongUse(f"appraise sales strike: found no sale {args.number:,}, expected a number of `sales list`")
        if bool(old.withdrawn) != args.undo:
            known = f"struck out already: {old.withdrawn}" if old.withdrawn else "not struck out"
            raise WrongUse(f"appraise sales strike: sale {args.number:,} is {known}")
        try:
            kept.put_in_place(old, replace(old, withdrawn=why))
        except InputError as refused:
            raise WrongUse(f"appraise sales strike: {refused}") from None
        count = kept.count()
    done = "counts again" if args.undo else "struck out"
    say(f"sale {args.number:,} of {old.date}, {old.kind}, {old.price:,f} {old.currency}: {done}; {count:,} sales count")
    return ExitCode.DONE
