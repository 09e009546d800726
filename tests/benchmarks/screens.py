"""Whole processes to their first paint, and from a key to the repainted screen."""

from __future__ import annotations

import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from tests.benchmarks.table import FRAME_MS, SAMPLE, best, line, process

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


def graded() -> None:
    """On the walk of a full case, from the key that grades a check to the repainted screen, and to the new range."""
    import asyncio

    ours, settled = asyncio.run(_graded())
    bare, _ = asyncio.run(_bare())
    line("the walk, a grade, key to repaint", ours, "minimal Textual app", bare)
    line("the same, until the range stands anew", settled, "minimal Textual app", bare)


async def _graded() -> tuple[float, float]:
    """Return the shortest time from a grade's key to the next paint, and to the valuation of the case as graded [s]."""
    from appraise.app import AppraiseApp
    from appraise.services.worksheet import Worksheet
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    sheet = Worksheet(SAMPLE, case, tables)
    app = AppraiseApp(SAMPLE.parent, tables, sheet)
    painted, settled = [], []
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(1.0)
        app.screen.walk_to("structure", "plate_finish")
        for turn in range(12):
            await pilot.pause(0.2)
            start = time.perf_counter()
            await pilot.press(str(2 + turn % 3))
            painted.append(time.perf_counter() - start)
            while sheet.known_valuation is None:
                await pilot.pause(0.001)
            settled.append(time.perf_counter() - start)
    if not sheet.dirty:
        raise RuntimeError("the key graded nothing")
    return min(painted), min(settled)


async def _bare() -> tuple[float, float]:
    """Return the shortest time that a bare application takes from a key to its repaint [s], twice."""
    from textual.app import App
    from textual.widgets import Static

    class Bare(App[None]):
        def compose(self):
            yield Static("0")

        def on_key(self, event) -> None:
            self.query_one(Static).update(event.key)

    found = []
    async with Bare().run_test(size=(120, 40)) as pilot:
        await pilot.pause(0.5)
        for turn in range(12):
            await pilot.pause(0.2)
            start = time.perf_counter()
            await pilot.press(str(2 + turn % 3))
            found.append(time.perf_counter() - start)
    return min(found), min(found)
