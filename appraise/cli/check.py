"""`appraise check CASE…`: every problem of a case file, with its line and the mend."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from appraise.cli.diagnostics import ExitCode, complain
from appraise.cli.inputs import tables_for
from appraise.cli.options import add_date, add_json, add_tables
from appraise.cli.output import say, say_json
from appraise.services.trail_check import checked_trail
from appraise.store.characters import one_line

if TYPE_CHECKING:
    import argparse

    from appraise.model.problem import Problem
    from appraise.tables.rows import Tables


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = "list every problem of a case file"
    parser = subparsers.add_parser(
        "check",
        help=text,
        description="List every problem of a case file with its line, what was found, what was expected and how "
        "to mend it. Photos are compared with their SHA-256, and the trail beside the case is held to its chain of "
        "hashes. Exit code 1 where there is a problem.",
    )
    parser.add_argument("cases", nargs="+", type=Path, metavar="CASE", help="a case file")
    add_date(parser, "the day taken for today; an inspection after it is pointed out")
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Check case files.

    Raises:
        Unreadable: The tables cannot be used.
    """
    tables = tables_for(args.tables)
    today = args.date or date.today()
    files: list[dict[str, Any]] = []
    code = ExitCode.DONE
    for path in args.cases:
        unreadable, problems = _problems(path, tables, today)
        trail = None if unreadable else checked_trail(path)
        if trail is not None:
            problems += trail.problems
        if unreadable:
            code = ExitCode.UNUSABLE
        elif problems:
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
            words = "" if trail is None else trail.words
            if not problems:
                say(f"{one_line(str(path))}: no problems; {words}")
            elif trail is not None and trail.lines:
                say(f"{one_line(str(path))}: {words}")
    if args.json:
        for file in files:
            file["problems"] = [asdict(problem) for problem in file["problems"]]
        say_json({"schema": 1, "files": files})
    return code


def _problems(path: Path, tables: Tables, today: date) -> tuple[bool, list[Problem]]:
    """Return whether the file cannot be read at all, and its problems."""
    from appraise.store.photos import check_photos
    from appraise.store.read import read_case

    case, problems = read_case(path, tables, today=today)
    if case is not None:
        problems += check_photos(path, case)
    try:
        with path.open("rb"):
            return False, problems
    except OSError:
        return True, problems
