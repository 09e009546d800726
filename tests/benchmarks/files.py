"""A data logger's file; edits, saves and openings on the disk."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from tests.benchmarks.table import SAMPLE, best, line


def logger_file() -> None:
    """A data logger's file of 100,000 rows, against NumPy's own reading of it."""
    from datetime import datetime, timedelta

    import numpy as np

    from appraise.services.instruments.climate_log import measure_log
    from appraise.services.instruments.log_file import read_log
    from appraise.tables.load import load_tables

    tables = load_tables()
    start = datetime(2025, 1, 1)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.csv"
        with path.open("w") as stream:
            stream.write("time,temperature C,rh %\n")
            for n in range(100_000):
                stream.write(f"{start + timedelta(minutes=5 * n)},{18 + n % 70 / 10:.1f},{30 + n % 400 / 10:.1f}\n")
        kinds = [("time", "M8[s]"), ("temperature", "f8"), ("humidity", "f8")]

        def by_numpy() -> None:
            np.loadtxt(path, delimiter=",", skiprows=1, dtype=kinds)

        limit = best(by_numpy, 5)
        line(
            "logger file of 100,000 rows, read",
            best(lambda: read_log(path, tables), 5),
            "numpy.loadtxt",
            limit,
            ", which doubts nothing",
        )
        log = read_log(path, tables)
        line("the same, followed and summed up", best(lambda: measure_log(log, tables), 5), "numpy.loadtxt", limit)
        path.write_text(path.read_text().replace(":00,", ":00, "))
        line("the same with blanks, row by row", best(lambda: read_log(path, tables), 3), "numpy.loadtxt", limit)


def journal() -> None:
    """An edit on the disk, against a bare append and fsync of a line as long; and opening with a long trail."""
    from appraise.services.opening import open_sheet
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as name:
        path, bare = Path(name) / "case.toml", Path(name) / "bare"
        path.write_bytes(SAMPLE.read_bytes())
        sheet = open_sheet(path, tables).worksheet
        turn = [0]

        def edit() -> None:
            turn[0] += 1
            sheet.put(("identity", "maker"), f"Maker {turn[0]}")

        def append() -> None:
            handle = os.open(bare, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
            os.write(handle, b"x" * 420)
            os.fsync(handle)
            os.close(handle)

        append()
        edit()
        plain = best(append, 200)
        line("an edit, kept on the disk", best(edit, 200), "append and fsync of a line", plain, ", aim ≤ 3")
        sheet.undo()
        sheet.redo()
        line("saving a case", best(lambda: (edit(), sheet.save()), 10), "append and fsync of a line", plain)
        for _ in range(2000):
            edit()
        sheet.save()
        sheet.close()
        read = best(lambda: read_case(path, tables), 5)

        def again() -> None:
            open_sheet(path, tables).worksheet.close()

        lines = sum(1 for _ in path.with_name("case.trail.jsonl").open("rb"))
        line(f"opening with a trail of {lines} lines", best(again, 5), "reading the case", read)
