"""Several processes value a folder: the same answers in the same order, few under way, nobody left behind."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from itertools import islice
from pathlib import Path

import pytest

import appraise
from appraise.model.ranking import Candidate
from appraise.services import ranking
from appraise.services.process_pool import processors
from appraise.services.ranking import found, ranked
from appraise.services.trade_in import Skipped, Terms
from appraise.store.result_cache import ResultCache
from tests.helpers.candidates import candidate, fill
from tests.helpers.depth import whole

COUNT = whole(60, 30)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    """Candidates with bad files between them."""
    folder = tmp_path_factory.mktemp("shelf")
    fill(folder, COUNT)
    (folder / "000" / "00007b.toml").write_bytes(b"\xff not a case")
    (folder / "000" / "00030b.toml").write_text('schema = 1\n[identity]\nkind = "organ"\n')
    (folder / "000" / "00055b.toml").write_text(candidate(3)[:400])
    return folder


def terms(tables):
    return Terms(tables, draws=100)


@pytest.fixture(scope="module")
def alone(shelf, tables):
    return list(ranked(found([shelf]), terms(tables)))


def test_no_two_candidates_are_alike(alone):
    trades = [item.trade for item in alone if isinstance(item, Candidate)]
    assert len(trades) == COUNT
    assert len({trade.resale for trade in trades}) > COUNT / 2


@pytest.mark.parametrize("first", [0, 5, 16])
def test_a_crew_answers_as_one_process_does(shelf, alone, tables, first):
    together = list(ranked(found([shelf]), terms(tables), processes=3, alone=first))
    # Written out: equal is not enough, a figure must be the same to the last bit.
    assert list(map(repr, together)) == list(map(repr, alone))
    assert sum(isinstance(item, Skipped) for item in together) == 3
    assert not multiprocessing.active_children()


def test_what_is_kept_is_not_handed_over(shelf, alone, tables, tmp_path):
    kept = ResultCache(tmp_path / "kept")
    half = list(islice(found([shelf]), 30))
    list(ranked(half, terms(tables), kept))
    assert list(ranked(found([shelf]), terms(tables), kept, processes=2, alone=0)) == alone
    assert list(ranked(found([shelf]), terms(tables), kept)) == alone
    assert len(list((tmp_path / "kept").rglob("*.json"))) == COUNT


def test_few_are_read_ahead(shelf, tables):
    asked = []

    def paths():
        for path in found([shelf]):
            asked.append(path)
            yield path

    items = ranked(paths(), terms(tables), processes=2, alone=0)
    for taken in range(1, 20):
        next(items)
        assert len(asked) - taken <= ranking._AHEAD * 2 + 1
    items.close()
    assert not multiprocessing.active_children()


def test_a_process_that_dies_costs_nothing_but_time(shelf, alone, tables):
    items = ranked(found([shelf]), terms(tables), processes=2, alone=0)
    first = list(islice(items, 5))
    for process in multiprocessing.active_children():
        process.kill()
    assert first + list(items) == alone


def test_there_is_a_processor():
    assert 1 <= processors() <= 4096


LONGEST = 120.0
"""Longest time that another process is waited for [s]; only a test that fails waits so long."""

LEFT = f"""
import os, sys, time
sys.path.insert(0, {str(Path(appraise.__file__).parents[1])!r})
from pathlib import Path
from multiprocessing import active_children
from appraise.services.ranking import found, ranked
from appraise.services.trade_in import Terms
from appraise.tables.load import load_tables
if __name__ == "__main__":
    items = ranked(found([Path(sys.argv[1])]), Terms(load_tables(), draws=100), processes=2, alone=0)
    next(items)
    print(*(process.pid for process in active_children()), flush=True)
    time.sleep(60)
"""


@pytest.mark.skipif(os.name != "posix", reason="a process is killed as POSIX does")
def test_a_crew_leaves_with_the_process_that_started_it(shelf, tmp_path):
    (tmp_path / "left.py").write_text(LEFT)
    with subprocess.Popen([sys.executable, tmp_path / "left.py", shelf], stdout=subprocess.PIPE, text=True) as process:
        pool = [int(pid) for pid in process.stdout.readline().split()]
        assert pool
        process.kill()
    for pid in pool:
        _wait_for_the_end_of(pid)


def _wait_for_the_end_of(pid):
    """Wait until a process is gone, of a negative number all those of its group."""
    latest = time.monotonic() + LONGEST
    while time.monotonic() < latest:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return
        time.sleep(0.02)
    pytest.fail("a process stayed behind")


@pytest.mark.skipif(os.name != "posix", reason="the signal of Ctrl+C as a POSIX terminal sends it")
def test_control_c_ends_a_ranking_in_one_line_and_what_was_valued_is_kept(tmp_path, shelf):
    kept = tmp_path / "kept"
    words = [sys.executable, "-m", "appraise", "rank", shelf, "--cache", kept, "--processes", "2", "--csv", "-"]
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as process:
        latest = time.monotonic() + LONGEST
        while len(list(kept.rglob("*.json"))) <= ranking.ALONE and time.monotonic() < latest:
            time.sleep(0.01)
        os.killpg(process.pid, signal.SIGINT)  # to the whole group, as a terminal does
        out, err = process.communicate(timeout=LONGEST)
    assert process.returncode == 130
    assert out == ""
    assert [line for line in err.splitlines() if not line.startswith("left out:")] == ["appraise: interrupted"]
    _wait_for_the_end_of(-process.pid)
    assert ranking.ALONE < len(list(kept.rglob("*.json"))) <= COUNT
    assert not [path for path in kept.rglob("*") if path.is_file() and path.suffix != ".json"]
