"""What each part loads when it runs: import-linter reads the files, this looks at the process."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import appraise

CASE = """\
schema = 1
[identity]
kind = "grand"
made = 1985
[assignment]
inspected = 2026-11-20
[market]
replacement_cost_new = "48000.00"
[costs]
labour_rate = "62.00"
"""

HEAVY = ("textual", "scipy", "numpy", "pydantic", "rich")


def loaded(code: str, folder) -> set[str]:
    """Run code in a fresh process and return which of the heavy libraries it has loaded."""
    (folder / "case.toml").write_text(CASE)
    script = f"import json, sys\n{code}\nprint(json.dumps([name for name in {HEAVY!r} if name in sys.modules]))"
    # The same package as here, whether it is installed or run from the checkout.
    environment = {**os.environ, "PYTHONPATH": str(Path(appraise.__file__).parent.parent)}
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=folder, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout.splitlines()[-1]))


def test_what_sets_a_pdf_is_loaded_for_a_pdf_alone(tmp_path):
    found = "print([name for name in ('typst', 'PIL') if name in sys.modules])"
    for ending, wanted in ((".md", "[]"), (".html", "[]"), (".pdf", "['typst']")):
        code = f"{command('report', 'case.toml', '-o', f'report{ending}')}\n{found}"
        (tmp_path / "case.toml").write_text(CASE)
        environment = {**os.environ, "PYTHONPATH": str(Path(appraise.__file__).parent.parent)}
        done = subprocess.run(
            [sys.executable, "-c", f"import sys\n{code}"],
            cwd=tmp_path,
            env=environment,
            capture_output=True,
            text=True,
            check=True,
        )
        assert done.stdout.splitlines()[-1] == wanted


def command(*words: str) -> str:
    return f"from appraise.cli.parser import main\nassert main({list(words)!r}) == 0"


@pytest.mark.parametrize(
    "code",
    [
        "import appraise.engine.valuation, appraise.explain",
        "import appraise.store.read, appraise.store.write",
        "import appraise.services.case_folder, appraise.services.case_session",
        command("value", "case.toml"),
        command("value", "case.toml", "--json"),
        command("why", "case.toml", "value"),
        command("report", "case.toml", "-o", "report.md"),
        command("report", "case.toml", "-o", "report.pdf", "-o", "report.html"),
        command("loss", "case.toml", "case.toml"),
        command("loss", "case.toml", "case.toml", "-o", "loss.md"),
        command("check", "case.toml"),
        command("sources"),
        command("new", "new.toml", "--kind", "grand"),
    ],
)
def test_the_headless_half_loads_neither_textual_nor_scipy(tmp_path, code):
    assert not loaded(code, tmp_path) & {"textual", "scipy"}


@pytest.mark.parametrize(
    ("code", "needed"),
    [
        ("import appraise", set()),
        (command("--version"), set()),
        (command("--help"), set()),
        (command("check", "--help"), set()),
        (command("value", "--help"), set()),
        (command("check", "case.toml"), set()),
        (command("sources", "laws"), set()),
        (command("sources"), {"rich"}),
        ("import appraise.model.case, appraise.tables.load\nappraise.tables.load.load_tables()", set()),
    ],
)
def test_a_command_loads_what_it_needs(tmp_path, code, needed):
    assert loaded(code, tmp_path) == needed
