"""A process killed at any moment: what it had acknowledged comes back, to the last field.

A worker does random work and says on a pipe what it is about to make of the case, and again when the call has
returned. After SIGKILL the next opening must find the state acknowledged last, or the one that was on its way.
"""

from __future__ import annotations

import os
import random
import select
import signal
import time

from appraise.services.opening import open_sheet, recover, set_aside
from appraise.store.trail_file import read_trail
from appraise.store.write import write_case
from tests.helpers import worksheet_cases
from tests.helpers.edits import checks_of, fingerprint, savable, step

_FRESH = 20
"""Kills after which work begins on a new file, so that trails stay short."""

_EARLY = 0.3
"""Share of the workers that are killed while they are still opening."""

_LONGEST = 3.0
"""Most that the others work on, as a multiple of the time it took them to open: a slow machine waits longer."""

_HUNG = 120.0
"""After this nothing more is to be expected of a worker [s]; only a test that fails waits so long."""


def _work(path, tables, checks, seed: int, aside: bool, pipe: int) -> None:
    """Work until killed; every line is written with one call, which a pipe takes whole."""
    chance = random.Random(seed)
    opened = open_sheet(path, tables)
    sheet = opened.worksheet
    os.write(pipe, f"found {fingerprint(opened.unsaved.left.case if opened.unsaved else sheet.case)}\n".encode())
    if opened.unsaved is not None and aside:
        os.write(pipe, f"next {fingerprint(sheet.case)}\n".encode())
        set_aside(sheet, opened.unsaved)
        os.write(pipe, b"done\n")
    elif opened.unsaved is not None:
        recover(sheet, opened.unsaved)
    while True:
        before = sheet.case
        # What the step will make of the case is found out on a copy in memory.
        if chance.random() < 0.25 and savable(before):
            sheet.save()
            os.write(pipe, f"saved {fingerprint(sheet.case)}\n".encode())
            continue
        journal, sheet.journal = sheet.journal, None
        stacks, state = sheet._stacks, chance.getstate()
        step(sheet, chance, checks)
        target = fingerprint(sheet.case)
        sheet._stacks, sheet.journal = stacks, journal
        chance.setstate(state)
        os.write(pipe, f"next {target}\n".encode())
        step(sheet, chance, checks)
        if sheet.trouble or fingerprint(sheet.case) != target:
            os.write(pipe, f"trouble {sheet.trouble}\n".encode())
        os.write(pipe, b"done\n")


def _run(path, tables, checks, seed: int, chance, opening: float) -> tuple[list[str], float]:
    """Start a worker and kill it at a random moment.

    Args:
        path: The case.
        tables: The reference tables.
        checks: What is graded and read.
        seed: Of what the worker does.
        chance: Says when it is killed.
        opening: How long the worker before took to open [s].

    Returns:
        What it said, and how long it took to open, or the worker before, where it was killed earlier.
    """
    begun = time.monotonic()
    until = begun + chance.random() * opening if chance.random() < _EARLY else None
    aside = chance.random() < 0.2  # before the fork: a worker that drew it would draw what the wait here is made of
    reader, writer = os.pipe()
    worker = os.fork()
    if worker == 0:
        try:
            os.close(reader)
            _work(path, tables, checks, seed, aside, writer)
        finally:
            os._exit(1)
    os.close(writer)
    said, hung = b"", False
    while until is None or time.monotonic() < until:
        ready, _, _ = select.select([reader], [], [], 0.001 if until else 10)
        if ready:
            piece = os.read(reader, 65536)
            if not piece:
                break
            said += piece
        elif hung := time.monotonic() > begun + _HUNG:
            break
        if until is None and said:
            opening = time.monotonic() - begun
            until = begun + opening * (1.0 + _LONGEST * chance.random() ** 2)
    os.kill(worker, signal.SIGKILL)
    _, status = os.waitpid(worker, 0)
    while piece := os.read(reader, 65536):
        said += piece
    os.close(reader)
    assert not hung, f"the worker neither spoke nor ended: {said[-400:]!r}"
    assert os.WIFSIGNALED(status), f"the worker ended by itself: {said[-400:]!r}"
    return said.decode().splitlines(), opening


def _allowed(known: set[str], said: list[str]) -> set[str]:
    """Return the states that may be found after these words."""
    for line in said:
        word, _, state = line.partition(" ")
        assert word != "trouble", line
        if word == "found":
            assert state in known, "what came back is not what was acknowledged"
            known = {state}
        elif word == "next":
            known = {*known, state}
            on_its_way = state
        elif word == "done":
            known = {on_its_way}
        elif word == "saved":
            assert known == {state}
    return known


def test_what_was_acknowledged_comes_back(tmp_path, tables, request, record_property, capsys):
    count = request.config.getoption("--faults")
    chance = random.Random(20261120)
    checks = checks_of(tables)
    acknowledged = torn = saves = early = 0
    opening = 0.0
    path = tmp_path / "none"
    for kill in range(count):
        if kill % _FRESH == 0:
            folder = tmp_path / f"{kill}"
            folder.mkdir()
            path = folder / "case.toml"
            write_case(path, worksheet_cases.upright(), tables)
            known = {fingerprint(worksheet_cases.upright())}
        said, opening = _run(path, tables, checks, kill, chance, opening)
        known = _allowed(known, said)
        acknowledged += said.count("done")
        early += not said
        saves += sum(line.startswith("saved") for line in said)
        trail = read_trail(path)
        assert trail is None or not trail.breaks
        torn += trail is not None and bool(trail.torn)
        opened = open_sheet(path, tables)
        found = fingerprint(opened.unsaved.left.case if opened.unsaved is not None else opened.worksheet.case)
        assert found in known, f"kill {kill}: what came back is not what was acknowledged"
        known = {found}
        opened.worksheet.release()
        assert not [item.name for item in path.parent.iterdir() if item.name.endswith(".lock")]
    record_property("kills", count)
    with capsys.disabled():
        told = (
            f"{early} while opening; {acknowledged} steps and {saves} saves acknowledged, {torn} torn lines: none lost"
        )
        print(f"\n{count} processes killed, {told}")  # noqa: T201 - the count belongs to the result
    assert acknowledged > count
