"""One queue for everything that is typed: a key is handed on when all that the one before it set off is done."""

from __future__ import annotations

import asyncio
from collections import deque
from typing import TYPE_CHECKING

from textual import events, messages
from textual._context import message_hook  # the release is exact: what is private to it stays as it is
from textual.app import App, ReturnType

from appraise.whole_keys import read_whole_keys

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from textual.message import Message
    from textual.message_pump import MessagePump
    from textual.screen import Screen

_TYPED = (
    events.Key,
    events.Paste,
    events.MouseDown,
    events.MouseUp,
    events.MouseScrollDown,
    events.MouseScrollUp,
)
"""What a person does that must not overtake one another."""

_PAINTING = (
    messages.Update,
    messages.Layout,
    messages.UpdateScroll,
    messages.InvokeLater,
    messages.Prompt,
    events.Callback,
    events.Timer,
    events.MouseMove,
)
"""Messages that change no answer; those that have a consequence set off others, which are counted."""

_LOOK = 0.01
"""How long to wait before looking again [s]."""

_LOOKS = 500
"""How often to look at most before the next key is handed on after all: it may be the one to leave with."""


class TypeAhead(App[ReturnType]):
    """An application in which no key overtakes another, and none reaches a screen that is still opening or closing.

    A key goes its usual way. The next one waits until every widget has handled what came to it, nothing came to any
    of them meanwhile, and the screen in front is there and listens: messages, callbacks of dialogs and what is to be
    done after the next paint included. Time spent in a handler, as on a slow disk, does not count as waiting.
    """

    def __init__(self) -> None:
        super().__init__()
        read_whole_keys()
        self._waiting: deque[events.Event] = deque()
        self._handed: events.Event | None = None
        self._turn: asyncio.Task[None] | None = None
        self._stirred = False

    @property
    def holding(self) -> bool:
        """True while what was typed is being handled or waits for its turn."""
        return self._turn is not None

    def type_next(self, key: str) -> None:
        """Have a key typed before all that waits: the one just taken is meant for the screen below as well."""
        self._waiting.appendleft(events.Key(key, None))
        if self._turn is None:
            self._turn = asyncio.create_task(self._take_turns())

    async def on_event(self, event: events.Event) -> None:
        """Hand a key on when its turn has come."""
        if isinstance(event, events.Load):
            self._watch_messages()
        if isinstance(event, _TYPED) and not self.screen_stack:
            return  # all is closed: there is nobody left to answer it
        if isinstance(event, _TYPED) and not event.is_forwarded and event is not self._handed:
            at_once = self._turn is None and self._at_rest()
            if self._turn is None:
                self._turn = asyncio.create_task(self._take_turns())
            if not at_once:
                self._waiting.append(event)
                return
        await super().on_event(event)

    async def _take_turns(self) -> None:
        """Let what was just handed on be done, then hand on what waits, one after the other."""
        try:
            await self._done()
            while self._waiting and not self._exit:
                self._handed = self._waiting.popleft()
                self.post_message(self._handed)
                await self._done()
        finally:
            self._turn = self._handed = None
        self.look()

    def look(self) -> None:
        """See what has come of what was typed, once all of it is done."""

    async def _done(self) -> None:
        """Wait until everything that was set off has been done and the screen in front listens."""
        for _ in range(_LOOKS):
            if self._exit:
                return
            self._stirred = False
            answered = await self._all_answer()
            if self._stirred or not answered:
                continue
            if self._at_rest():
                return
            await asyncio.sleep(_LOOK)

    def _at_rest(self) -> bool:
        """Say whether nothing waits to be handled or painted, and the screen in front is there and listens."""
        stack = self.screen_stack
        if not stack or not stack[-1].is_mounted or stack[-1]._callbacks or not listens(stack[-1]):
            return False
        return not any(pump.message_queue_size or pump._next_callbacks for pump in self._pumps())

    def _pumps(self) -> list[MessagePump]:
        """Return all that can have something to handle; screens below take the answers of those above them."""
        stack = self.screen_stack
        return [self, *stack, *(stack[-1].walk_children() if stack else ())]

    async def _all_answer(self) -> bool:
        """Ask every widget, and every screen below, to answer when it has handled what came to it so far.

        Returns:
            True when all did.
        """
        left = {pump for pump in self._pumps() if pump.is_running}
        answer = asyncio.Event()

        def heard(pump: MessagePump) -> None:
            left.discard(pump)
            if not left:
                answer.set()

        for pump in tuple(left):
            if not pump.call_later(heard, pump):
                left.discard(pump)
        for _ in range(_LOOKS):
            left.intersection_update([pump for pump in left if pump.is_running])
            if not left:
                return True
            try:
                await asyncio.wait_for(answer.wait(), _LOOK)
            except TimeoutError:
                continue
        return False

    def _watch_messages(self) -> None:
        """Notice every message that any widget handles from now on; they all descend from this task."""
        before: Callable[[Message], None] | None = message_hook.get(None)

        def seen(message: Message) -> None:
            if not isinstance(message, _PAINTING):
                self._stirred = True
            if before is not None:
                before(message)

        message_hook.set(seen)


def listens(screen: Screen[Any]) -> bool:
    """Say whether a screen can take keys: one that reads something first says so in an attribute of this name."""
    return bool(getattr(screen, "listens", True))
