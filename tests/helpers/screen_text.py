"""What a screen shows, as text; the one place that touches Textual's compositor."""

from __future__ import annotations

import io
from time import monotonic

import pytest
from rich.console import Console
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

_LONGEST = 60.0
"""Longest time that a screen may take to come to rest [s]; only a test that fails waits so long."""


class ScreenText(SingleFileSnapshotExtension):
    """One .txt file a snapshot: a difference reads as the screen does."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"


def screen_text(app) -> str:
    """Return the visible cells without colours."""
    width, height = app.size
    console = Console(
        width=width, height=height, file=io.StringIO(), color_system=None, record=True, legacy_windows=False
    )
    console.print(app.screen._compositor.render_update(full=True, screen_stack=app._background_screens))
    return "\n".join(line.rstrip() for line in console.export_text().splitlines()) + "\n"


async def settle(pilot) -> None:
    """Wait until nothing is being worked out, no key waits for a screen, and the screen shows it."""
    latest = monotonic() + _LONGEST
    while True:
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        if _quiet(pilot.app):
            return
        # What begins after the next paint has not begun: a slow machine may need a moment for it.
        if monotonic() > latest:
            pytest.fail(f"the screen never came to rest: {_left(pilot.app)}")
        await pilot.pause(0.01)


def _quiet(app) -> bool:
    return (
        getattr(app.screen, "settled", True)
        and not app.holding
        and all(worker.is_finished for worker in app.workers)
        and (bool(app._exit) or (app._at_rest() and _painted(app)))
    )


def _painted(app) -> bool:
    """Say whether the screen shows what its widgets are: it is laid out and painted by a timer, not at once."""
    front = app.screen
    waits = (front._layout_required, front._scroll_required, front._repaint_required, front._recompose_required)
    return not (app._batch_count or front._dirty_widgets or any(waits))


def _left(app) -> list[str]:
    """Return what is left to do, by screen."""
    return [
        f"{type(screen).__name__}: layout {screen._layout_required}, scroll {screen._scroll_required}, "
        f"repaint {screen._repaint_required}, recompose {screen._recompose_required}, "
        f"widgets {screen._dirty_widgets}, callbacks {len(screen._callbacks)}"
        for screen in app.screen_stack
    ]


async def until(pilot, true, what: str = "what was waited for") -> None:
    """Wait until something is true, however slow the machine is.

    Args:
        pilot: Of the application.
        true: Asked again and again.
        what: What it is, for the message of a test that fails.
    """
    latest = monotonic() + _LONGEST
    while not true():
        if monotonic() > latest:
            pytest.fail(f"{what} never came:\n{screen_text(pilot.app)}")
        await pilot.pause(0.01)


async def shown(pilot, words: str) -> None:
    """Wait until the words stand on the screen: a message is drawn a moment after what it tells of."""
    await until(pilot, lambda: words in screen_text(pilot.app), f"“{words}”")
