"""`appraise demo [FOLDER]`: the invented sample cases, to walk through."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.open import interactive, open_worksheet
from appraise.cli.output import say
from appraise.store.trail import TRAIL
from appraise.tables.content import NoFile, TooLarge, content_of
from appraise.tables.folder import data_folder

TOUR = "barely_inspected_upright.toml"
"""The case that the tour inspects: much of it is left to inspect, so that an answer moves the range."""

if TYPE_CHECKING:
    import argparse

MORE = ". A file of yours with other content is not overwritten."


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    folder = Path("appraise-demo")
    text = f"where to; ./{folder} if not given"
    parser.add_argument("folder", nargs="?", type=Path, default=folder, metavar="FOLDER", help=text)
    text = "a tour of five minutes over one of them: inspecting, grading, reasons, result, report"
    parser.add_argument("--tour", action="store_true", help=text)


def run(args: argparse.Namespace) -> int:
    """Copy the sample cases and open them.

    Raises:
        WrongUse: There is no terminal for a tour.
        OSError: The folder cannot be written.
    """
    source, folder = data_folder("sample_cases"), args.folder
    cases = []
    for original in sorted(source.rglob("*")):
        if original.is_dir() or _left_by_work(original.relative_to(source)):
            continue
        copy = folder / original.relative_to(source)
        kept = _copy(original, copy)
        if copy.suffix == ".toml":
            cases.append(copy)
        if kept:
            say(f"{copy}: not overwritten, it differs from the sample")
    if args.tour:
        if not interactive():
            raise WrongUse("appraise demo: found no terminal, expected one for --tour")
        return open_worksheet(folder, folder / TOUR, tour=True)
    if interactive():
        return open_worksheet(folder, None)
    say(f"{len(cases)} sample cases in {folder}; everything in them is invented:")
    for case in cases:
        say(f"  {case}")
    if cases:
        say()
        say(f"next: appraise value {cases[0]}")
        say(f"      appraise open {cases[0]}")
    return ExitCode.DONE


def _left_by_work(path: Path) -> bool:
    """Tell whether somebody's work on the samples themselves left a file there: a trail, a version, a lock."""
    return any(part.startswith(".") for part in path.parts) or path.name.endswith((TRAIL, "~"))


def _copy(original: Path, copy: Path) -> bool:
    """Copy a file where there is none; return whether something else is there."""
    content = original.read_bytes()
    try:
        return content_of(copy, len(content)) != content
    except (NoFile, TooLarge):
        return True
    except FileNotFoundError:
        if copy.is_symlink():
            return True  # it would be written somewhere else
        copy.parent.mkdir(parents=True, exist_ok=True)
        from appraise.store.write import write_file

        write_file(copy, content)
        return False
