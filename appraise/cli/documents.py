"""What every command that writes a document shares: where to, on which paper, and what is refused before any work."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain
from appraise.cli.output import say
from appraise.report.formats import PAPERS, STANDARDS, WRITERS, Sheet, Unwritable, Written, write
from appraise.report.words import either
from appraise.store.characters import one_line
from appraise.tables.content import resolved

if TYPE_CHECKING:
    import argparse

    from appraise.report.appraisal import Appraisal
    from appraise.report.loss.compared import Compared

ENDINGS = (*WRITERS, ".json")
"""What can be written, by the ending of the file."""


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
        help=f"where to; its ending, {either(ENDINGS)}, says what; again for another format",
    )
    parser.add_argument("--force", action="store_true", help="replace FILE where it exists")
    parser.add_argument(
        "--paper", choices=PAPERS, help="size of a PDF's pages; without: what is usual in --locale, or a4"
    )
    text = "hold a PDF to PDF/UA-1 or PDF/A-2b; again for both"
    parser.add_argument("--pdf-standard", choices=STANDARDS, action="append", default=[], help=text)


def refuse(args: argparse.Namespace) -> None:
    """Refuse what could not be written, before any work is done.

    Args:
        args: With the options of `add_output`.

    Raises:
        WrongUse: An ending is none of ours, a folder is missing, a file exists or is named twice.
    """
    seen: set[Path] = set()
    for target in args.output:
        shown = f"appraise {args.command}: {one_line(str(target))}"
        if target.suffix.lower() not in ENDINGS:
            found = f"the ending {one_line(target.suffix)}" if target.suffix else "no ending"
            raise WrongUse(f"{shown}: found {found}, expected {either(ENDINGS)}")
        if not target.parent.is_dir():
            folder = one_line(str(target.parent))
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
    *,
    quiet: bool = False,
    done: list[Path] | None = None,
) -> int:
    """Write a report to every file asked for; one that cannot be written does not keep the others back.

    Args:
        args: With the options of `add_output`, already past `refuse`.
        kind: One of `report.kinds.ReportKind`.
        item: What the report is made from.
        quiet: Say nothing of what was written.
        done: Takes the files that were written.

    Returns:
        The exit code.
    """
    from appraise.cli.kinds import object_text
    from appraise.report.kinds import document_for
    from appraise.report.wording import paper_for
    from appraise.store.write import write_file

    sheet = Sheet(args.paper or paper_for(item.manner.locale), tuple(dict.fromkeys(args.pdf_standard)))
    code, made = ExitCode.DONE, None
    said: set[str] = set()
    for target in args.output:
        shown = f"appraise {args.command}: {one_line(str(target))}"
        try:
            if target.suffix.lower() == ".json":
                written = Written(object_text(kind, item).encode("utf-8"))
            else:
                made = document_for(kind, item) if made is None else made
                written = write(made, target.suffix.lower(), sheet)
            write_file(target, written.content)
        except Unwritable as refused:
            complain(f"{shown}: {refused}")
            code = ExitCode.UNUSABLE
            continue
        except OSError as error:
            found = f"that it cannot be written ({error.strerror or error})"
            complain(f"{shown}: found {found}, expected a folder that can be")
            code = ExitCode.UNUSABLE
            continue
        for note in written.notes:
            if note not in said:
                complain(f"appraise {args.command}: {note}")
            said.add(note)
        if done is not None:
            done.append(target)
        if not quiet:
            say(f"wrote {target}")
    return code
