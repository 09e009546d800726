"""Command lines out of the parser's own tree: every command, every option, good and hostile words mixed."""

from __future__ import annotations

import argparse
import os
import shutil
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.parser import COMMANDS, build_parser
from appraise.tables.folder import data_folder
from tests.fuzz import hostile, samples

if TYPE_CHECKING:
    from random import Random

WAITING = frozenset({"open", "demo"})
"""Open the worksheet in a terminal; here there is none."""

_FIGURES = ("1", "12", "0.8", "80%", "45", "2026-11-20", "A4=52", "C2=58", "46-58=51", "A4", "49", "7.4 N·m", "40cm")
_FEW_DRAWS = ("100", "128")
_OUTPUTS = frozenset({"output", "csv", "jsonl", "file"})


@dataclass(frozen=True, slots=True)
class Commanded:
    """One command that does something, a command of a command included."""

    words: tuple[str, ...]
    actions: tuple[argparse.Action, ...]


@cache
def commanded() -> tuple[Commanded, ...]:
    """Return every command with its options and arguments."""
    return tuple(_leaves((), build_parser(COMMANDS)))


def _leaves(words: tuple[str, ...], parser: argparse.ArgumentParser) -> list[Commanded]:
    own = [action for action in parser._actions if not isinstance(action, argparse._HelpAction)]
    below = [action for action in own if isinstance(action, argparse._SubParsersAction)]
    if not below:
        return [Commanded(words, tuple(own))]
    return [leaf for name, inner in below[0].choices.items() for leaf in _leaves((*words, name), inner)]


@dataclass(frozen=True, slots=True)
class Ground:
    """A folder with one of everything that may be named."""

    folder: Path

    def prepare(self) -> None:
        """Lay out good and bad files, a pipe, a device's name, links."""
        self.folder.mkdir(parents=True, exist_ok=True)
        cases = data_folder("sample_cases")
        for name in ("barely_inspected_upright", "removal_before", "removal_after"):
            shutil.copyfile(cases / f"{name}.toml", self.folder / f"{name}.toml")
        for number, content in enumerate(samples.SEPARATED):
            (self.folder / f"values{number}.csv").write_text(content, encoding="utf-8")
        (self.folder / "bad.toml").write_bytes(b"schema = 1\n[identity\n")
        (self.folder / "binary.toml").write_bytes(bytes(range(256)))
        (self.folder / "empty").write_bytes(b"")
        (self.folder / "tables").mkdir(exist_ok=True)
        (self.folder / "tables" / "laws.toml").write_text("[[row]]\nkey = 3\n", encoding="utf-8")
        if not (self.folder / "pipe.toml").exists():
            os.mkfifo(self.folder / "pipe.toml")
            (self.folder / "loop.toml").symlink_to("loop.toml")
            (self.folder / "zero.toml").symlink_to("/dev/zero")
            (self.folder / "away.toml").symlink_to("/etc/hostname")

    def names(self) -> list[str]:
        """Return everything that may be named, and what is not there."""
        inside = sorted(str(path) for path in self.folder.iterdir())
        return [
            *inside,
            str(self.folder),
            "nothing.toml",
            "/dev/zero",
            "/dev/full",
            "/dev/stdin",
            "/proc/self/mem",
            "",
            "\n",
        ]


def command_line(random: Random, ground: Ground) -> list[str]:
    """Return the words of one command line."""
    chosen = random.choice([item for item in commanded() if item.words[0] not in WAITING])
    words = [*chosen.words]
    for action in chosen.actions:
        required = action.required or (not action.option_strings and action.nargs not in ("?", "*"))
        if isinstance(action, argparse._VersionAction) or random.random() > (0.95 if required else 0.15):
            continue
        if action.option_strings:
            words.append(random.choice(action.option_strings))
        words += [_word(random, action, ground) for _ in range(_count(random, action))]
    if random.random() < 0.2:
        words.insert(random.randrange(len(words) + 1), random.choice(hostile.TEXTS))
    if random.random() < 0.1:
        words.pop(random.randrange(len(words)))
    return words


def _count(random: Random, action: argparse.Action) -> int:
    if isinstance(action.nargs, int):
        return action.nargs
    if action.nargs in ("+", "*"):
        return random.choice((1, 1, 2, 3))
    return 1


def _word(random: Random, action: argparse.Action, ground: Ground) -> str:
    if action.dest in _OUTPUTS and random.random() < 0.7:
        ending = random.choice((".md", ".json", ".toml", ".csv", "", ".exe"))
        return random.choice((str(ground.folder / f"out{random.randrange(50)}{ending}"), "-", "/dev/full", "/dev/null"))
    if action.type is Path:
        return random.choice(ground.names())
    if action.dest == "draws":
        return random.choice(_FEW_DRAWS)
    if action.choices is not None and random.random() < 0.8:
        return str(random.choice(list(action.choices)))
    return random.choice((*_FIGURES, *_FIGURES, *hostile.TEXTS))
