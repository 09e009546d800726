"""What every screen is: once closed it does nothing more, and only the one in front can be closed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from textual._callback import invoke
from textual.await_complete import AwaitComplete
from textual.screen import ModalScreen, Screen, ScreenResultType

from appraise.commands import SAVE_KEY
from appraise.store.own_settings import OwnSettings
from appraise.type_ahead import TypeAhead

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Iterable

    from textual.message import Message

_LIBRARY = "textual."
_LAST = "on_unmount"
"""The handler that a closed screen still has to run."""


class Standing(Screen[ScreenResultType]):
    """A screen whose handlers and callbacks find its widgets, because they run only while it stands.

    A message can be on its way while its screen is closed: a figure worked out aside, a size, the second of two
    clicks. What it asks for is gone then, and closing again would close the screen below.
    """

    @property
    def own_settings(self) -> OwnSettings:
        """The settings of whoever works here; the defaults under an application that has none."""
        settings = getattr(self.app, "settings", None)
        return settings if isinstance(settings, OwnSettings) else OwnSettings()

    @property
    def moves_on(self) -> bool:
        """Whether an answer takes the cursor to the next row."""
        return self.own_settings.walk.move_on

    def action_own_settings(self) -> None:
        """Open the settings of whoever works here."""
        from appraise.screens.own_settings import SettingsScreen  # it is such a screen itself

        self.app.push_screen(SettingsScreen())

    gone = False
    """True once the screen has been closed."""

    @property
    def unfinished(self) -> bool:
        """True while something was typed here that is not kept yet."""
        return False

    def ask_unfinished(self) -> None:
        """Ask what becomes of what is unfinished."""

    def ask_which(self, question: str, **answers: tuple[str, Callable[[], object] | None]) -> None:
        """Ask, and do what belongs to the answer.

        Args:
            question: What is asked.
            answers: By key the words of an answer and what is done at it; none: nothing, as at no answer.
        """
        from appraise.screens.ask import AskScreen  # it is such a screen itself

        def take(answer: str | None) -> None:
            do = None if answer is None else answers[answer][1]
            if do is not None:
                do()

        self.app.push_screen(AskScreen(question, [(key, words) for key, (words, _) in answers.items()]), take)

    def dismiss(self, result: ScreenResultType | None = None) -> AwaitComplete:
        """Close the screen; nothing where it is closed already or another lies above it."""
        # The library calls a screen current that can be seen below another, and would close the one above in its place.
        if self._over or self.app.screen_stack[-1:] != [self]:
            return AwaitComplete()
        self.gone = True
        closed: AwaitComplete = super().dismiss(result)
        return closed

    def call_after_refresh(self, callback: Callable[..., Any], *args: object, **kwargs: object) -> bool:
        """Do something after the next paint, if the screen still stands then."""

        async def do() -> None:
            if not self._over:
                await invoke(partial(callback, *args, **kwargs))

        return super().call_after_refresh(do)

    @property
    def _over(self) -> bool:
        return self.gone or self.app._exit

    def _get_dispatch_methods(
        self, method_name: str, message: Message
    ) -> Iterable[tuple[type, Callable[[Message], Awaitable[None]]]]:
        """Leave our own handlers out once the screen is closed; the library's take it down."""
        for cls, method in super()._get_dispatch_methods(method_name, message):
            if not self._over or cls.__module__.startswith(_LIBRARY) or method_name == _LAST:
                yield cls, method


class Asking(ModalScreen[ScreenResultType], Standing[ScreenResultType]):
    """A screen that lies over another and asks for something; its style is that of the first of its bases."""

    def action_leave(self) -> None:
        """Leave everything as it was, asking first when something was typed."""
        if self.unfinished:
            self.ask_unfinished()
        else:
            self.dismiss(None)

    def ask_what_becomes(self, words: str, take: str, do: Callable[[], object]) -> None:
        """Ask whether what was typed is taken, dropped, or typed on.

        Args:
            words: What is unfinished.
            take: The words for taking it.
            do: What takes it.
        """
        self.ask_which(words, take=(take, do), drop=("Drop it", lambda: self.dismiss(None)), stay=("Write on", None))

    def save_below(self) -> None:
        """Have the screen below save once this one has closed."""
        if isinstance(self.app, TypeAhead):
            self.app.type_next(SAVE_KEY)
