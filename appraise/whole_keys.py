"""Keys that arrive in pieces: what a terminal sends for one key is not taken apart while the rest of it is waiting."""

from __future__ import annotations

import select
import sys
from typing import TYPE_CHECKING

from textual import constants
from textual._time import get_time  # the release is exact: what is private to it stays as it is
from textual._xterm_parser import XTermParser

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.message import Message


class WholeKeys(XTermParser):
    """Reads keys, and takes a lone ESC for the key of that name only when nothing follows it.

    The library decides by the clock alone: on a busy machine the thread that reads may stand still between the ESC of
    an arrow and the rest of it, and the arrow would become Escape and two letters.
    """

    terminal: int | None = None
    """File descriptor that is read from; none: standard input's."""

    def tick(self) -> Iterable[Message]:
        """Give up waiting for the rest of a key when the time is over and there is none."""
        if self._timeout_time is not None and get_time() >= self._timeout_time and self._more():
            self._timeout_time = get_time() + constants.ESCAPE_DELAY
        yield from super().tick()

    def _more(self) -> bool:
        try:
            at = sys.__stdin__.fileno() if self.terminal is None and sys.__stdin__ is not None else self.terminal
            return at is not None and bool(select.select([at], [], [], 0)[0])
        except (OSError, ValueError):
            return False  # closed, or nothing that can be waited for


def read_whole_keys() -> None:
    """Have the library read the terminal so, on systems where it reads one."""
    try:
        from textual.drivers import linux_driver
    except ImportError:
        return
    linux_driver.XTermParser = WholeKeys  # type: ignore[attr-defined]
