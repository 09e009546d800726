"""Options that `value`, `why` and `report` share, and a case with everything concluded from it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.cli import inputs
from appraise.cli.diagnostics import WrongUse, complain
from appraise.cli.options import add_date, add_draws, add_json, add_manner, add_tables
from appraise.model.problem import InputError
from appraise.model.unsafe import sanitize_line
from appraise.store.files import digest_of

if TYPE_CHECKING:
    import argparse
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
    case, content = inputs.usable_file(path, tables)
    case = _asked(case, args, tables)
    from appraise.model.locale_format import PLAIN
    from appraise.report.appraisal import Asked, appraisal
    from appraise.report.wording import manner_of

    digest = digest_of(content)
    manner = (
        PLAIN
        if getattr(args, "json", False)
        else manner_of(case.assignment, args.locale, args.units, getattr(args, "kind", ""))
    )
    file = sanitize_line(path.name)
    item = appraisal(case, tables, file=file, sha256=digest, draws=args.draws, seed=args.seed, manner=manner)
    return replace(item, asked=Asked(content.decode("utf-8", "replace"), args.date, args.basis or ""))


def _asked(case: Case, args: argparse.Namespace, tables: Tables) -> Case:
    """Return the case on the basis and for the day asked for.

    Raises:
        WrongUse: They do not fit the case.
    """
    from appraise.services.valuation_overrides import on_basis, on_day

    option = "--basis"
    try:
        if args.basis is not None:
            case = on_basis(case, args.basis, tables)
        option = "--date"
        if args.date is not None:
            if args.date > inputs.today():
                future = f"{args.date} lies in the future: what follows is a projection, no appraisal"
                complain(f"appraise {args.command}: --date: {future}")
            case = on_day(case, args.date)
    except InputError as refused:
        raise WrongUse(f"appraise {args.command}: {option}: {refused}") from None
    return case
