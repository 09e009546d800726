"""`appraise sales learn`: what own sales make of the tables' rows, shown before it is taken."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, advancing, complain
from appraise.cli.inputs import tables_for
from appraise.cli.options import add_json, add_tables
from appraise.cli.output import say, say_json, show_table

if TYPE_CHECKING:
    import argparse

    from appraise.evidence.learn import Learned
    from appraise.evidence.levels import Unused

HELP = "learn from your sales: each row compared with ours, with how many sales it rests on"
MORE = (
    "Level and age curve by kind, class of maker, size, kind of sale, drift and scatter, drawn towards the tables by "
    "as many sales as their standing is worth, gross errors weighed down. Nothing is changed until --take names a "
    "folder, which --tables then lays over ours."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    text = "write the rows into this folder of tables; rows of your own in it stay, and win"
    parser.add_argument("--take", type=Path, metavar="FOLDER", help=text)
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Learn and show.

    Raises:
        WrongUse: No sale says anything.
        Unreadable: The book, the tables or the folder cannot be used.
    """
    from appraise.evidence.book import book
    from appraise.evidence.overlay import sales_rows
    from appraise.services.learning import learn_from, take

    tables = tables_for(args.tables)
    with book(args.book) as kept, advancing("valuing", kept.count) as advance:
        learned, unused = learn_from(kept, tables, advance)
    if learned is None:
        why = "; ".join(f"{one.count:,}: {one.reason}" for one in unused) or "the book is empty"
        raise WrongUse(f"appraise sales learn: found no sale that says anything of the market ({why}), expected one")
    left: list[str] = []
    if args.take is not None:
        left = take(*sales_rows(learned), args.take)
    if args.json:
        from appraise.report.outputs.evidence import SALES_LEARN

        say_json(SALES_LEARN.dump((learned, unused, args.take is not None, left)))
        return ExitCode.DONE
    _tell(learned, unused)
    for ref in left:
        complain(f"{args.take}: {ref} is your own and stays")
    say(
        f"Taken into {args.take}: `--tables {args.take}` values with them."
        if args.take
        else "Not taken yet: --take FOLDER does."
    )
    return ExitCode.DONE


def _tell(learned: Learned, unused: list[Unused]) -> None:
    from appraise.report.sales import moved, three

    rows = [
        (
            one.row.label,
            str(one.n),
            three(one.before),
            three(one.after),
            moved(one),
        )
        for one in learned.rows
    ]
    show_table(("row", "sales", "tables", "own sales", "middle"), rows, right=frozenset({"sales", "middle"}))
    for one in learned.rows:
        points = getattr(one.row, "by_age", ())
        if one.curve and one.curve != points:
            say()
            heads = ("age", "tables", "own sales", "with the level")
            curve = [
                (
                    f"{age:g}",
                    f"{old:.3f}",
                    f"{new:.3f}",
                    f"{100 * (new * one.after.mid / (old * one.before.mid) - 1):+.0f} %",
                )
                for (age, old), (_, new) in zip(points, one.curve, strict=True)
            ]
            say(f"{one.row.label}, factor by age")
            show_table(heads, curve, right=frozenset(heads))
    say()
    say(
        f"{learned.n:,} sales to {learned.until}; prices against prices new drift by {100 * learned.drift:+.1f} ± "
        f"{100 * learned.drift_sd:.1f} % a year; a sale scatters by {100 * learned.sd:.0f} % about its level; "
        f"{learned.outlying:,} stand out and count little."
    )
    if learned.assumed:
        say(
            f"{learned.assumed:,} of them state no price new and count less: one of the table prices_new stands for it."
        )
    for why in unused:
        say(f"{why.count:,} sales say nothing: {why.reason}.")
