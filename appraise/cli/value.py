"""`appraise value CASE…`: range, courses, market, stations, three lists of work, next checks, cautions, reasons."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain_of
from appraise.cli.inputs import tables_for
from appraise.cli.output import console, say, say_json, show
from appraise.cli.valued import add_valuing, valued
from appraise.model.problem import Unreadable
from appraise.report.words import capital

if TYPE_CHECKING:
    import argparse

    from appraise.report.appraisal import Appraisal


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = "value a case: range, depreciation by station, work needed now, remaining life, what to check next"
    parser = subparsers.add_parser(
        "value",
        help=text,
        description=f"{capital(text)}. With --json one case gives one object; several give one object with a "
        'list, {"schema": 2, "cases": […]}, in the order named.',
    )
    parser.add_argument("cases", nargs="+", type=Path, metavar="CASE", help="a case file")
    parser.add_argument("--charts", action="store_true", help="draw the charts below: the range, what drives it, …")
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
    code, done = ExitCode.DONE, 0
    collected: list[Appraisal] = []
    for path in args.cases:
        try:
            item = valued(path, args, tables)
        except Unreadable as unreadable:
            complain_of(unreadable.problems)
            code = ExitCode.UNUSABLE
            continue
        if args.json:
            collected.append(item)
            continue
        from appraise.report.terminal import value_page

        if done:
            say()
        show(*value_page(item))
        if args.charts:
            from appraise.report.terminal_charts import charts_page

            show(*charts_page(item, console().width))
        done += 1
    if args.json and (collected or len(args.cases) > 1):
        from appraise.report.json_out import several, value_object

        say_json(value_object(collected[0]) if len(args.cases) == 1 else several(collected))
    return code
