"""`appraise photos CASE`: the photos and papers of a case, what has become of them, and photos that nothing uses."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain
from appraise.cli.inputs import tables_for, usable_case
from appraise.cli.options import add_json, add_tables
from appraise.cli.output import say, say_json
from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    import argparse

    from appraise.model.case import Case
    from appraise.services.papers import Paper
    from appraise.services.photos import Standing
    from appraise.store.photo_entry import Lying
    from appraise.tables.rows import Tables

MORE = (
    ". Each photo is hashed when it is entered in the worksheet, and its capture time "
    "(Exif DateTimeOriginal) is kept; so is the file of a quotation or a bid. Exit code 1 where one of them has "
    "changed, is missing or has no SHA-256."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("case", type=Path, metavar="CASE", help="a case file")
    text = "hash the photos and papers that have no SHA-256 and save the case; later checks compare with that"
    parser.add_argument("--hash", action="store_true", help=text)
    add_json(parser)
    add_tables(parser)


def run(args: argparse.Namespace) -> int:
    """List the photos, or hash those that have no digest.

    Raises:
        Unreadable: The case or the tables cannot be used, or the case cannot be saved.
        WrongUse: The case has unsaved work, or another program writes it.
    """
    from appraise.services.papers import papers
    from appraise.services.photos import standings, unused

    tables = tables_for(args.tables)
    case = _hash(args.case, tables) if args.hash else usable_case(args.case, tables)
    found, lying, beside = standings(case, args.case, tables), unused(case, args.case, tables), papers(case, args.case)
    if args.json:
        from appraise.cli.listings import PHOTOS

        say_json(PHOTOS.dump((found, lying, beside)))
    else:
        _tell(found, lying)
        _tell_of_papers(beside)
    wrong = any(one.fault or not one.photo.sha256 for one in found) or any(
        one.fault or not one.sha256 for one in beside
    )
    return ExitCode.PROBLEMS if wrong else ExitCode.DONE


def _hash(path: Path, tables: Tables) -> Case:
    from appraise.services.opening import open_sheet
    from appraise.services.papers import hashed_papers
    from appraise.services.photos import hashed

    opened = open_sheet(path, tables)
    sheet = opened.worksheet
    try:
        if opened.unsaved is not None:
            raise WrongUse(
                f"appraise photos: {sanitize_line(str(path))}: found unsaved work; `appraise open` takes it up"
            )
        if sheet.read_only:
            raise WrongUse(f"appraise photos: {sanitize_line(str(path))}: {sheet.read_only}")
        made = hashed_papers(hashed(sheet.case, path), path)
        if made != sheet.case:
            sheet.change(made, "digests of photos and papers")
            sheet.save()
        else:
            complain(f"{sanitize_line(str(path))}: no photo or paper without a SHA-256 that can be read")
        return sheet.case
    finally:
        sheet.release()


def _tell(found: list[Standing], lying: list[Lying]) -> None:
    from appraise.services.photos import photo_lines

    for one in found:
        say(f"{sanitize_line(one.photo.file)}: {one.words}")
        for line in (*photo_lines(one.photo, one.size), *(f"shows {words}" for words in one.shows)):
            say(f"  {line}")
    if not found:
        say("No photo in the file.")
    if lying:
        say(f"Used nowhere, in the folder of the case: {len(lying)}")
        for lies in lying:
            say(f"  {sanitize_line(lies.file)}")


def _tell_of_papers(found: list[Paper]) -> None:
    for one in found:
        kind = "quotation" if one.name == "quotations" else "bid"
        digest = f"SHA-256 {one.sha256}" if one.sha256 else "no SHA-256 recorded"
        state = one.fault or ("as it was entered" if one.sha256 else "not hashed when it was entered")
        say(f"{sanitize_line(one.file)} ({kind} {one.at + 1}): {state}")
        say(f"  {digest}")
