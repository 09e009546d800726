"""`appraise value CASE…`: range, courses, market, stations, three lists of work, next checks, cautions, reasons."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain_of
from appraise.cli.inputs import tables_for
from appraise.cli.options import price, whole
from appraise.cli.output import console, say, say_json, show
from appraise.cli.valued import add_valuing, valued
from appraise.model.problem import Unreadable
from appraise.model.unsafe import shorten
from appraise.tables.files import nearest

if TYPE_CHECKING:
    import argparse

    from appraise.model.visit import Visit
    from appraise.report.appraisal import Appraisal

MORE = (
    ". With --json one case gives one object; several give one object with a "
    'list, {"schema": 2, "cases": […]}, in the order named.'
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("cases", nargs="+", type=Path, metavar="CASE", help="a case file")
    parser.add_argument("--charts", action="store_true", help="draw the charts below: the range, what drives it, …")
    text = "the checks to make in a visit of N minutes, and by how much they narrow the range"
    parser.add_argument("--minutes", type=whole(1, 1440), metavar="N", help=text)
    text = "an asking price: the chance that the piano is worth it, and the check that could change the answer"
    parser.add_argument("--asking", type=price, metavar="MONEY", help=text)
    text = "a check that cannot be made on this visit: a row of the table `checks`; may be repeated"
    parser.add_argument("--skip", action="append", default=[], metavar="CHECK", help=text)
    text = "compute again: without it the same command on the same content prints the result kept from before"
    parser.add_argument("--no-cache", action="store_true", help=text)
    add_valuing(parser)


def run(args: argparse.Namespace) -> int:
    """Value the cases; one that cannot be used is named on standard error and the others are still valued.

    Raises:
        Unreadable: The tables cannot be used.
        WrongUse: The options do not fit a case.
    """
    if args.charts and args.json:
        raise WrongUse("appraise value: --charts: found with --json, expected one of them: charts are for people")
    tables = tables_for(args.tables)
    for key in args.skip:
        if key not in tables.checks:
            mend = nearest(key, tables.checks)
            found = f'appraise value: --skip: found "{shorten(key)}", expected a row of the table `checks`'
            raise WrongUse(f"{found}; {mend}" if mend else found)
    code, done = ExitCode.DONE, 0
    collected: list[tuple[Appraisal, Visit | None]] = []
    for path in args.cases:
        try:
            item = valued(path, args, tables)
        except Unreadable as unreadable:
            complain_of(unreadable.problems)
            code = ExitCode.UNUSABLE
            continue
        planned = _visit(item, args)
        if args.json:
            collected.append((item, planned))
            continue
        from appraise.report.terminal import value_page

        if done:
            say()
        show(*value_page(item))
        if planned is not None:
            from appraise.report.visit import visit_page

            show(*visit_page(item, planned))
        if args.charts:
            from appraise.report.charts.terminal import charts_page

            show(*charts_page(item, console().width))
        done += 1
    if args.json and (collected or len(args.cases) > 1):
        from appraise.report.outputs.value import VALUE, VALUES

        say_json(VALUE.dump(collected[0]) if len(args.cases) == 1 else VALUES.dump(collected))
    return code


def _visit(item: Appraisal, args: argparse.Namespace) -> Visit | None:
    """Return the visit that the options ask for; none where they ask for none.

    Raises:
        WrongUse: There is no value to compare an asking price with.
    """
    if args.minutes is None and args.asking is None:
        if args.skip:
            raise WrongUse("appraise value: --skip: found without --minutes, expected the minutes of the visit as well")
        return None
    if args.asking is not None and item.valuation.value is None:
        wanted = "a case with a replacement cost new: market.replacement_cost_new"
        raise WrongUse(f"appraise value: --asking: found a case without a value, expected {wanted}")
    from appraise.engine.visit import visit

    skipped = frozenset((*args.skip, *(left.check for left in item.case.left_out)))
    minutes = float(args.minutes or 0)
    found: Visit = visit(
        item.case,
        item.tables,
        minutes,
        skipped=skipped,
        asking=args.asking,
        draws=args.draws,
        seed=args.seed,
    )
    return found
