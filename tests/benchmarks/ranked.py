"""A folder of candidates."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.benchmarks.table import best, line


def ranking(count: int) -> None:
    """A folder of candidates ranked cold and warm by the command, against reading and validating the same files.

    The reference reads in one process, one file after the other, and keeps nothing; the command uses every processor.
    """
    from appraise.services.ranking import found
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables
    from tests.helpers.candidates import fill

    tables = load_tables()
    with tempfile.TemporaryDirectory() as name:
        peaks = {}
        for size in sorted({min(500, count), count}):
            folder, kept = Path(name) / f"{size}", Path(name) / f"kept{size}"
            fill(folder, size)

            def read(folder: Path = folder) -> None:
                for path in found([folder]):
                    read_case(path, tables)

            before = time.process_time()
            bare = best(read, 1)
            worked = time.process_time() - before
            for state in ("cold", "warm"):
                spent, work, peaks[size, state] = _ranked(folder, kept, size)
                line(f"{size} candidates ranked, {state}", spent, "reading and validating them", bare)
                line("the same, in time of all processors", work, "the same", worked)
                print(f"{'':<44}{size / spent:>9.0f} /s{size / bare:>10.0f} /s")
        for (size, state), peak in peaks.items():
            print(f"peak resident set, {size} candidates {state}: {peak:.0f} MB")


def _ranked(folder: Path, kept: Path, count: int) -> tuple[float, float, float]:
    """Return how long the command takes over a folder [s], what its processes work [s], and the largest's peak [MB]."""
    rows = kept.with_suffix(".jsonl")
    words = ["rank", str(folder), "--cache", str(kept), "--jsonl", str(rows)]
    start = time.perf_counter()
    process = subprocess.Popen([sys.executable, "-m", "appraise", *words], stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    spent = time.perf_counter() - start
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode or rows.read_bytes().count(b"\n") != count:
        raise RuntimeError("a candidate could not be ranked")
    return spent, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024.0
