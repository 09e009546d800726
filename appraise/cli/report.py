"""`appraise report CASE -o FILE`: a report of the kind asked for, in the format that the ending of each file says."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import WrongUse, complain_of
from appraise.cli.documents import add_output, refuse, write_out
from appraise.cli.inputs import tables_for
from appraise.cli.valued import add_valuing, valued
from appraise.model.problem import InputError
from appraise.report.formats import WRITERS
from appraise.report.kinds import OF_A_LOSS, ReportKind

if TYPE_CHECKING:
    import argparse

    from appraise.report.appraisal import Appraisal
    from appraise.report.loss.compared import Compared


_OFFERED = {
    "offer": ("AMOUNT", "what the seller is offered"),
    "until": ("DAY", "the day until which the offer stands"),
    "counts_on": ("TEXT", "what the offer counts on"),
}
"""Options of the sheet for a seller and of the buying sheet."""
_FIELD = {"offer": "amount"}
"""Attributes of the case, where their names differ."""


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("case", type=Path, metavar="CASE", help="a case file")
    add_output(parser, required=True)
    parser.add_argument(
        "--annex",
        action="store_true",
        help="write the derivation of every figure as well, as FILE-annex beside FILE; a JSON file holds it anyway",
    )
    add_kind(parser)
    for option, (metavar, text) in _OFFERED.items():
        parser.add_argument(f"--{option.replace('_', '-')}", metavar=metavar, help=f"{text}, instead of the case's")
    add_valuing(parser, json=False)


def run(args: argparse.Namespace) -> int:
    """Write the report, in every format asked for.

    Raises:
        Unreadable: The case or the tables cannot be used.
        WrongUse: A file cannot be written, or would replace another, or `--annex` or an offer stands beside another
            kind.
    """
    if args.annex and args.kind != ReportKind.FULL:
        raise WrongUse(f"appraise report: found --annex with --kind {args.kind}, expected it with --kind full alone")
    annexes = [annex_of(target) for target in args.output if args.annex and target.suffix.lower() in WRITERS]
    refuse(args, args.output + annexes)
    item = _with_offer(args, item_for(args))
    code = write_out(args, args.kind, item, args.case)
    return max(code, write_out(args, ReportKind.ANNEX, item, args.case, targets=annexes)) if annexes else code


def _with_offer(args: argparse.Namespace, item: Appraisal | Compared) -> Appraisal | Compared:
    """Return the case with what the options say of the offer, read as the form of the case reads it."""
    given = {key: text for key in _OFFERED if (text := getattr(args, key)) is not None}
    if not given:
        return item
    from appraise.report.appraisal import Appraisal
    from appraise.services.fields import parse, replace_at
    from appraise.services.particulars import SECTIONS

    if not isinstance(item, Appraisal) or args.kind not in (ReportKind.OFFER, ReportKind.BUYING):
        option = next(iter(given)).replace("_", "-")
        raise WrongUse(f"appraise report: found --{option} with --kind {args.kind}, expected it with offer or buying")
    fields = {field.path: field for _, section in SECTIONS for field in section}
    case = item.case
    for key, text in given.items():
        path = ("offer", _FIELD.get(key, key))
        try:
            case = replace_at(case, path, parse(fields[path], text, case, item.tables))
        except InputError as refused:
            raise WrongUse(f"appraise report: {refused.about('--' + key.replace('_', '-'))}") from None
    return replace(item, case=case)


def annex_of(target: Path) -> Path:
    """Return where the annex of a report goes: "report.pdf" has "report-annex.pdf" beside it."""
    return target.with_stem(f"{target.stem}-annex")


def add_kind(parser: argparse.ArgumentParser) -> None:
    """Add `--kind`, and what a loss needs beside the case."""
    from appraise.cli.loss import add_terms

    parser.add_argument(
        "--kind",
        choices=[str(kind) for kind in ReportKind],
        default=str(ReportKind.FULL),
        metavar="KIND",
        help="the whole appraisal (full), the derivation of its figures (annex), a page or two for an owner (summary), "
        "the jobs for the workshop (workorder), an offer to a seller (offer), how the highest offer is made up, for "
        "internal use only (buying); of a move the claim dossier (loss), the notice to the carrier (notice) "
        "or the request to a workshop for a quotation (request)",
    )
    group = parser.add_argument_group("with --kind loss, notice or request")
    text = "the case file before the move; left out where CASE remembers its earlier state"
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
