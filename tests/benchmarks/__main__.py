"""One table of ratios, each measured against something that runs in the same minute on the same machine.

Run with `python -m tests.benchmarks` from the checkout. The best of several runs is taken: what disturbs a run only
ever makes it slower.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from math import log
from pathlib import Path

FRAME_MS = 1000.0 / 60.0
SAMPLE = Path(__file__).resolve().parents[2] / "sample_cases" / "renewed_grand.toml"

# Both leave at once when the first paint is out: what goes on behind it is not what a person waits for.
_MINIMAL = """
import os
from textual.app import App
from textual.widgets import Static
class Minimal(App):
    def compose(self):
        yield Static("ready")
    def on_ready(self):
        os._exit(0)
Minimal().run(headless=True, size=(120, 40))
"""

_OURS = """
import os
from pathlib import Path
from appraise.app import AppraiseApp
class Timed(AppraiseApp):
    def on_ready(self):
        os._exit(0)
Timed(Path({folder!r})).run(headless=True, size=(120, 40))
"""


def best(action, times: int) -> float:
    """Return the shortest of several runs [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        action()
        found.append(time.perf_counter() - start)
    return min(found)


def process(*arguments: str) -> float:
    """Return the shortest run of a whole process [s]."""
    environment = {**os.environ, "TEXTUAL_ANIMATIONS": "none"}

    def run() -> None:
        subprocess.run(arguments, check=True, capture_output=True, env=environment)

    return best(run, 5)


def line(name: str, ours: float, reference: str, theirs: float, aim: str = "") -> None:
    """Print one ratio."""
    print(f"{name:<44}{ours * 1e3:>9.1f} ms{theirs * 1e3:>9.1f} ms{ours / theirs:>8.2f}   {reference}{aim}")


def recomputation() -> None:
    """One grade changed, the whole valuation again, against one frame."""
    from appraise.engine.valuation import value_case
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    turn = [0]

    def change() -> None:
        turn[0] += 1
        grades = tuple(
            replace(grade, grade=2.0 + 0.5 * (turn[0] % 3)) if n == 0 else grade for n, grade in enumerate(case.grades)
        )
        value_case(replace(case, grades=grades), tables)

    change()
    line("recomputation after one change", best(change, 60), "one frame at 60 Hz", FRAME_MS / 1e3, ", aim ≤ 1")


def charts() -> None:
    """Every chart of a case as a picture and with letters, against the appraisal that they show."""
    from appraise.report.appraisal import appraisal
    from appraise.report.charts import build
    from appraise.report.charts.svg import svg
    from appraise.report.charts.text import lines
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    item = appraisal(case, tables)
    whole = best(lambda: appraisal(case, tables), 5)
    line(
        "charts as pictures",
        best(lambda: [svg(each) for each in build.drawings(item)], 10),
        "valuing and telling",
        whole,
    )
    line("charts with letters", best(lambda: [lines(each, 80) for each in build.drawings(item)], 10), "the same", whole)


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
        kinds = [("time", "U19"), ("temperature", "f8"), ("humidity", "f8")]

        def by_numpy() -> None:
            np.loadtxt(path, delimiter=",", skiprows=1, dtype=kinds)

        limit = best(by_numpy, 5)
        line(
            "logger file of 100,000 rows, read",
            best(lambda: read_log(path, tables), 5),
            "numpy.loadtxt",
            limit,
            ", aim ≤ 1",
        )
        log = read_log(path, tables)
        line("the same, followed and summed up", best(lambda: measure_log(log, tables), 5), "numpy.loadtxt", limit)
        path.write_text(path.read_text().replace(":00,", ":00, "))
        line("the same with blanks, row by row", best(lambda: read_log(path, tables), 3), "numpy.loadtxt", limit)


def starts() -> None:
    """Whole processes: the worksheet to its first paint, and a value on standard output."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "case.toml").write_bytes(SAMPLE.read_bytes())
        ours = process(sys.executable, "-c", _OURS.format(folder=folder))
    minimal = process(sys.executable, "-c", _MINIMAL)
    line("worksheet, start to first paint", ours, "minimal Textual app", minimal, ", aim ≤ 1.5")
    value = process(sys.executable, "-m", "appraise", "value", str(SAMPLE))
    imported = process(sys.executable, "-c", "import textual")
    line("appraise value, whole process", value, "python -c 'import textual'", imported)
    helped = process(sys.executable, "-m", "appraise", "--help")
    line("appraise --help, whole process", helped, "python -c pass", process(sys.executable, "-c", "pass"))


def strip() -> None:
    """Twelve checks at 88 notes entered: one more reading recomputed, and from the key to the repainted screen."""
    import asyncio

    from appraise.engine.valuation import value_case
    from appraise.model.case import Reading
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    checks = [row for row in tables.checks.values() if row.per_note and case.identity.kind in row.kinds][:12]
    full = tuple(
        Reading(row.key, sum(row.plausible) / 4 + note % 3 / 10, row.unit, note)
        for row in checks
        for note in range(1, 89)
    )
    grown = replace(case, readings=full)
    turn = [0]

    def change() -> None:
        turn[0] += 1
        first = replace(full[0], value=full[0].value + 0.1 * (turn[0] % 3))
        value_case(replace(grown, readings=(first, *full[1:])), tables)

    change()
    name = f"{len(checks)} checks at 88 notes: one reading, recomputed"
    line(name, best(change, 30), "one frame at 60 Hz", FRAME_MS / 1e3, ", aim ≤ 1")
    line("the same, key to repaint", asyncio.run(_typed(grown)), "minimal Textual app", asyncio.run(_typed(None)))


async def _typed(case) -> float:
    """Return the shortest time from a key to the repainted screen: the strip of a full case, or a bare input [s]."""
    from textual.app import App
    from textual.widgets import Input

    from appraise.app import AppraiseApp
    from appraise.screens.readings import ReadingsScreen
    from appraise.services.worksheet import Worksheet
    from appraise.tables.load import load_tables

    class Bare(App[None]):
        def compose(self):
            yield Input()

    tables = load_tables()
    sheet = None if case is None else Worksheet(SAMPLE, case, tables)
    app = Bare() if sheet is None else AppraiseApp(SAMPLE.parent, tables, sheet)
    found = []
    async with app.run_test(size=(80, 24)) as pilot:
        if sheet is not None:
            await pilot.pause(0.5)
            await app.push_screen(ReadingsScreen(sheet, tables.checks["pin_torque"]))
        await pilot.pause(0.5)
        for _ in range(12):
            app.screen.query_one(Input).value = "7.4"
            await pilot.pause()
            start = time.perf_counter()
            await pilot.press("enter")
            await pilot.pause()
            found.append(time.perf_counter() - start)
    return min(found)


def growth() -> None:
    """Cost of reading and valuing against the number of readings and remarks, as a fitted exponent."""
    from appraise.engine.valuation import value_case
    from appraise.model.case import Reading, Remark
    from appraise.store.read import read_case
    from appraise.store.write import write_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    for name in ("readings", "remarks"):
        sizes, costs, engine = (500, 1000, 2000, 4000), [], []
        for size in sizes:
            if name == "readings":
                extra = tuple(Reading("pin_torque", 6.0 + n % 5, "N·m", 1 + n % 88) for n in range(size))
                grown = replace(case, readings=case.readings + extra)
            else:
                extra = tuple(Remark("case", f"scratch {n}") for n in range(size))
                grown = replace(case, remarks=case.remarks + extra)
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / "case.toml"
                write_case(path, grown, tables)
                costs.append(best(lambda path=path: read_case(path, tables), 3))
            engine.append(best(lambda grown=grown: value_case(grown, tables), 3))
        for what, seconds in (("reading a file", costs), ("valuing", engine)):
            exponent = log(seconds[-1] / seconds[0]) / log(sizes[-1] / sizes[0])
            reach = f"{what} with {sizes[0]} to {sizes[-1]} more {name}"
            print(f"{reach}: cost grows with power {exponent:.2f} (1 is linear)")


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


def documents() -> None:
    """A case file to the full report as PDF, against an office suite printing a spreadsheet of the same case."""
    from tests.benchmarks.documents import full_report

    times = full_report(SAMPLE)
    if times is None:
        print("case file to full PDF, whole process: skipped: no soffice")
    else:
        line("case file to full PDF, whole process", times[0], "LibreOffice, spreadsheet to PDF", times[1], ", aim ≤ 1")


def main() -> None:
    """Print every ratio."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--cases", type=int, default=5000, metavar="N", help="candidates to rank (5000)")
    parser.add_argument("--only", choices=("ranking",), help="this alone")
    asked = parser.parse_args()
    print(f"{'':<44}{'ours':>12}{'reference':>12}{'ratio':>8}")
    if asked.only is None:
        recomputation()
        charts()
        logger_file()
        starts()
        strip()
        journal()
        growth()
        documents()
    ranking(asked.cases)


if __name__ == "__main__":
    main()
