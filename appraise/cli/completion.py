"""`appraise completion SHELL`: what a shell needs to complete commands, options and case files."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from appraise.cli.diagnostics import ExitCode
from appraise.cli.output import say_script
from appraise.cli.parser import build_parser

SHELLS = ("bash", "zsh", "fish")
"""Shells that a script can be written for."""

_CASES = {
    "bash": "_appraise_cases",
    "zsh": "_files -g '*.toml'",
    "fish": "(__fish_complete_suffix .toml)",
}
"""Completions of a case file: files ending in .toml, and folders on the way to them."""

_PREAMBLE = {
    "bash": """\
_appraise_cases() {
  compgen -f -X '!*.toml' -- "$1"
  compgen -d -S / -- "$1"
}""",
}

MORE = ". The folder must be there, and for zsh be one of fpath. Print it anew after an update."


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("shell", choices=SHELLS, metavar="SHELL", help=", ".join(SHELLS))


def run(args: argparse.Namespace) -> int:
    """Print the script."""
    say_script(script(args.shell).rstrip("\n") + "\n")
    return ExitCode.DONE


def script(shell: str) -> str:
    """Return the script of one shell, made from the parser of the whole command line."""
    import shtab

    parser = build_parser()
    _mark(parser, shtab.FILE, shtab.DIRECTORY)
    # A preamble by shell is what the documentation of shtab asks for; its annotation says otherwise.
    text: str = shtab.complete(parser, shell, preamble=_PREAMBLE)  # type: ignore[arg-type]
    return text


def _mark(parser: argparse.ArgumentParser, file: Any, folder: Any) -> None:  # noqa: ANN401 - as shtab has them
    """Say of every argument that is a path what completes it."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                _mark(inner, file, folder)
        elif action.type is Path or action.metavar in {"FILE", "FOLDER"}:
            case = "CASE" in str(action.metavar) or action.dest in {"before", "after"}
            marked = _CASES if case else folder if action.metavar == "FOLDER" else file
            action.complete = marked  # type: ignore[attr-defined] # what shtab looks for
