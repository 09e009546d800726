"""`appraise report CASE -o FILE`: the whole report, as PDF, HTML, Markdown or JSON by the ending of the file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.documents import add_output, refuse, write_out
from appraise.cli.inputs import tables_for
from appraise.cli.valued import add_valuing, valued

if TYPE_CHECKING:
    import argparse

    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Document


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = "write the report of a case as PDF, HTML, Markdown or JSON"
    parser = subparsers.add_parser("report", help=text, description=f"{text[:1].upper()}{text[1:]}.")
    parser.add_argument("case", type=Path, metavar="CASE", help="a case file")
    add_output(parser, required=True)
    add_valuing(parser, json=False)


def run(args: argparse.Namespace) -> int:
    """Write the report, in every format asked for.

    Raises:
        Unreadable: The case or the tables cannot be used.
        WrongUse: A file cannot be written, or would replace another.
    """
    refuse(args)
    item = valued(args.case, args, tables_for(args.tables))
    return write_out(args, lambda: _document(item), lambda: _object(item))


def _document(item: Appraisal) -> Document:
    from appraise.report.full import full_report

    return full_report(item)


def _object(item: Appraisal) -> str:
    from appraise.report.json_out import dumps, report_object

    return dumps(report_object(item))
