"""`appraise missing CASE…`: what is missing before a case is handed over, and where it is entered."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, complain_of
from appraise.cli.inputs import tables_for, usable_case
from appraise.cli.options import add_json, add_tables
from appraise.cli.output import say, say_json
from appraise.model.problem import Unreadable
from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    import argparse

MORE = (
    ": first checks not answered, parts that decide not inspected or preliminary, "
    "what a report needs and nobody stated, defects without a photo, what is undecided."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("cases", nargs="+", type=Path, metavar="CASE", help="a case file")
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """List it; a case that cannot be used is named on standard error and the others are still listed.

    Raises:
        Unreadable: The tables cannot be used.
    """
    from appraise.services.hand_over import missing

    tables = tables_for(args.tables)
    code = ExitCode.DONE
    collected = []
    for path in args.cases:
        try:
            found = missing(usable_case(path, tables), tables, path.parent)
        except Unreadable as unreadable:
            complain_of(unreadable.problems)
            code = ExitCode.UNUSABLE
            continue
        name = sanitize_line(path.name)
        collected.append((name, found))
        if args.json:
            continue
        say(f"{name}: {f'{len(found)} missing' if found else 'nothing is missing'}")
        for one in found:
            say(sanitize_line(f"  {one.lack}: {one.what} · {one.where}"))
    if args.json:
        from appraise.cli.listings import MISSING

        say_json(MISSING.dump(collected))
    return code
