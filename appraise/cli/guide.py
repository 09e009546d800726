"""`appraise guide [TOPIC]`: the guide by topics, and the manual page."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode, WrongUse, complain_of
from appraise.cli.output import say, say_script, show
from appraise.cli.parser import build_parser
from appraise.commands import COMMANDS as COMMANDS_OF_KEYS
from appraise.commands import SCOPES, key_names, of_scope
from appraise.model.problem import Unreadable
from appraise.store.findings import did_you_mean
from appraise.store.own_settings import own_settings
from appraise.tables.content import content_of

if TYPE_CHECKING:
    import argparse

FOLDER = Path(__file__).resolve().parent.parent / "guide"
"""Folder of the topics, one Markdown file each."""

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
    "keys",
)
"""Every topic, in the order in which one reads them."""

KEYS = "keys"
"""The topic that ends with every command and its keys."""

_MOST_BYTES = 1_000_000


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("topic", nargs="?", metavar="TOPIC", help=f"one of {', '.join(TOPICS)}")
    parser.add_argument("--man", action="store_true", help="print the manual page of all commands, for `man`")


def run(args: argparse.Namespace) -> int:
    """Print it.

    Raises:
        WrongUse: There is no such topic.
    """
    if args.man:
        from appraise.cli.manual import manual

        say_script(manual(build_parser(), own_in_force()))
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
    """Return the Markdown of one topic, with the keys in force.

    Raises:
        OSError: Its file is missing from the installation.
    """
    text = content_of(FOLDER / f"{topic}.md", _MOST_BYTES).decode("utf-8")
    if topic == KEYS:
        return f"{text}\n{key_list()}"
    own = own_in_force()
    moved = ", ".join(f"{each.label} {key_names(own[each.id])}" for each in COMMANDS_OF_KEYS if each.id in own)
    heading, _, rest = text.partition("\n")
    return f"{heading}\n\nKeys of your own, where this page names ours: {moved}.\n{rest}" if moved else text


def key_list() -> str:
    """Return every command of the worksheet with its keys in force, a line each, under where it works."""
    own, lines = own_in_force(), []
    for scope, place in SCOPES.items():
        found = of_scope(scope)
        lines += [f"## {place}", ""] if found else []
        lines += [f"- {key_names(own.get(each.id, each.keys))}: {each.label} (`{each.action}`)" for each in found]
        lines += [""] if found else []
    return "\n".join(lines)


@cache
def own_in_force() -> dict[str, str]:
    """Return the keys that the settings put in place of ours; settings that are wrong are told, and ours stand."""
    try:
        return own_settings().own_keys
    except Unreadable as unreadable:
        complain_of(unreadable.problems)
        return {}
