"""What `value`, `why` and `report` share: their options, and a case with everything concluded from it."""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import WrongUse, complain
from appraise.cli.inputs import today, usable_case
from appraise.cli.options import add_date, add_draws, add_json, add_manner, add_tables
from appraise.store.characters import one_line

if TYPE_CHECKING:
    import argparse
    from datetime import date
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.report.appraisal import Appraisal
    from appraise.tables.rows import Tables


def add_valuing(parser: argparse.ArgumentParser, *, json: bool = True) -> None:
    """Add the options of every command that values a case."""
    add_date(parser, "the effective date, instead of the day of the inspection")
    text = "the kind of value, instead of the case's: a row of the table `bases`"
    parser.add_argument("--basis", metavar="KEY", help=text)
    add_draws(parser)
    add_tables(parser)
    add_manner(parser)
    if json:
        add_json(parser)


def valued(path: Path, args: argparse.Namespace, tables: Tables) -> Appraisal:
    """Read a case and value it as the command line asks.

    Args:
        path: The case file.
        args: With the options of `add_valuing`.
        tables: The rows to value it with.

    Raises:
        Unreadable: The case has grave problems.
        WrongUse: The options do not fit the case.
    """
    case = usable_case(path, tables)
    if args.basis is not None:
        case = _on_basis(case, args.basis, tables, args.command)
    if args.date is not None:
        case = _on_day(case, args.date, args.command)
    import hashlib

    from appraise.model.manner import PLAIN
    from appraise.report.appraisal import appraisal
    from appraise.report.wording import manner_of

    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    file = one_line(path.name)
    manner = PLAIN if _for_machines(args) else manner_of(case.assignment, args.locale, args.units)
    return appraisal(case, tables, file=file, sha256=digest, draws=args.draws, seed=args.seed, manner=manner)


def _for_machines(args: argparse.Namespace) -> bool:
    """Tell whether JSON is written, which is the same in every place."""
    output: Path | None = getattr(args, "output", None)
    return bool(getattr(args, "json", False)) or (output is not None and output.suffix.lower() == ".json")


def _on_basis(case: Case, basis: str, tables: Tables, command: str) -> Case:
    if basis not in tables.bases:
        near = get_close_matches(basis, tables.bases, n=1)
        mend = f'did you mean "{near[0]}"?' if near else f"there are {', '.join(tables.bases)}"
        raise WrongUse(f'appraise {command}: --basis: found "{basis}", expected a kind of value; {mend}')
    return replace(case, assignment=replace(case.assignment, basis=basis))


def _on_day(case: Case, day: date, command: str) -> Case:
    spans = [renewal.date for renewal in case.renewals if renewal.date is not None]
    if case.identity.made is not None:
        spans.append(case.identity.made)
    first = max((span.earliest for span in spans), default=day)
    if day > today():
        complain(f"appraise {command}: --date: {day} lies in the future: what follows is a projection, no appraisal")
    if day < first:
        expected = f"a day from {first} on, when the case already has something happen"
        raise WrongUse(f"appraise {command}: --date: found {day}, expected {expected}")
    return replace(case, assignment=replace(case.assignment, inspected=day))
