"""Some thousand broken inputs of every kind, in a process of bounded memory; more with `python -m tests.fuzz`."""

from __future__ import annotations

import subprocess
import sys
from random import Random

import pytest

from tests.fuzz.targets import WITHIN, WRITERS, entry_readers, file_readers, modules
from tests.fuzz.words import WAITING, commanded
from tests.helpers.depth import whole

INPUTS = whole(2_500, 400)
"""In a deep run enough for each reader to meet each mutation; about twenty seconds."""


def test_broken_inputs_keep_every_promise():
    done = subprocess.run(
        [sys.executable, "-m", "tests.fuzz", "--inputs", str(INPUTS), "--seed", "7"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-3000:]
    assert f"{INPUTS:,} inputs" in done.stdout
    assert all(word in done.stdout for word in ("case", "command", "entry", "field", "kept", "separated", "table"))


@pytest.mark.parametrize("target", file_readers(), ids=lambda target: target.name.removeprefix("appraise."))
def test_every_reader_of_files_can_be_tried(target, tmp_path):
    """A new reader is found by itself; one that wants something unknown is to be taught to targets.py."""
    path = tmp_path / "x.csv"
    path.write_bytes(b"nothing,of\nthe,kind\n")
    try:
        target.call(path, Random(0))
    except Exception as error:
        if not target.allows(error):
            raise


@pytest.mark.parametrize("target", entry_readers(), ids=lambda target: target.name.removeprefix("appraise."))
def test_every_reader_of_entries_can_be_tried(target):
    for word in ("", "7.4", "A4", "\x1b[2J"):
        try:
            target.call(word, Random(0))
        except Exception as error:
            if not target.allows(error):
                raise


def test_what_is_left_out_is_still_there():
    """A name on the lists of what is not tried must be that of a function."""
    known = {module.__name__: module for module in modules()}
    for name in WRITERS | WITHIN:
        module, _, function = name.rpartition(".")
        assert callable(getattr(known[module], function)), name


def test_every_command_is_tried_or_waits_for_a_person():
    from appraise.cli.parser import COMMANDS

    assert {item.words[0] for item in commanded()} == set(COMMANDS)
    assert set(COMMANDS) >= WAITING


def test_only_one_module_opens_what_somebody_else_wrote():
    """Pipes, devices, links and sizes are seen to in one place; whatever reads a file goes through it."""
    import ast
    from pathlib import Path

    from appraise import cli

    package = Path(cli.__file__).parents[1]
    found = set()
    for path in package.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name, bare = getattr(node.func, "attr", ""), getattr(node.func, "id", "")
                if name in {"read_text", "read_bytes", "open"} or bare == "open":
                    found.add(path.relative_to(package).as_posix())
    assert found <= OPEN_THEMSELVES, found - OPEN_THEMSELVES


OPEN_THEMSELVES = {
    "report/html/page.py",  # what travels with the program
    "report/wording/localised.py",
    "report/pdf/write.py",
    "report/pictures.py",  # Pillow, on a stream from tables/content.py
    "store/photo_entry.py",  # the same
    "tables/content.py",
    "store/files.py",  # what the program keeps itself: versions, trail, lock
    "store/lock.py",
    "store/write.py",  # what it is about to replace, and folders
    "cli/parser.py",  # the device null in place of closed streams
    "cli/demo.py",  # our own sample cases
}
"""Modules that may open files; all others ask tables/content.py."""
