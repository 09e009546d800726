"""Waiting for an application until it has handled all that it was given, and not until it has been idle for a while."""

from __future__ import annotations

import asyncio
from time import monotonic

import textual.app
import textual.pilot
from textual._context import active_app
from textual._wait import wait_for_idle

from appraise.type_ahead import TypeAhead

_TURNS = 4
"""Turns of the loop after which a key that a driver sent lies in the queue of the application: it takes two."""
_MOST = 5.0
"""Longest wait [s]: a test may hold back what a screen waits for, and look at it meanwhile."""


async def at_rest(*terms: float) -> None:
    """Wait until the application in front has done all that keys and clicks set off, and nothing waits to be handled.

    Stands where Textual's pilot sleeps until the process takes next to no time.
    """
    app = active_app.get()
    if not isinstance(app, TypeAhead):
        await wait_for_idle(*terms)
        return
    for _ in range(_TURNS):
        await asyncio.sleep(0)
    latest = monotonic() + _MOST
    while not app._exit and monotonic() < latest:
        if app._turn is not None:
            await asyncio.wait({app._turn}, timeout=_MOST)
        elif app._at_rest() or (await app._all_answer() and app._at_rest()):
            return
        else:
            await asyncio.sleep(0.001)


def wait_for_the_application(monkeypatch) -> None:
    """Have pilots wait so."""
    monkeypatch.setattr(textual.app, "wait_for_idle", at_rest)
    monkeypatch.setattr(textual.pilot, "wait_for_idle", at_rest)
