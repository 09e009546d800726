"""Keys that are typed while a screen is still opening wait until it can take them: a figure keeps all its digits."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING
from weakref import WeakSet

from textual import events
from textual.app import App, ReturnType
from textual.screen import ModalScreen

if TYPE_CHECKING:
    from typing import Any

    from textual.screen import Screen
    from textual.timer import Timer

_LOOK = 0.01
"""How often to look whether the screen has come [s]."""
_PATIENCE = 2.0
"""How long to wait for a screen at most [s]; the keys then go where they would have gone."""


class TypeAhead(App[ReturnType]):
    """An application that loses no key between the one that opens a screen and the moment that screen listens."""

    def __init__(self) -> None:
        super().__init__()
        self._held: list[tuple[float, events.Key]] | None = None
        self._opened_from: Screen[Any] | None = None
        self._deadline = 0.0
        self._looking: Timer | None = None
        self._listened: WeakSet[Screen[Any]] = WeakSet()

    @property
    def holding(self) -> bool:
        """True while keys wait for a screen."""
        return self._held is not None

    def hold_keys(self) -> None:
        """Hold the keys that follow until another screen than this one listens: the last key opens one."""
        if self._held is None:
            self._hold(self.screen)

    def let_go(self) -> None:
        """Hand the held keys on: no screen opens after all."""
        self._deadline = 0.0

    def take_back(self, event: events.Key) -> None:
        """Hold a key that had gone to a widget already, in its turn."""
        if self._held is not None:
            self._held.append((event.time, events.Key(event.key, event.character)))
            self._held.sort(key=lambda held: held[0])

    async def on_event(self, event: events.Event) -> None:
        """Hold a key that comes while no screen listens."""
        if isinstance(event, events.Key) and not event.is_forwarded:
            if self._held is None and self._screen_comes():
                self._hold(None)
            if self._held is not None:
                self._held.append((event.time, event))
                return
        await super().on_event(event)

    def _screen_comes(self) -> bool:
        """Say whether the screen in front asks for something and has not listened yet; all that ask are modal."""
        screen = self.screen
        if screen.focused is not None:
            self._listened.add(screen)
        return isinstance(screen, ModalScreen) and screen not in self._listened

    def _hold(self, opened_from: Screen[Any] | None) -> None:
        self._held, self._opened_from = [], opened_from
        self._deadline = monotonic() + _PATIENCE
        self._looking = self.set_interval(_LOOK, self._look)

    async def _look(self) -> None:
        screen = self.screen
        comes = screen is self._opened_from or screen.focused is None
        if self._held is None or (comes and monotonic() < self._deadline):
            return
        if self._looking is not None:
            self._looking.stop()
        self._listened.add(screen)
        # What comes while these are handed on is put behind them.
        while self._held:
            await super().on_event(self._held.pop(0)[1])
        self._held = None


def opening(app: App[Any]) -> None:
    """Say that the key just taken opens a screen: those behind it are meant for that one."""
    if isinstance(app, TypeAhead):
        app.hold_keys()


def none_opens(app: App[Any]) -> None:
    """Say that the key that was to open a screen opens none."""
    if isinstance(app, TypeAhead):
        app.let_go()


def too_soon(app: App[Any], event: events.Key) -> bool:
    """Give a key back that came to a widget after one that opens a screen.

    Returns:
        True when it was given back: the widget leaves it alone.
    """
    if not isinstance(app, TypeAhead) or not app.holding:
        return False
    event.stop()
    event.prevent_default()
    app.take_back(event)
    return True
