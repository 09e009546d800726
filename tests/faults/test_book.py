"""The book of sales outlives SIGKILL at any moment and a disk that is full: all of an import is there, or nothing."""

from __future__ import annotations

import random
import resource
import signal
import subprocess
import sys
import time

import pytest

from appraise.evidence.book import book
from tests.helpers.depth import whole
from tests.helpers.sales import sale, write_many

ROWS = 20_000
KILLS = whole(12, 5)


def importing(path, kept, before=None):
    """Start a process that imports a file."""
    words = [sys.executable, "-m", "appraise", "sales", "import", str(path), "--book", str(kept)]
    return subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, preexec_fn=before)  # noqa: PLW1509 - no threads here


@pytest.fixture
def ready(tmp_path):
    path, kept = tmp_path / "sold.csv", tmp_path / "sales.sqlite3"
    write_many(path, ROWS)
    with book(kept, create=True) as found:
        found.add([sale()])
    return path, kept


def test_killed_at_any_moment(ready):
    path, kept = ready
    before = kept.read_bytes()
    started = time.monotonic()
    importing(path, kept).communicate()
    longest = time.monotonic() - started
    chance, seen = random.Random(4), set()
    for _ in range(KILLS):
        kept.write_bytes(before)
        kept.with_name(kept.name + "-journal").unlink(missing_ok=True)
        process = importing(path, kept)
        time.sleep(longest * chance.uniform(0.3, 1.1))
        process.send_signal(signal.SIGKILL)
        process.communicate()
        with book(kept) as found:
            assert found.faults() == []
            seen.add(found.count())
    assert seen <= {1, ROWS + 1}
    assert 1 in seen


@pytest.mark.skipif(sys.platform == "win32", reason="limits of POSIX")
def test_a_full_disk(ready):
    path, kept = ready
    room = kept.stat().st_size + 300_000

    def narrow():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)  # the write then fails as on a full disk
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))

    process = importing(path, kept, narrow)
    _, err = process.communicate()
    assert process.returncode == 2
    assert "nothing was changed" in err
    assert "Traceback" not in err
    with book(kept) as found:
        assert found.faults() == []
        assert found.count() == 1
    assert importing(path, kept).communicate()[1] == ""
    with book(kept) as found:
        assert found.count() == ROWS + 1
