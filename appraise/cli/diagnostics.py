"""Standard error and the exit codes; no other module writes there."""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from enum import IntEnum
from typing import TYPE_CHECKING

from appraise.model.unsafe import sanitize_line, visible

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from appraise.model.problem import Problem


class ExitCode(IntEnum):
    """Exit status of a command."""

    DONE = 0
    """The command did its work."""
    PROBLEMS = 1
    """`check` found problems in a case; `rank` left files out."""
    UNUSABLE = 2
    """Wrong use, or a file that cannot be read or written."""
    INTERRUPTED = 130
    """Stopped from the keyboard: 128 + SIGINT, as shells report it."""


MOST = 1000
"""Problems that are told one by one: nobody mends more in one go."""


LONGEST = 80
"""Characters of a word of the command line that a message says at most."""
LONGEST_PATH = 300
"""The same of a path: short of that it is said whole, for somebody looks for it."""

_typed: list[tuple[str, str]] = []
"""Words too long to be said whole, as messages may hold them, and what is said in their place."""


class WrongUse(Exception):
    """The command line asks for something that cannot be done; the text is one line for the person."""


def remember_typed(words: Sequence[str]) -> None:
    """Have messages cut what was typed where it is too long to be read.

    Args:
        words: Of the command line.
    """
    _typed.clear()
    whole = {part for word in words for part in (word, word.partition("=")[2])}
    # Of a path messages may say the folder alone, or the ending.
    parts = {form for part in whole for form in (part, os.path.dirname(part), os.path.splitext(part)[1])}  # noqa: PTH120, PTH122
    for part in sorted(parts, key=len, reverse=True):
        longest = LONGEST_PATH if "/" in part or os.sep in part else LONGEST
        # Python's own messages quote a word, and a path loses what does not count.
        for form in {part, repr(part)[1:-1], os.path.normpath(part) if part else ""}:
            shown = _clean(form)
            if len(shown) > longest:
                _typed.append((shown, f"{shown[: longest - 1]}…"))


def brief(line: str) -> str:
    """Return a line cleaned, long words of the command line cut."""
    shown = _clean(line)
    for word, cut in _typed:
        shown = shown.replace(word, cut)
    return shown


def _clean(text: str) -> str:
    return sanitize_line(visible(text))


def complain(line: str) -> None:
    """Write one line to standard error, whatever the text holds."""
    sys.stderr.write(f"{brief(line)}\n")


def repeat(text: str) -> None:
    """Write to standard error what has been written there before, as it was."""
    sys.stderr.write(text)


def complain_of(problems: Iterable[Problem]) -> None:
    """Write problems to standard error, a line each; of very many the first `MOST`, and how many there are."""
    found = list(problems)
    for problem in found[:MOST]:
        complain(str(problem))
    if len(found) > MOST:
        complain(f"{found[MOST].file}: {len(found) - MOST:,} more problems")


@contextmanager
def advancing(task: str, total: Callable[[], int]) -> Iterator[Callable[[], None]]:
    """Show a progress bar on standard error, where that is a terminal; lines of `complain` stay above it.

    Args:
        task: What is being done.
        total: Counts the steps; asked only where there is a bar.

    Yields:
        What to call after each step.
    """
    if not sys.stderr.isatty():
        yield _nothing
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    from appraise.cli.output import width

    screen = Console(file=sys.stderr, width=width(), markup=False, emoji=False, highlight=False)
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    # What others write to standard error goes through the bar while it stands; standard output is not touched.
    with Progress(*columns, console=screen, transient=True, redirect_stdout=False) as progress:
        bar = progress.add_task(task, total=total())
        yield lambda: progress.advance(bar)


def _nothing() -> None:
    """Advance where nobody watches."""
