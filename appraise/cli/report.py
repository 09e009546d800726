"""`appraise report CASE -o FILE`: the whole report, as Markdown or JSON by the ending of the file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.finished import record, standing_of
from appraise.cli.inputs import tables_for
from appraise.cli.output import say
from appraise.cli.valued import add_valuing, valued
from appraise.store.characters import one_line

if TYPE_CHECKING:
    import argparse

    from appraise.report.appraisal import Appraisal

ENDINGS = (".md", ".json")
"""What can be written, by the ending of the file."""


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = "write the report of a case as Markdown or JSON"
    parser = subparsers.add_parser("report", help=text, description=f"{text.capitalize()}.")
    parser.add_argument("case", type=Path, metavar="CASE", help="a case file")
    ways = " or ".join(ENDINGS)
    parser.add_argument(
        "-o", "--output", type=Path, required=True, metavar="FILE", help=f"where to; its ending, {ways}, says what"
    )
    parser.add_argument("--force", action="store_true", help="replace FILE where it exists")
    add_valuing(parser, json=False)


def run(args: argparse.Namespace) -> int:
    """Write the report.

    Raises:
        Unreadable: The case or the tables cannot be used.
        WrongUse: The file cannot be written, or would replace another.
    """
    target: Path = args.output
    _refuse(target, force=args.force)
    item = standing_of(args.case, valued(args.case, args, tables_for(args.tables)))
    from appraise.store.write import write_file

    write_file(target, _content(item, target.suffix.lower()).encode("utf-8"))
    record(args.case, item, (target,))
    say(f"wrote {target}")
    return ExitCode.DONE


def _refuse(target: Path, *, force: bool) -> None:
    """Refuse before any work is done.

    Raises:
        WrongUse: The ending is none of ours, the folder is missing, or the file exists.
    """
    shown = one_line(str(target))
    if target.suffix.lower() not in ENDINGS:
        found = f"the ending {target.suffix}" if target.suffix else "no ending"
        raise WrongUse(f"appraise report: {shown}: found {found}, expected {' or '.join(ENDINGS)}")
    if not target.parent.is_dir():
        folder = one_line(str(target.parent))
        raise WrongUse(f"appraise report: {shown}: found no folder {folder}, expected one; make it first")
    if target.is_dir():
        raise WrongUse(f"appraise report: {shown}: found a folder, expected a file to write")
    if target.exists() and not force:
        raise WrongUse(f"appraise report: {shown}: found a file of this name; --force replaces it")


def _content(item: Appraisal, ending: str) -> str:
    if ending == ".json":
        from appraise.report.json_out import dumps, report_object

        return dumps(report_object(item))
    from appraise.report.full import full_report
    from appraise.report.markdown import render

    return render(full_report(item))
