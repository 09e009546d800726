"""The command in this process, and a good case file to give it."""

from __future__ import annotations

from typing import NamedTuple

import pytest

from appraise.cli.parser import main

GOOD = """\
# Invented for the tests.

schema = 1

[identity]
kind = "grand"
maker = "Oskelmoor [/b] [bold]"
made = 1985

[assignment]
inspected = 2026-11-20

[market]
replacement_cost_new = "48000.00"
"""


class Answer(NamedTuple):
    """What a command gave."""

    code: int
    out: str
    err: str


@pytest.fixture
def appraise(capsys, monkeypatch):
    """Return a function that runs a command line outside any terminal."""
    monkeypatch.delenv("COLUMNS", raising=False)
    monkeypatch.delenv("FORCE_COLOR", raising=False)

    def run(*words: object) -> Answer:
        code = main([str(word) for word in words])
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        assert "\x1b" not in said.out + said.err
        return Answer(int(code), said.out, said.err)

    return run


@pytest.fixture
def good(tmp_path):
    path = tmp_path / "case.toml"
    path.write_text(GOOD, encoding="utf-8")
    return path
