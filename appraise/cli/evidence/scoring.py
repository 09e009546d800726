"""`appraise sales score`: how often the price fell within the range that was given."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain
from appraise.cli.inputs import tables_for
from appraise.cli.options import add_json, add_tables
from appraise.cli.output import say, say_json, show_table, stream, width

if TYPE_CHECKING:
    import argparse

    from appraise.evidence.score import Group

HELP = "how past valuations did: how often the price fell within the range, how they lean, what to do about it"
MORE = (
    "Counts the sales of cases, with the range of their time (`sales add CASE`), and imported ones with low, middle "
    "and high; of the cases and folders named as well, those with a finished [outcome] that the book does not have. "
    "Intervals are Wilson's at 95 %."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    text = "cases with an outcome, and folders of them, counted beside the book and not written to it"
    parser.add_argument("cases", nargs="*", type=Path, metavar="CASE", help=text)
    add_tables(parser)
    parser.add_argument("--svg", metavar="FILE", help="the calibration as a picture, - for standard output")
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Score.

    Raises:
        WrongUse: No sale has a range, or two outputs want standard output.
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book
    from appraise.evidence.score import FEW, advice, score
    from appraise.report.sales import calibrated

    if args.json and args.svg == "-":
        raise WrongUse("appraise sales score: --json and --svg - both want standard output; name a file for one")
    if args.cases:
        from appraise.services.sales import with_outcomes

        tables = tables_for(args.tables)
        sales, problems = with_outcomes(args.cases, args.book, tables)
        for problem in problems:
            complain(problem)
        groups = score(sales)
    else:
        with book(args.book) as found:
            groups = score(found.sales())
    if not groups:
        none = "found no sale with a range of its time, expected one: `sales add CASE`, or a case with an outcome"
        raise WrongUse(f"appraise sales score: {none}")
    drawn = calibrated(groups[0])
    if args.svg:
        from appraise.report.charts.svg import svg

        with stream(args.svg) as out:
            out.write(svg(drawn))
    if args.json:
        from appraise.report.outputs.evidence import SALES_SCORE

        say_json(SALES_SCORE.dump([(group, advice(group)) for group in groups]))
    elif args.svg != "-":
        from appraise.report.charts.text import lines

        heads = ("sales of", "n", "within", "below", "above", "within, 95 %", "price ÷ middle", "pinball")
        show_table(heads, map(_cells, groups), right=frozenset(heads[1:]))
        say()
        for line in lines(drawn, min(width(), 100)):
            say(line)
        say()
        for group in groups:
            said = advice(group) if group is groups[0] or group.n >= FEW else ()
            for line in said:
                say(line if group is groups[0] else f"{group.name}: {line}")
    return ExitCode.DONE


def _cells(group: Group) -> tuple[str, ...]:
    low, high = group.interval
    return (
        group.name,
        str(group.n),
        f"{group.within} ({100 * group.within / group.n:.0f} %)",
        str(group.below),
        str(group.above),
        f"{100 * low:.0f} – {100 * high:.0f} %",
        f"{group.ratio:.2f}",
        f"{group.pinball:.3f}",
    )
