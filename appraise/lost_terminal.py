"""When the terminal goes while somebody works: what was typed is kept, and the program ends."""

from __future__ import annotations

import asyncio
import select
import signal
import sys
from contextlib import suppress

from textual import events
from textual.app import ReturnType

from appraise.type_ahead import TypeAhead

_EVERY = 0.2
"""How often the terminal is looked at [s]."""

_LONGEST = 20.0
"""How long what was typed may take to be kept before the program ends without [s]."""


class LostTerminal(TypeAhead[ReturnType]):
    """An application that outlives its terminal just long enough.

    A terminal that is closed says so by SIGHUP, which `nohup` has a program leave alone, and by a hang-up of the line:
    the library would go on reading the end of it as fast as it can, and stop where it can write no more.
    """

    terminal_lost = False
    """True once the terminal is gone."""

    def __init__(self) -> None:
        super().__init__()
        _draw_into_nothing()

    async def on_event(self, event: events.Event) -> None:
        """Watch the terminal from the first moment."""
        if isinstance(event, events.Load):
            self._watch_terminal()
        await super().on_event(event)

    def take_unfinished(self) -> None:
        """Take what was typed and not taken, as far as it can be taken."""

    def _watch_terminal(self) -> None:
        if self.is_headless or not hasattr(signal, "SIGHUP"):
            return
        if signal.getsignal(signal.SIGHUP) is signal.SIG_DFL:
            with suppress(RuntimeError, ValueError):  # not in the main thread
                asyncio.get_running_loop().add_signal_handler(signal.SIGHUP, self._lose_terminal)
        self.set_interval(_EVERY, self._look_at_terminal)

    def _look_at_terminal(self) -> None:
        if not self.terminal_lost and hung_up():
            self._lose_terminal()

    def _lose_terminal(self) -> None:
        if not self.terminal_lost:
            self.terminal_lost = True
            self._ending = asyncio.create_task(self._end_without_terminal())

    async def _end_without_terminal(self) -> None:
        """Let what was typed be done, take what is open, and leave what is not saved to the trail."""
        with suppress(TimeoutError):
            await asyncio.wait_for(self._typed_is_kept(), _LONGEST)
        self.exit()

    async def _typed_is_kept(self) -> None:
        for _ in range(2):
            while self.holding:
                await asyncio.sleep(_EVERY / 4)
            self.take_unfinished()
            await asyncio.sleep(0)


def hung_up() -> bool:
    """Say whether the line to the terminal that is read from has been hung up."""
    try:
        asked = select.poll()
        asked.register(sys.__stdin__.fileno(), 0)  # type: ignore[union-attr]
        return any(told & (select.POLLHUP | select.POLLERR | select.POLLNVAL) for _, told in asked.poll(0))
    except (OSError, ValueError, AttributeError):
        return sys.__stdin__ is None or sys.__stdin__.closed


def _draw_into_nothing() -> None:
    """Have the library go on with its work when what it draws reaches nobody any more: it would wait for ever."""
    try:
        from textual.drivers import linux_driver
    except ImportError:
        return
    from textual.drivers._writer_thread import WriterThread  # the release is exact: what is private stays as it is

    class Writer(WriterThread):
        def run(self) -> None:
            try:
                super().run()
            except OSError:
                while self._queue.get() is not None:
                    pass

    setattr(linux_driver, "WriterThread", Writer)  # noqa: B010 - the library does not export it
