"""`appraise guide [TOPIC]`: the guide by topics, and the manual page."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from appraise import __version__
from appraise.cli.diagnostics import ExitCode, WrongUse
from appraise.cli.examples import EXAMPLES
from appraise.cli.output import say, say_script, show
from appraise.cli.parser import build_parser
from appraise.cli.summaries import COMMANDS
from appraise.report.words import capital
from appraise.store.findings import did_you_mean
from appraise.tables.content import content_of

if TYPE_CHECKING:
    from collections.abc import Iterator


FOLDER = Path(__file__).resolve().parent.parent / "guide"
"""Where the topics lie, one Markdown file each."""

TOPICS = (
    "inspection",
    "measurements",
    "photos",
    "value",
    "reports",
    "candidates",
    "sales",
    "moves",
    "case-files",
    "lines",
    "locales",
    "tables",
    "scripts",
)
"""Every topic, in the order in which one reads them."""

_MOST_BYTES = 1_000_000


def add(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Register the command."""
    text = COMMANDS["guide"]
    parser = subparsers.add_parser("guide", help=text, description=f"{capital(text)}.")
    parser.add_argument("topic", nargs="?", metavar="TOPIC", help=f"one of {', '.join(TOPICS)}")
    parser.add_argument("--man", action="store_true", help="print the manual page of all commands, for `man`")


def run(args: argparse.Namespace) -> int:
    """Print it.

    Raises:
        WrongUse: There is no such topic.
    """
    if args.man:
        say_script(manual(build_parser()))
    elif args.topic is None:
        widest = max(map(len, TOPICS))
        for topic in TOPICS:
            say(f"{topic:<{widest}}  {title(topic)}")
        say("`appraise guide TOPIC` prints one.")
    elif args.topic not in TOPICS:
        mend = did_you_mean(args.topic, TOPICS) or "`appraise guide` lists them"
        raise WrongUse(f'appraise guide: found "{args.topic}", expected a topic; {mend}')
    elif sys.stdout.isatty():
        from rich.markdown import Markdown

        show(Markdown(topic_text(args.topic)))
    else:
        say_script(topic_text(args.topic))
    return ExitCode.DONE


def title(topic: str) -> str:
    """Return the heading of one topic."""
    return topic_text(topic).partition("\n")[0].removeprefix("# ")


def topic_text(topic: str) -> str:
    """Return the Markdown of one topic.

    Raises:
        OSError: Its file is missing from the installation.
    """
    return content_of(FOLDER / f"{topic}.md", _MOST_BYTES).decode("utf-8")


_CODES = (
    ("0", "done"),
    ("1", "the case has problems, a report differs, or rank left files out"),
    ("2", "wrong use, or a file that cannot be read"),
)


def manual(parser: argparse.ArgumentParser) -> str:
    """Return the page of a parser and of every command below it."""
    lines = [f'.TH APPRAISE 1 "" "appraise {__version__}" "User Commands"', ".SH NAME"]
    lines += ["appraise \\- inspect a piano and value it as a range with reasons", ".SH SYNOPSIS"]
    lines += [".B appraise", '.RI [ COMMAND ] " " [ "OPTION ..." ]', ".SH DESCRIPTION"]
    lines += [_escaped(parser.description or ""), ".SH COMMANDS"]
    for command in _commands(parser):
        lines += [f".SS {_escaped(command.prog)}", _escaped(command.description or "")]
        for action in _described(command):
            lines += [".TP", f".B {_escaped(_name(action))}", _escaped(_help(command, action))]
        lines += [".PP", "Examples:", ".nf", *(_escaped(line) for line in EXAMPLES.get(command.prog, ())), ".fi"]
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
