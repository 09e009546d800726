"""Files of a size nobody means: refused or read, in bounded memory, never hung; `-m tests.fuzz.sizes` measures."""

from __future__ import annotations

import pytest

from tests.fuzz.sizes import SIZES, attempt

TRIED = (
    "a case of 50 MB",
    "100,000 remarks",
    "10,000 levels of lists",
    "10,000 levels of keys",
    "30,000 keys of 60 parts",
    "CSV of 1,000,000 columns",
    "CSV of 250,000 columns",
    "CSV of one line of 50 MB",
    "a logger's 40,000,000 empty rows",
    "a logger's 1,000,000 columns",
    "a table's key of 500,000 parts",
    "a table of 50 MB",
)
"""In the normal run: the shapes that would cost most, were they not refused."""


@pytest.mark.parametrize("name", TRIED)
def test_a_file_of_a_size_nobody_means(name, tmp_path):
    code, said, _, memory = attempt(name, tmp_path)
    assert code in {0, 1, 2}, said[-2000:]
    assert "Traceback" not in said
    assert "memory" not in said  # refused for what it is, not for want of room
    assert memory < 700
    assert len(said.splitlines()) <= 1001


def test_the_longest_sizes_are_still_there():
    assert set(TRIED) <= set(SIZES)
