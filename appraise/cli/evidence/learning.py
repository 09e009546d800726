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
    from appraise.model.result import Range

HELP = "what your sales make of the tables: each row beside ours, with how many sales it rests on"
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
    from appraise.evidence.learn import learn
    from appraise.evidence.levels import levels, model_name
    from appraise.evidence.overlay import sales_rows
    from appraise.evidence.ranges import condition_sd
    from appraise.services.learning import refuse_learned, take

    tables = tables_for(args.tables)
    refuse_learned(tables)
    with book(args.book) as kept:
        known = kept.levels(model_name(tables))
        before = set(known)
        with advancing("valuing", kept.count) as advance:
            found, unused = levels(kept.sales(), tables, known, advance)
        if known.keys() - before:
            kept.keep_levels(model_name(tables), {name: known[name] for name in known.keys() - before})
    if not found:
        why = "; ".join(f"{one.count:,}: {one.reason}" for one in unused) or "the book is empty"
        raise WrongUse(f"appraise sales learn: found no sale that says anything of the market ({why}), expected one")
    learned = learn(found, tables, lambda _: condition_sd(found, tables))
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
    def three(low: float, mid: float, high: float) -> str:
        return f"{low:.2f} {mid:.2f} {high:.2f}"

    rows = [
        (
            one.row.label,
            str(one.n),
            three(*_ends(one.before)),
            three(*_ends(one.after)),
            f"{100 * (one.after.mid / one.before.mid - 1):+.0f} %",
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
    for why in unused:
        say(f"{why.count:,} sales say nothing: {why.reason}.")


def _ends(span: Range) -> tuple[float, float, float]:
    return span.low, span.mid, span.high
