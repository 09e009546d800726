"""Inputs of nearly every command: the tables, and a case that can be used."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import complain_of
from appraise.model.problem import Unreadable

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.tables.rows import Tables


def today() -> date:
    """Return the day it is here: the one place where the command line asks the clock, always as `inputs.today()`."""
    return date.today()


def tables_for(overlay: Path | None) -> Tables:
    """Load the tables, with the user's own laid over them.

    Raises:
        Unreadable: A table has problems.
    """
    from appraise.tables.load import load_tables

    return load_tables(overlay)


def usable_case(path: Path, tables: Tables) -> Case:
    """Read a case that is to be worked with; hints go to standard error.

    Raises:
        Unreadable: The case has grave problems, and carries all of them.
    """
    return usable_file(path, tables)[0]


def usable_file(path: Path, tables: Tables) -> tuple[Case, bytes]:
    """Read a case as `usable_case` does.

    Returns:
        The case, and the very bytes it was read from.

    Raises:
        Unreadable: The case has grave problems, and carries all of them.
    """
    from appraise.store.read import read_case_file

    case, problems, content = read_case_file(path, tables, today=today())
    if case is None:
        raise Unreadable(*problems)
    complain_of(problems)
    return case, content
