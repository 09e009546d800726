"""Shell completion: scripts for three shells, and bash itself asked what it would propose."""

from __future__ import annotations

import shutil
import subprocess

import pytest

from appraise.cli.completion import SHELLS, script
from appraise.cli.parser import COMMANDS

ASK = """
source "$1"
shift
COMP_WORDS=("$@")
COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
_shtab_appraise
printf '%s\\n' "${COMPREPLY[@]}"
"""


@pytest.mark.parametrize("shell", SHELLS)
def test_a_script_names_every_command(appraise, shell):
    answer = appraise("completion", shell)
    assert (answer.code, answer.err) == (0, "")
    assert answer.out == script(shell).rstrip("\n") + "\n"
    for command in COMMANDS:
        assert command in answer.out
    for option in ("sum-insured", "cache", "draws"):
        assert option in answer.out


def test_a_shell_that_is_none_of_them(appraise):
    answer = appraise("completion", "cmd")
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.count("\n") == 1


@pytest.mark.skipif(shutil.which("bash") is None, reason="there is no bash here to ask")
@pytest.mark.parametrize(
    ("words", "proposed", "not_proposed"),
    [
        (("appraise", "lo"), ("loss",), ("value",)),
        (
            ("appraise", "value", ""),
            (
                "grand.toml",
                "cases/",
            ),
            ("notes.txt",),
        ),
        (("appraise", "value", "grand.toml", "--ba"), ("--basis",), ("--json",)),
        (("appraise", "loss", ""), ("grand.toml",), ("notes.txt",)),
        (
            ("appraise", "measure", "to"),
            (
                "touch",
                "torque",
            ),
            ("wood",),
        ),
        (("appraise", "measure", "touch", "--csv", ""), ("notes.txt",), ()),
        (("appraise", "completion", ""), SHELLS, ()),
    ],
    ids=("command", "case", "option", "state", "instrument", "file", "shell"),
)
def test_what_bash_proposes(words, proposed, not_proposed, tmp_path):
    (tmp_path / "completion.bash").write_text(script("bash"), encoding="utf-8")
    (tmp_path / "grand.toml").touch()
    (tmp_path / "notes.txt").touch()
    (tmp_path / "cases").mkdir()
    done = subprocess.run(
        [shutil.which("bash") or "", "-c", ASK, "bash", "completion.bash", *words],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    found = {line.strip() for line in done.stdout.splitlines()}
    assert set(proposed) <= found, found
    assert not found.intersection(not_proposed)
