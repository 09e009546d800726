"""`appraise check FILE…`: every problem of a case file; a report in JSON computed again, to the cent."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from appraise.cli import inputs
from appraise.cli.diagnostics import ExitCode, complain
from appraise.cli.options import add_date, add_json, add_tables
from appraise.cli.output import say, say_json
from appraise.model.problem import Unreadable
from appraise.store.characters import one_line
from appraise.tables.content import open_file

REPORT = ".json"
"""Ending of a report; anything else is a case."""

if TYPE_CHECKING:
    import argparse
    from datetime import date

    from appraise.model.case import Case
    from appraise.model.problem import Problem
    from appraise.tables.rows import Tables


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = "list every problem of a case file; compute a report in JSON again"
    parser = subparsers.add_parser(
        "check",
        help=text,
        description="List every problem of a case file with its line, what was found, what was expected and how "
        "to mend it. Photos are compared with their SHA-256, and the trail beside the case is held to its chain of "
        "hashes. A report that was written as JSON holds the case it was "
        "made from: it is computed again, and every figure that is another is named; what it says of the trail of its "
        "case and of the report that it amends is held to the trail beside it. Exit code 1 where there is a "
        "problem or a difference.",
    )
    parser.add_argument("cases", nargs="+", type=Path, metavar="FILE", help="a case file, or a report as .json")
    add_date(parser, "the day taken for today; an inspection after it is pointed out")
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Check case files and reports.

    Raises:
        Unreadable: The tables cannot be used.
    """
    from appraise.services.trail_check import checked_trail

    tables = inputs.tables_for(args.tables)
    today = args.date or inputs.today()
    files: list[dict[str, Any]] = []
    code = ExitCode.DONE
    for path in args.cases:
        report = path.suffix.lower() == REPORT
        case, unreadable, problems = _report(path, tables) if report else _problems(path, tables, today)
        trail = None if report or unreadable else checked_trail(path, case)
        if trail is not None:
            problems += trail.problems
        if unreadable:
            code = ExitCode.UNUSABLE
        elif problems if not report else any(problem.grave for problem in problems):
            code = max(code, ExitCode.PROBLEMS)
        if args.json:
            told = None if trail is None else trail.plain()
            files.append({"file": one_line(str(path)), "readable": not unreadable, "problems": problems, "trail": told})
        elif unreadable:
            for problem in problems:
                complain(str(problem))
        else:
            for problem in problems:
                say(str(problem))
            if report and not any(problem.grave for problem in problems):
                say(f"{one_line(str(path))}: the same to the cent")
            elif trail is not None and not problems:
                say(f"{one_line(str(path))}: no problems; {trail.words}")
            elif trail is not None and trail.lines:
                say(f"{one_line(str(path))}: {trail.words}")
    if args.json:
        from appraise.report.schemas.others import CHECKED

        for file in files:
            file["problems"] = [asdict(problem) for problem in file["problems"]]
        say_json({"schema": CHECKED, "files": files})
    return code


def _report(path: Path, tables: Tables) -> tuple[None, bool, list[Problem]]:
    """Return no case, whether a report cannot be computed again at all, and what is wrong or differs."""
    from appraise.services.recompute import recompute
    from appraise.services.report_trail import against_trail
    from appraise.store.report_file import read_report

    try:
        report = read_report(path)
        return None, False, [*recompute(report, tables, one_line(str(path))), *against_trail(path, report)]
    except Unreadable as unreadable:
        return None, True, list(unreadable.problems)


def _problems(path: Path, tables: Tables, today: date) -> tuple[Case | None, bool, list[Problem]]:
    """Return the case where there is one, whether the file cannot be read at all, and its problems."""
    from appraise.store.earlier import check_earlier
    from appraise.store.photos import check_photos
    from appraise.store.read import read_case

    case, problems = read_case(path, tables, today=today)
    if case is not None:
        problems += check_photos(path, case)
        problems += check_earlier(path, case, tables)
    try:
        with open_file(path):
            return case, False, problems
    except (OSError, ValueError):
        return case, True, problems
