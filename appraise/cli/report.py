"""`appraise report CASE -o FILE`: a report of the kind asked for, in the format that the ending of each file says."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import WrongUse
from appraise.cli.documents import add_output, refuse, write_out
from appraise.cli.kinds import add_kind, item_for
from appraise.cli.summaries import COMMANDS
from appraise.cli.valued import add_valuing
from appraise.report.formats import WRITERS
from appraise.report.kinds import ReportKind
from appraise.report.words import capital

if TYPE_CHECKING:
    import argparse


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = COMMANDS["report"]
    parser = subparsers.add_parser("report", help=text, description=f"{capital(text)}.")
    parser.add_argument("case", type=Path, metavar="CASE", help="a case file")
    add_output(parser, required=True)
    parser.add_argument(
        "--annex",
        action="store_true",
        help="write the derivation of every figure as well, as FILE-annex beside FILE; a JSON file holds it anyway",
    )
    add_kind(parser)
    add_valuing(parser, json=False)


def run(args: argparse.Namespace) -> int:
    """Write the report, in every format asked for.

    Raises:
        Unreadable: The case or the tables cannot be used.
        WrongUse: A file cannot be written, or would replace another, or `--annex` stands beside another kind.
    """
    if args.annex and args.kind != ReportKind.FULL:
        raise WrongUse(f"appraise report: found --annex with --kind {args.kind}, expected it with --kind full alone")
    annexes = [annex_of(target) for target in args.output if args.annex and target.suffix.lower() in WRITERS]
    refuse(args, args.output + annexes)
    item = item_for(args)
    code = write_out(args, args.kind, item, args.case)
    return max(code, write_out(args, ReportKind.ANNEX, item, args.case, targets=annexes)) if annexes else code


def annex_of(target: Path) -> Path:
    """Return where the annex of a report goes: "report.pdf" has "report-annex.pdf" beside it."""
    return target.with_stem(f"{target.stem}-annex")
