"""The manual page of every command, made from the parser, in the macros of man(7)."""

from __future__ import annotations

import argparse
from types import MappingProxyType
from typing import TYPE_CHECKING

from appraise import __version__
from appraise.cli.examples import EXAMPLES
from appraise.commands import COMMANDS as KEYS
from appraise.commands import key_names

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_CODES = (
    ("0", "done"),
    ("1", "the case has problems, a report differs, or rank left files out"),
    ("2", "wrong use, or a file that cannot be read"),
)


def manual(parser: argparse.ArgumentParser, own: Mapping[str, str] = MappingProxyType({})) -> str:
    """Return the page of a parser and of every command below it.

    Args:
        parser: Of the program.
        own: Keys of somebody's own in place of ours, by command.
    """
    lines = [f'.TH APPRAISE 1 "" "appraise {__version__}" "User Commands"', ".SH NAME"]
    lines += ["appraise \\- inspect a piano and value it as a range with reasons", ".SH SYNOPSIS"]
    lines += [".B appraise", '.RI [ COMMAND ] " " [ "OPTION ..." ]', ".SH DESCRIPTION"]
    lines += [_escaped(parser.description or ""), ".SH COMMANDS"]
    for command in _commands(parser):
        lines += [f".SS {_escaped(command.prog)}", _escaped(command.description or "")]
        for action in _described(command):
            lines += [".TP", f".B {_escaped(_name(action))}", _escaped(_help(command, action))]
        lines += [".PP", "Examples:", ".nf", *(_escaped(line) for line in EXAMPLES.get(command.prog, ())), ".fi"]
    lines.append(".SH KEYS OF THE WORKSHEET")
    for each in KEYS:
        lines += [
            ".TP",
            f".B {_escaped(key_names(own.get(each.id, each.keys)))}",
            _escaped(f"{each.label}: {each.help}"),
        ]
    lines.append(".SH EXIT STATUS")
    for code, means in _CODES:
        lines += [".TP", f".B {code}", means]
    return "\n".join([*lines, ".SH SEE ALSO", "The guide: appraise guide", ""])


def _commands(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield inner
                yield from _commands(inner)


def _described(parser: argparse.ArgumentParser) -> list[argparse.Action]:
    passed = (argparse._HelpAction, argparse._SubParsersAction)
    return [action for action in parser._actions if not isinstance(action, passed)]


def _name(action: argparse.Action) -> str:
    metavar = action.metavar or (f"{{{','.join(map(str, action.choices))}}}" if action.choices else action.dest.upper())
    word = " ".join(metavar) if isinstance(metavar, tuple) else metavar
    if not action.option_strings:
        return word
    return ", ".join(action.option_strings) + (f" {word}" if action.nargs != 0 else "")


def _help(parser: argparse.ArgumentParser, action: argparse.Action) -> str:
    return parser._get_formatter()._expand_help(action) if action.help else ""


def _escaped(text: str) -> str:
    """Return a line for roff: no request at its start, hyphens that can be copied."""
    line = " ".join(text.split()).replace("\\", "\\e").replace("-", "\\-")
    line = "".join(letter if letter.isascii() else f"\\[u{ord(letter):04X}]" for letter in line)
    return f"\\&{line}" if line.startswith((".", "'")) else line
