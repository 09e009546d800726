"""The system's own calls made to fail, or the process killed at one of them, by strace: nothing of ours in between."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from appraise.services.opening import open_sheet
from appraise.store.read import read_case
from appraise.store.trail_file import read_trail

ROOT = Path(__file__).resolve().parents[2]
STRACE = shutil.which("strace")
_RENAMES = "?rename,?renameat,?renameat2"

USUAL = [
    ("?fsync", "signal=KILL", 1),
    ("?fsync", "signal=KILL", 3),
    ("?fsync", "error=EIO", 3),
    ("?fsync", "error=EIO", 6),
    (_RENAMES, "signal=KILL", 2),
    (_RENAMES, "error=ENOSPC", 3),
]
"""(calls, what happens, at which of them), in the normal run."""

ALL = [
    (calls, what, at)
    for calls, last in (("?fsync", 14), (_RENAMES, 6), ("?fchmod", 5), ("?link,?linkat", 2), ("?flock", 8))
    for what in ("signal=KILL", "error=EIO", "error=ENOSPC", "error=EACCES")
    for at in range(1, last)
]


def traced(path, calls, what, at):
    """Run the worker under strace; skip where that is not allowed."""
    command = [STRACE, "-f", "-qq", "--seccomp-bpf", "-o", os.devnull, "-e", f"trace={calls}"]
    command += ["-e", f"inject={calls}:{what}:when={at}", sys.executable, "-m", "tests.faults.worker", str(path)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)
    if "ptrace" in done.stderr or "PTRACE" in done.stderr or "invalid system call" in done.stderr:
        pytest.skip(f"nothing can be traced here: {done.stderr.strip()[:200]}")
    assert "Traceback" not in done.stderr, done.stderr
    return done.stdout.splitlines()


def pytest_generate_tests(metafunc):
    cases = ALL if metafunc.config.getoption("--faults") > 200 else USUAL
    metafunc.parametrize(("calls", "what", "at"), cases)


@pytest.mark.skipif(STRACE is None, reason="there is no strace")
def test_a_call_of_the_system(path, tables, calls, what, at):
    said = traced(path, calls, what, at)
    killed = what.startswith("signal")
    assert killed or said[-1] == "end Maker 4", said
    kept = [int(line[-1]) for line in said if line.startswith(("kept", "saved"))]
    at_least = max(kept, default=0)
    if killed and "end Maker 4" not in said:
        assert said[-1:] != ["end Maker 4"]
    case, problems = read_case(path, tables)
    assert problems == []
    saved = max([int(line[-1]) for line in said if line.startswith("saved")], default=0)
    file = 0 if case.identity.maker == "Invented maker" else int(case.identity.maker[-1])
    assert file >= saved
    trail = read_trail(path)
    assert trail is None or not trail.breaks
    opened = open_sheet(path, tables)
    assert opened.held is None
    found = opened.unsaved.left.case if opened.unsaved is not None else opened.worksheet.case
    number = 0 if found.identity.maker == "Invented maker" else int(found.identity.maker[-1])
    assert number >= at_least, f"{said}: {number} came back"
    opened.worksheet.release()
