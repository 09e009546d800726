"""`appraise open [CASE]`: the worksheet; with `--lines` the walk as plain lines, for screen readers and slow links."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.options import add_tables
from appraise.cli.output import say
from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    import argparse

    from appraise.services.case_session import CaseSession
    from appraise.services.opening import Opened
    from appraise.tables.rows import Tables


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("case", nargs="?", type=Path, metavar="CASE", help="a case file, or a folder of them")
    text = "ask the checks as plain lines on standard input and output, for screen readers and slow links"
    parser.add_argument("--lines", action="store_true", help=text)
    add_tables(parser)


def run(args: argparse.Namespace) -> int:
    """Open the worksheet, or walk in lines.

    Raises:
        WrongUse: There is no terminal to open it in.
        Unreadable: The case or the tables cannot be used.
    """
    if args.lines:
        from appraise.cli.inputs import tables_for

        if args.case is None or args.case.is_dir():
            raise WrongUse("appraise open: found --lines without a case file, expected `appraise open --lines CASE`")
        return walk_in_lines(args.case, tables_for(args.tables))
    if not interactive():
        raise WrongUse("appraise open: found no terminal, expected one; `appraise value CASE` needs none")
    case: Path | None = args.case
    folder = Path()
    if case is not None and case.is_dir():
        folder, case = case, None
    elif case is not None:
        folder = case.parent
    return open_worksheet(folder, case, args.tables)


def interactive() -> bool:
    """Say whether a person sits at both ends."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def open_worksheet(folder: Path, case: Path | None, overlay: Path | None = None, *, tour: bool = False) -> int:
    """Run the terminal interface until it is left.

    Args:
        folder: Whose cases are listed.
        case: The case to open at once.
        overlay: The user's own tables.
        tour: Whether to lead through it.

    Returns:
        The exit code.

    Raises:
        Unreadable: The case or the tables cannot be used.
    """
    # By name, so that no command loads the terminal interface but those that open it.
    code: int = import_module("appraise.app").run(folder, case, overlay, tour=tour)
    return code


LONGEST = 20_000
"""Characters of a line that is read; the rest of it is a line of its own."""


def walk_in_lines(path: Path, tables: Tables) -> int:
    """Ask the checks of a case, a line each, until somebody leaves or the input ends.

    What was not saved when the input ends is in the trail, and the next opening offers it.

    Args:
        path: The case file.
        tables: The reference tables.

    Returns:
        The exit code: 0 when everything is saved or was given up on purpose, 1 when not.

    Raises:
        Unreadable: The case cannot be used.
        WrongUse: It can only be read, or needs the screens first.
    """
    from appraise.services.line_walk import LineWalk
    from appraise.services.opening import open_sheet

    opened = open_sheet(path, tables)
    sheet = opened.worksheet
    try:
        for said in opened.said:
            say(f"{sanitize_line(path.name)}: {said}")
        _recover(opened, path)
        walk = LineWalk(sheet)
        say(f"{_named(sheet)}. Enter goes on, ? is help, quit leaves.")
        while not walk.done:
            for line in walk.question():
                say(line)
            typed = _read()
            if typed is None:
                return _ended(sheet)
            for line in walk.take(typed):
                say(line)
    finally:
        sheet.release()
    return ExitCode.DONE


def _named(sheet: CaseSession) -> str:
    identity = sheet.case.identity
    words = (identity.maker, identity.model, str(identity.kind), str(identity.made or ""))
    return sanitize_line(" ".join(filter(None, words)))


def _read() -> str | None:
    """Return the next line typed; none at the end of the input."""
    sys.stdout.flush()
    line = sys.stdin.readline(LONGEST)
    return line.rstrip("\n") if line else None


def _ended(sheet: CaseSession) -> int:
    if not sheet.dirty:
        return ExitCode.DONE
    say("The input ended. What is not saved is in the trail; the next opening offers it.")
    return ExitCode.PROBLEMS


def _recover(opened: Opened, path: Path) -> None:
    """Ask what becomes of what an earlier session left unsaved.

    Raises:
        WrongUse: Somebody else has the case, or the screens are needed to decide.
    """
    from appraise.services.opening import recover, set_aside

    shown, sheet, unsaved = f"appraise open --lines: {sanitize_line(str(path))}", opened.worksheet, opened.unsaved
    if sheet.read_only:
        raise WrongUse(f"{shown}: {sheet.read_only}")
    if unsaved is None:
        return
    if unsaved.foreign or unsaved.left is None:
        raise WrongUse(f"{shown}: unsaved work beside a file that was changed; `appraise open` lays both side by side")
    count = len(unsaved.steps)
    say(f"An earlier session left {count} {'step' if count == 1 else 'steps'} unsaved. Type recover, or set aside.")
    while True:
        typed = _read()
        if typed is None:
            raise WrongUse(f"{shown}: the input ended before it was said what becomes of the unsaved work")
        if typed.strip().casefold() == "recover":
            recover(sheet, unsaved)
            return
        if typed.strip().casefold() == "set aside":
            set_aside(sheet, unsaved)
            return
        say("Not taken: expected recover, or set aside")
