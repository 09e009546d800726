"""`appraise lives CASE-or-FOLDER…`: what one's own cases say of how long parts last."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, advancing, complain
from appraise.cli.inputs import tables_for, today
from appraise.cli.options import add_json, add_tables
from appraise.cli.output import say, say_json, show_table

if TYPE_CHECKING:
    import argparse

    from appraise.evidence.lives import LearnedLife
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

_BIAS = (
    "Only instruments that came to you are counted: one scrapped for a worn part never came, so that lives come out "
    "too long; one brought because of it came too soon, so that they come out too short. --visits leaves out what "
    "ended before an instrument was first seen."
)

MORE = (
    ". Documented renewals end a part's service, parts in service are censored; a "
    f"Weibull life by component, in the use and climate of each case, drawn towards the tables. {_BIAS}"
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("places", nargs="+", type=Path, metavar="CASE-or-FOLDER", help="case files and folders of them")
    text = "count only what happened between the first case of an instrument (by maker and serial number) and its last"
    parser.add_argument("--visits", action="store_true", help=text)
    text = "write the rows into this folder of tables; rows of your own in it stay, and win"
    parser.add_argument("--take", type=Path, metavar="FOLDER", help=text)
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Learn and show.

    Returns:
        0 where every file could be used, 1 where some were left out.

    Raises:
        WrongUse: No case, or no renewal with a date.
        Unreadable: The tables or the folder cannot be used.
    """
    from appraise.evidence.lives import learn_lives, lives_rows, spells
    from appraise.services.learning import refuse_learned, take

    tables = tables_for(args.tables)
    refuse_learned(tables)
    cases, bad = _cases(args.places, tables)
    if not cases:
        raise WrongUse("appraise lives: found no case, expected case files or folders of them")
    learned = learn_lives(spells(cases, tables, visits=args.visits), tables)
    if not learned:
        raise WrongUse(f"appraise lives: found no renewal with a date in {len(cases):,} cases, expected one")
    until = min(today(), max(case.assignment.inspected for case in cases))
    left: list[str] = []
    if args.take is not None:
        left = take(*lives_rows(learned, len(cases), until), args.take)
    if args.json:
        from appraise.report.outputs.evidence import LIVES

        say_json(LIVES.dump((len(cases), learned, args.take is not None, left)))
    else:
        _tell(learned, args.take)
        for ref in left:
            complain(f"{args.take}: {ref} is your own and stays")
    return ExitCode.PROBLEMS if bad else ExitCode.DONE


def _cases(places: list[Path], tables: Tables) -> tuple[list[Case], int]:
    from appraise.services.ranking import found
    from appraise.store.read import read_case

    cases, bad = [], 0
    with advancing("reading", lambda: sum(1 for _ in found(places))) as advance:
        for path in found(places):
            case, problems = read_case(path, tables)
            if case is None:
                bad += 1
                complain(f"left out: {problems[0]}")
            else:
                cases.append(case)
            advance()
    return cases, bad


def _tell(learned: tuple[LearnedLife, ...], folder: Path | None) -> None:
    rows = [
        (
            one.row.key,
            str(one.events),
            str(one.censored),
            f"{one.row.low:g} {one.row.typical:g} {one.row.high:g}",
            f"{one.after.low:g} {one.after.mid:g} {one.after.high:g}",
            f"{100 * (one.factor - 1):+.0f} ± {100 * one.sd:.0f} %",
        )
        for one in learned
    ]
    heads = ("part", "renewals", "in service", "tables, years", "own cases", "median")
    show_table(heads, rows, right=frozenset(heads[1:3]) | {"median"})
    say()
    say(_BIAS)
    say(
        f"Taken into {folder}: `--tables {folder}` values with them."
        if folder
        else "Not taken yet: --take FOLDER does."
    )
