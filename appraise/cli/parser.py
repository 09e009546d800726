"""The command line: which command is meant, and a clear line where none is."""

from __future__ import annotations

import argparse
import io
import os
import signal
import sys
import threading
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from appraise import __version__
from appraise.cli.diagnostics import ExitCode, WrongUse, complain, complain_of, remember_typed
from appraise.cli.examples import epilog
from appraise.cli.options import LateParser
from appraise.cli.output_cache import through_cache
from appraise.cli.summaries import COMMANDS
from appraise.model.problem import Unreadable
from appraise.store.findings import did_you_mean

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


class _Layout(argparse.HelpFormatter):
    """Leaves the lines of examples as they are."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        return text if text.startswith("example") else super()._fill_text(text, width, indent)


class _Parser(LateParser):
    """Raises where argparse would print and leave; every help page ends with examples."""

    def __init__(self, *args: object, **options: object) -> None:
        options.setdefault("allow_abbrev", False)
        options.setdefault("formatter_class", _Layout)
        super().__init__(*args, **options)  # type: ignore[arg-type]
        self.epilog = self.epilog or epilog(self.prog) or None

    def error(self, message: str) -> NoReturn:
        """Refuse the command line.

        Raises:
            WrongUse: Always.
        """
        raise WrongUse(f"{self.prog}: {message}; `{self.prog} --help` shows how")


def build_parser(
    commands: Iterable[str] = COMMANDS, *, named: bool = False, late: bool = False
) -> argparse.ArgumentParser:
    """Return the parser of the whole command line.

    The module of a command adds its `options`; its `MORE` stands behind what the command does on the help page, its
    `DESCRIPTION` in place of both.

    Args:
        commands: The commands to load; the others are not known to it.
        named: Whether it is enough to name them with what they do, as the list of all commands does.
        late: Leave options that take heavy imports until they are parsed.
    """
    parser = _Parser(
        prog="appraise",
        description="The inspection worksheet of a piano appraiser: condition, remaining life, and value as a "
        "range with reasons. Without a command it opens the worksheet on the cases of this folder.",
    )
    parser.add_argument("--version", action="version", version=f"appraise {__version__}")
    below = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    for name in commands:
        text = COMMANDS[name]
        if named:
            below.add_parser(name, help=text)
            continue
        from appraise.report.words import capital

        module = import_module(f"appraise.cli.{name}")
        description = getattr(module, "DESCRIPTION", f"{capital(text)}{getattr(module, 'MORE', '.')}")
        module.options(below.add_parser(name, help=text, description=description))
    if not late:
        parser.complete()
    return parser


def main(argv: Sequence[str] | None = None, *, cached: bool = False) -> int:
    """Run a command line.

    Args:
        argv: The words after the program's name; none: those of this process.
        cached: Whether a command that only prints may print again what it printed of the same files.

    Returns:
        The exit code.
    """
    words = list(sys.argv[1:] if argv is None else argv)
    remember_typed(words)
    _replace_closed_streams()
    for stream in (sys.stdout, sys.stderr):
        # A terminal or pipe that cannot show a character shows its number; that is no reason to fail.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    try:
        _interruptible()
        code = through_cache(words, lambda: _run(words)) if cached and words[:1] == ["value"] else _run(words)
        sys.stdout.flush()
    except WrongUse as wrong:
        complain(str(wrong))
        return ExitCode.UNUSABLE
    except Unreadable as unreadable:
        complain_of(unreadable.problems)
        return ExitCode.UNUSABLE
    except BrokenPipeError:
        # The reader has gone, as `head` does; what Python still holds back must not be written at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ExitCode.DONE
    except KeyboardInterrupt:
        complain("appraise: interrupted")
        return ExitCode.INTERRUPTED
    except MemoryError:
        complain("appraise: not enough memory on this machine; nothing was changed")
        return ExitCode.UNUSABLE
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        complain(f"appraise: {place}{error.strerror or error}")
        return ExitCode.UNUSABLE
    return code


def _interruptible() -> None:
    """Have an interruption raise from here on, where it would end the process."""
    if threading.current_thread() is threading.main_thread() and signal.getsignal(signal.SIGINT) is signal.SIG_DFL:
        signal.signal(signal.SIGINT, signal.default_int_handler)


def _replace_closed_streams() -> None:
    """Give a process started without standard streams somewhere to write."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            # Open until the process ends, as the stream it stands for would be.
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115


def _run(words: list[str]) -> int:
    first = next((word for word in words if not word.startswith("-")), None)
    if not words:
        words, first = ["open"], "open"
    elif first is not None and first not in COMMANDS:
        raise WrongUse(_unknown(first))
    try:
        args = _parser_for(words, first).parse_args(words)
    except SystemExit as stop:  # after --help and --version
        return int(stop.code or 0)
    code: int = import_module(f"appraise.cli.{args.command}").run(args)
    return code


def _parser_for(words: list[str], first: str | None) -> argparse.ArgumentParser:
    """Return a parser that has loaded what is asked for and no more: help lists all commands by name."""
    if first is None:
        return build_parser(named=True)
    return build_parser((first,) if words[0] == first else COMMANDS, late=True)


def _unknown(word: str) -> str:
    if word.endswith(".toml") or Path(word).is_file():
        return f"appraise: found the file {word}, expected a command; `appraise open {word}` opens it"
    mend = did_you_mean(word, COMMANDS) or "`appraise --help` lists them"
    return f'appraise: found "{word}", expected a command; {mend}'
