"""The command as a process of its own: streams, pipes, encodings."""

from __future__ import annotations

import os
import subprocess
import sys

COMMAND = [sys.executable, "-m", "appraise"]


def run(*words, **more):
    return subprocess.run([*COMMAND, *map(str, words)], capture_output=True, check=False, **more)


def test_a_problem_goes_to_standard_error(tmp_path):
    done = run("value", tmp_path / "none.toml", stdin=subprocess.DEVNULL)
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.count(b"\n") == 1


def test_a_reader_that_leaves_is_no_error():
    with subprocess.Popen([*COMMAND, "sources", "checks"], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        errors = process.stderr.read()
        assert process.wait() == 0
    assert errors == b""


def test_a_terminal_that_knows_only_ascii():
    done = run("sources", "checks", env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
    assert done.returncode == 0
    assert done.stderr == b""
    assert b"N\\xb7m" in done.stdout


def test_nothing_but_text_into_a_pipe():
    done = run("sources", env={**os.environ, "TERM": "xterm-256color"})
    assert done.returncode == 0
    assert b"checks" in done.stdout
    assert b"\x1b" not in done.stdout


def test_a_file_name_that_is_not_text(tmp_path):
    done = run("check", os.fsdecode(os.fsencode(tmp_path) + b"/\xff\x1b[2J.toml"))
    assert done.returncode == 2
    assert b"\x1b" not in done.stderr
    assert b"Traceback" not in done.stderr
    assert done.stderr.count(b"\n") == 1


def test_no_standard_output_at_all():
    words = " ".join([sys.executable, "-m", "appraise", "sources", "laws"])
    done = subprocess.run(["/bin/sh", "-c", f"exec {words} >&-"], stderr=subprocess.PIPE, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
