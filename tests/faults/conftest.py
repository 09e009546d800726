"""Small cases on real files, and what a later opening finds of them."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest

from appraise.store.write import write_case
from tests.helpers import worksheet_cases


@pytest.fixture
def tmp_path(tmp_path, request):
    """A folder in memory where there is one: hundreds of synchronised writes are not what these tests are about."""
    memory = Path("/dev/shm")  # noqa: S108 - a fresh folder is made in it
    if not os.access(memory, os.W_OK):
        yield tmp_path
        return
    with tempfile.TemporaryDirectory(prefix="appraise-", dir=memory) as folder:
        yield Path(folder)


@pytest.fixture
def path(tmp_path, tables):
    """An upright of which little is known, in a folder of its own."""
    folder = tmp_path / "cases"
    folder.mkdir()
    write_case(folder / "case.toml", worksheet_cases.upright(), tables)
    return folder / "case.toml"


@pytest.fixture
def abandon():
    """Leave a worksheet as a process does that is killed: its lock stays, and names a process that is gone."""

    def leave(sheet) -> None:
        import json

        assert sheet.journal is not None
        lock = sheet.journal.lock
        if lock.still_ours():
            plain = json.loads(lock.path.read_text())
            # Above the greatest process id that Linux gives out.
            lock.path.write_text(json.dumps({**plain, "pid": 2**22 + 1}))

    return leave
