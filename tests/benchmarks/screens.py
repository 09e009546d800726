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
    value = process(sys.executable, "-m", "appraise", "value", str(SAMPLE), "--no-cache")
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
    (first, last), (bare, _) = asyncio.run(_typed(grown)), asyncio.run(_typed(None))
    line("the same, key to repaint", first, "minimal Textual app", bare, f", {1e3 * (first - bare):+.1f} ms")
    line("the same, until strip and statistics stand", last, "that and one frame", bare + FRAME_MS / 1e3)


def _watched(app) -> list[float]:
    """Return the moments at which an application writes to its terminal, filled in as it does [s]."""
    shown: list[float] = []
    display = app._display  # the one place of Textual through which every repaint goes; it has no public name

    def watched(screen, renderable) -> None:
        display(screen, renderable)
        if renderable is not None:
            shown.append(time.perf_counter())

    app._display = watched
    return shown


async def _timed(pilot, shown: list[float], key: str) -> tuple[float, float]:
    """Press a key; return the time to the first repaint and to the last one of the next quarter second [s]."""
    await pilot.pause(0.2)
    shown.clear()
    start = time.perf_counter()
    await pilot.press(key)
    await pilot.pause(0.25)
    if not shown:
        raise RuntimeError(f"nothing was repainted after {key}")
    return shown[0] - start, shown[-1] - start


async def _typed(case) -> tuple[float, float]:
    """Return the shortest times to the first and the last repaint: the strip of a full case, or a bare input [s]."""
    from textual.app import App
    from textual.widgets import Input

    from appraise.app import AppraiseApp
    from appraise.screens.readings import ReadingsScreen
    from appraise.services.case_session import CaseSession
    from appraise.tables.load import load_tables

    class Bare(App[None]):
        def compose(self):
            yield Input()

        def on_input_submitted(self, event) -> None:
            event.input.value = ""

    tables = load_tables()
    sheet = None if case is None else CaseSession(SAMPLE, case, tables)
    app = Bare() if sheet is None else AppraiseApp(SAMPLE.parent, tables, sheet)
    found = []
    async with app.run_test(size=(80, 24)) as pilot:
        if sheet is not None:
            await pilot.pause(0.5)
            await app.push_screen(ReadingsScreen(sheet, tables.checks["pin_torque"]))
        await pilot.pause(0.5)
        shown = _watched(app)
        for _ in range(12):
            app.screen.query_one(Input).value = "7.4"
            app.screen.query_one(Input).cursor_blink = False
            found.append(await _timed(pilot, shown, "enter"))
    return min(first for first, _ in found), min(last for _, last in found)


def graded() -> None:
    """On the walk of a full case, from the key that grades a check to the repainted screen, and to the new range."""
    import asyncio

    ours, settled = asyncio.run(_graded())
    bare = asyncio.run(_bare())
    frame = FRAME_MS / 1e3
    line("the walk, a grade, key to repaint", ours, "minimal Textual app", bare, f", {1e3 * (ours - bare):+.1f} ms")
    line("the same, until the range stands anew", settled, "that and one frame", bare + frame)


async def _graded() -> tuple[float, float]:
    """Return the shortest time from a grade's key to the next paint, and to the last, with the new range [s]."""
    from appraise.app import AppraiseApp
    from appraise.services.case_session import CaseSession
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    sheet = CaseSession(SAMPLE, case, tables)
    app = AppraiseApp(SAMPLE.parent, tables, sheet)
    found = []
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(1.0)
        app.screen.walk_to("structure", "plate_finish")
        shown = _watched(app)
        for turn in range(12):
            found.append(await _timed(pilot, shown, str(2 + turn % 3)))
            if sheet.known_valuation is None:
                raise RuntimeError("no valuation a quarter of a second after the key")
    if not sheet.dirty:
        raise RuntimeError("the key graded nothing")
    return min(first for first, _ in found), min(last for _, last in found)


async def _bare() -> float:
    """Return the shortest time that a bare application takes from a key to its repaint [s]."""
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
        shown = _watched(pilot.app)
        for turn in range(12):
            first, _ = await _timed(pilot, shown, str(2 + turn % 3))
            found.append(first)
    return min(found)
