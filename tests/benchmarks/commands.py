"""What a command costs from start to end: processor time of whole processes, against imports in the same run."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.benchmarks.table import SAMPLE, best, line

LISTED = 400
"""Cases of the folder that is listed."""


def spent(cache: str, *words: str, times: int = 7) -> float:
    """Return the least processor time of a whole process of Python with these words [s]."""
    environment = {**os.environ, "XDG_CACHE_HOME": cache, "TEXTUAL_ANIMATIONS": "none"}
    found = []
    for _ in range(times):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *words], check=True, capture_output=True, env=environment)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        found.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(found)


def commands() -> None:
    """The start of commands: help, a value worked out and one printed again."""
    with tempfile.TemporaryDirectory() as cache:
        empty = spent(cache, "-c", "pass")
        textual = spent(cache, "-c", "import textual")
        helped = spent(cache, "-m", "appraise", "--help")
        value = ("-m", "appraise", "value", str(SAMPLE))
        line(
            "appraise value, cold, processor",
            spent(cache, *value, "--no-cache"),
            "import textual",
            textual,
            ", aim ≤ 2.5",
        )
        line("the same of an unchanged case", spent(cache, *value), "appraise --help", helped, ", aim ≤ 1.3")
        line("appraise --help, processor", helped, "python -c pass", empty, ", aim ≤ 8")


def tables() -> None:
    """Our tables read from their text and from the snapshot."""
    from appraise.tables import snapshot
    from appraise.tables.assemble import _own, assembled
    from appraise.tables.folder import data_folder

    folder = data_folder("reference_tables")

    def from_text() -> None:
        _own.cache_clear()
        assembled(folder)

    text = best(from_text, 5)
    kept = snapshot.encoded(assembled(folder))
    with tempfile.TemporaryDirectory() as name:
        place = Path(name) / "tables.snapshot"
        place.write_bytes(kept)
        read = best(lambda: (snapshot.place_of(folder), snapshot.read(place)), 5)
    line("the reference tables, from the snapshot", read, "from their text", text, ", aim < 10 ms")


def listing() -> None:
    """A folder of cases listed, the first time and again."""
    from appraise.services import case_folder
    from appraise.tables.load import load_tables
    from tests.helpers.candidates import fill

    loaded = load_tables()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "all"
        folder.mkdir()
        fill(Path(name) / "filled", LISTED)
        for path in sorted((Path(name) / "filled").rglob("*.toml")):
            shutil.move(path, folder / path.name)

        def timed() -> float:
            start = time.process_time()
            assert len(case_folder.scan(folder, loaded)) == LISTED
            return time.process_time() - start

        case_folder._READ.clear()
        cold, again = timed(), min(timed() for _ in range(3))
        line(f"{LISTED} cases listed, cold", cold, "0.6 s", 0.6, ", aim ≤ 1")
        line("the same again", again, "0.15 s", 0.15, ", aim ≤ 1")
