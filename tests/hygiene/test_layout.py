"""What the repository holds: nothing at its top, and nothing among the sample cases, that was only left behind."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "appraise", "tests", "reference_tables", "sample_cases"}


@pytest.fixture(scope="module")
def tracked() -> list[Path]:
    asked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)  # noqa: S607
    if asked.returncode or not asked.stdout:
        pytest.skip("no repository here")
    return [Path(line) for line in asked.stdout.splitlines()]


def test_nothing_else_lies_at_the_top(tracked):
    top = {path.parts[0] for path in tracked}
    assert {name for name in top if not name.startswith(".")} == TOP


def test_the_sample_cases_are_cases_with_their_photos_and_papers(tracked):
    inside = [path.relative_to("sample_cases") for path in tracked if path.parts[0] == "sample_cases"]
    odd = [path for path in inside if path.suffix not in {".toml", ".png", ".txt"}]
    assert not odd
    assert all(path.parts[0] == "photos" for path in inside if path.suffix == ".png")
    assert all(path.parts[0] == "papers" for path in inside if path.suffix == ".txt")
