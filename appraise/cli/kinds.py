"""The kinds of report on the command line: which one is asked for, and what it is made from."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import WrongUse, complain_of
from appraise.cli.inputs import tables_for
from appraise.report.kinds import OF_A_LOSS, ReportKind

if TYPE_CHECKING:
    import argparse

    from appraise.report.appraisal import Appraisal
    from appraise.report.loss.compared import Compared


def add_kind(parser: argparse.ArgumentParser) -> None:
    """Add `--kind`, and what a loss needs beside the case."""
    from appraise.cli.loss import add_terms

    parser.add_argument(
        "--kind",
        choices=[str(kind) for kind in ReportKind],
        default=str(ReportKind.FULL),
        metavar="KIND",
        help="the whole appraisal (full), the derivation of its figures (annex), a page or two for an owner (summary), "
        "the jobs for the workshop (workorder), an offer to a seller (offer), how the highest offer comes about, for "
        "the house alone (buying); of a move the claim dossier (loss), the notice to the carrier (notice) "
        "or the request to a workshop for a quotation (request)",
    )
    group = parser.add_argument_group("with --kind loss, notice or request")
    text = "the case file of the state before; left out where CASE remembers its earlier state"
    before = group.add_argument("--before", type=Path, metavar="BEFORE", help=text)
    parser.set_defaults(for_loss=(before.dest, *add_terms(group)))


def item_for(args: argparse.Namespace) -> Appraisal | Compared:
    """Read and value what a report of the kind asked for is made from.

    Args:
        args: With `case`, and the options of `add_kind` and `valued.add_valuing`.

    Raises:
        Unreadable: A case or the tables cannot be used.
        WrongUse: Options do not fit the kind, or the case.
    """
    _refuse(args)
    tables = tables_for(args.tables)
    if args.kind in OF_A_LOSS:
        from appraise.cli.loss import compared_states

        return compared_states(args.before, args.case, args, tables, args.kind)
    from appraise.cli.valued import valued
    from appraise.services.letterhead import letterhead_of
    from appraise.services.photos import photos_of
    from appraise.store.photos import check_photos

    item = valued(args.case, args, tables)
    item = replace(item, letterhead=letterhead_of(args.case, item.case))
    if not item.case.photo_files:
        return item
    complain_of(check_photos(args.case, item.case))
    return replace(item, photos=photos_of(args.case, item.case, tables))


def _refuse(args: argparse.Namespace) -> None:
    """Refuse options that do not fit the kind, before any work is done.

    Raises:
        WrongUse: One is missing, or means nothing here.
    """
    command = f"appraise {args.command}"
    if args.kind in OF_A_LOSS:
        for name in ("date", "basis"):
            if getattr(args, name) is not None:
                raise WrongUse(
                    f"{command}: found --{name} with --kind {args.kind}, expected neither --date nor --basis: "
                    "both states are valued as the file of the state after says"
                )
        return
    for name in args.for_loss:
        if getattr(args, name):
            option = name.replace("_", "-")
            raise WrongUse(
                f"{command}: found --{option} with --kind {args.kind}, expected it with --kind loss, notice or request"
            )
