"""Standard error and the exit codes; no other module writes there."""

from __future__ import annotations

import sys
from enum import IntEnum
from typing import TYPE_CHECKING

from appraise.store.characters import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.model.problem import Problem


class ExitCode(IntEnum):
    """What the command tells the shell."""

    DONE = 0
    """What was asked for has been done."""
    PROBLEMS = 1
    """`check` found problems in a case."""
    UNUSABLE = 2
    """Wrong use, or a file that cannot be read or written."""
    INTERRUPTED = 130
    """Stopped from the keyboard: 128 + SIGINT, as shells report it."""


class WrongUse(Exception):
    """The command line asks for something that cannot be done; the text is one line for the person."""


def complain(line: str) -> None:
    """Write one line to standard error, whatever the text holds."""
    sys.stderr.write(f"{one_line(line)}\n")


def complain_of(problems: Iterable[Problem]) -> None:
    """Write problems to standard error, a line each."""
    for problem in problems:
        complain(str(problem))
