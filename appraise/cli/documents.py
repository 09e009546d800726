"""Options that every command writing a document shares: target, paper, and refusals before any work."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain
from appraise.cli.output import say
from appraise.model.unsafe import sanitize_line
from appraise.report.document import PAPERS, STANDARDS, Sheet
from appraise.report.formats import ENDINGS
from appraise.report.words import either
from appraise.tables.content import resolved

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from appraise.report.appraisal import Appraisal
    from appraise.report.loss.compared import Compared


def add_output(parser: argparse.ArgumentParser, *, required: bool = False) -> None:
    """Add the options that say where a document goes and how it is made."""
    parser.add_argument(
        "-o",
        "--output",
        type=Path,
        action="append",
        default=[],
        required=required,
        metavar="FILE",
        help=f"the file to write; its ending, {either(ENDINGS)}, gives the format; may be repeated",
    )
    parser.add_argument("--force", action="store_true", help="replace FILE where it exists")
    parser.add_argument("--paper", choices=PAPERS, help="page size of a PDF; without: the usual one of --locale, or a4")
    text = "hold a PDF to PDF/UA-1 or PDF/A-2b; may be repeated"
    parser.add_argument("--pdf-standard", choices=STANDARDS, action="append", default=[], help=text)


def refuse(args: argparse.Namespace, targets: Sequence[Path] | None = None) -> None:
    """Refuse what could not be written, before any work is done.

    Args:
        args: With the options of `add_output`.
        targets: Every file that will be written; none: those asked for.

    Raises:
        WrongUse: An ending is none of ours, a folder is missing, a file exists or is named twice.
    """
    seen: set[Path] = set()
    for target in args.output if targets is None else targets:
        shown = f"appraise {args.command}: {sanitize_line(str(target))}"
        if target.suffix.lower() not in ENDINGS:
            found = f"the ending {sanitize_line(target.suffix)}" if target.suffix else "no ending"
            raise WrongUse(f"{shown}: found {found}, expected {either(ENDINGS)}")
        if not target.parent.is_dir():
            folder = sanitize_line(str(target.parent))
            raise WrongUse(f"{shown}: found no folder {folder}, expected one; make it first")
        if target.is_dir():
            raise WrongUse(f"{shown}: found a folder, expected a file to write")
        if target.exists() and not args.force:
            raise WrongUse(f"{shown}: found a file of this name; --force replaces it")
        place = resolved(target)
        if place in seen:
            raise WrongUse(f"{shown}: found it twice, expected one file for each format")
        seen.add(place)


def write_out(
    args: argparse.Namespace,
    kind: str,
    item: Appraisal | Compared,
    case_file: Path,
    *,
    quiet: bool = False,
    targets: Sequence[Path] | None = None,
) -> int:
    """Write a report to every file asked for, and say what became of each.

    Args:
        args: With the options of `add_output`, already past `refuse`.
        kind: One of `report.kinds.ReportKind`.
        item: What the report is made from.
        case_file: The case whose trail takes note; of a loss, that of the state after.
        quiet: Say nothing of what was written.
        targets: Where to, instead of what was asked for.

    Returns:
        The exit code.
    """
    targets = args.output if targets is None else targets
    if not targets:
        return ExitCode.DONE
    from appraise.report.wording import paper_for
    from appraise.services.documents import export_documents

    sheet = Sheet(args.paper or paper_for(item.manner.locale), tuple(dict.fromkeys(args.pdf_standard)))
    code = ExitCode.DONE
    said: set[str] = set()
    for outcome in export_documents(item, kind, targets, sheet, case_file, overwrite=True):
        shown = f"appraise {args.command}: {sanitize_line(str(outcome.path))}"
        if outcome.problem:
            complain(f"{shown}: {outcome.problem}")
            code = ExitCode.UNUSABLE
            continue
        for note in outcome.notes:
            if note not in said:
                complain(f"appraise {args.command}: {note}")
            said.add(note)
        if outcome.untold:
            complain(f"{shown} is written, but not in the trail of the case: {outcome.untold}")
        if not quiet:
            say(f"wrote {outcome.path}")
    return code
