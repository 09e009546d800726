"""Base of every screen: ignores events once closed, closes only when in front, and is ready for keys."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar, Protocol, TypeVar, cast

from textual._callback import invoke
from textual.await_complete import AwaitComplete
from textual.screen import ModalScreen, Screen, ScreenResultType

from appraise.commands import ASKED, BY_ID, EVERYWHERE, bindings
from appraise.type_ahead import TypeAhead

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Iterable
    from pathlib import Path

    from textual.message import Message

    from appraise.store.own_settings import OwnSettings

_LIBRARY = "textual."
_LAST = "on_unmount"
"""The handler that a closed screen still has to run."""

Answer = TypeVar("Answer")


class Application(Protocol):
    """Application interface used by screens."""

    settings: OwnSettings
    own_tables: Path | None

    def open_screen(self, name: str, *given: object, then: Callable[[Any], None] | None = None) -> Screen[Any]:
        """Open a screen by its name."""


class BaseScreen(Screen[ScreenResultType]):
    """A screen whose handlers and callbacks find its widgets, because they run only while it stands.

    A message can be on its way while its screen is closed: a figure worked out aside, a size, the second of two
    clicks. What it asks for is gone then, and closing again would close the screen below.
    """

    SCOPE: ClassVar[str] = EVERYWHERE
    """Which commands work here, besides those that work everywhere."""

    gone = False
    """True once the screen has been closed."""

    def __init_subclass__(cls, **given: bool) -> None:
        """Bind the keys of the commands that work here."""
        scope = cls.__dict__.get("SCOPE", EVERYWHERE)
        if scope != EVERYWHERE:
            cls.BINDINGS = [*bindings(scope), *cls.__dict__.get("BINDINGS", ())]
        super().__init_subclass__(**given)

    @property
    def application(self) -> Application:
        """The application, as screens know it."""
        return cast("Application", self.app)

    @property
    def own_settings(self) -> OwnSettings:
        """The settings of whoever works here."""
        return self.application.settings

    @property
    def moves_on(self) -> bool:
        """True if an answer moves the cursor to the next row."""
        return self.own_settings.walk.move_on

    def open_screen(self, name: str, *given: object, then: Callable[[Any], None] | None = None) -> None:
        """Open another screen by its name, so that none has to know those that lead back to it.

        Args:
            name: Of its module.
            given: What it is made with.
            then: Done when it closes, with its result; none: nothing.
        """
        self.application.open_screen(name, *given, then=then)

    def ask(self, dialog: Screen[Answer | None], then: Callable[[Answer], object]) -> None:
        """Open a dialog and go on with its answer; where it is left without one nothing is done.

        The answer comes by the queue of this screen, which `TypeAhead` sees: the next key waits until it is dealt
        with. A worker that waits for the dialog would go on behind its back.
        """

        def on_result(answer: Answer | None) -> None:
            if answer is not None:
                then(answer)

        self.app.push_screen(dialog, on_result)

    def say(self, text: str, *, wrong: bool = False) -> None:
        """Say something in passing; the text is never markup."""
        self.notify(text, severity="error" if wrong else "information", timeout=6 if wrong else 2.5, markup=False)

    def action_own_settings(self) -> None:
        """Open the settings of whoever works here."""
        self.open_screen("own_settings")

    @property
    def unfinished(self) -> bool:
        """True while something was typed here that is not kept yet."""
        return False

    def ask_unfinished(self) -> None:
        """Ask what becomes of what is unfinished."""

    def leave_app(self) -> bool:
        """Leave the application from here, asking first where a case is not saved; False: no case is held here."""
        return False

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


class DialogScreen(ModalScreen[ScreenResultType], BaseScreen[ScreenResultType]):
    """A screen that lies over another and asks for something; its style is that of the first of its bases."""

    SCOPE = ASKED

    def action_leave(self) -> None:
        """Leave everything as it was, asking first when something was typed."""
        if self.unfinished:
            self.ask_unfinished()
        else:
            self.dismiss(None)

    def save_below(self) -> None:
        """Have the screen below save once this one has closed."""
        if isinstance(self.app, TypeAhead):
            self.app.type_next(BY_ID["save"].first_key)
