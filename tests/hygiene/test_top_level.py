"""What the repository shows at its top: no document that somebody wrote while trying the commands of the README."""

import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
EXPECTED = {"README.md", "DEVELOPERS.md", "pyproject.toml", "appraise", "tests", "reference_tables", "sample_cases"}


def test_nothing_else_lies_at_the_top():
    git = shutil.which("git")
    if git is None or not (ROOT / ".git").exists():
        pytest.skip("no working copy of git")
    kept = subprocess.run([git, "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.splitlines()
    assert {path.partition("/")[0] for path in kept if not path.startswith(".")} == EXPECTED
