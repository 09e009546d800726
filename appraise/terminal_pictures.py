"""Pictures that the terminal itself draws: handed over, and taken back when they go or the program ends."""

from __future__ import annotations

import os
from itertools import count
from typing import TYPE_CHECKING

from textual.app import App, ReturnType

from appraise.services.cell_pictures import LARGEST_NUMBER, passed_through, removal, sending
from appraise.store.settings_sections import KITTY

if TYPE_CHECKING:
    from rich.console import RenderableType

    from appraise.services.cell_pictures import Fitted
    from appraise.store.own_settings import OwnSettings


class TerminalPictures(App[ReturnType]):
    """An application that can hand pictures to its terminal, where a setting asks for it."""

    settings: OwnSettings

    def __init__(self) -> None:
        super().__init__()
        # Two programs in one terminal share its numbers: each begins elsewhere.
        self._numbers = count((os.getpid() & 0xFFFF) << 8)
        self._handed_over: set[int] = set()

    @property
    def draws_pictures(self) -> bool:
        """Whether pictures are to be handed over: asked for, and colours reach the terminal as they are.

        The terminal is never asked whether it can draw them: its answer would come among the keys.
        """
        driver = self._driver
        return (
            self.settings.screen.pictures == KITTY
            and driver is not None
            and not (driver.is_headless or driver.is_inline or driver.is_web or self._exit)
            and not self.no_color
            and self.console.color_system == "truecolor"
        )

    def hand_over(self, picture: Fitted) -> int:
        """Hand a picture over; return its number."""
        number = next(self._numbers) % LARGEST_NUMBER + 1
        self._handed_over.add(number)
        self._tell(*sending(number, picture))
        return number

    def take_back(self, number: int) -> None:
        """Have the terminal forget a picture; nothing where it has been forgotten."""
        if number in self._handed_over:
            self._handed_over.discard(number)
            self._tell(removal(number))

    def exit(
        self, result: ReturnType | None = None, return_code: int = 0, message: RenderableType | None = None
    ) -> None:
        """Leave, and take back what the terminal still holds: afterwards its other screen would not find it."""
        for number in tuple(self._handed_over):
            self.take_back(number)
        super().exit(result, return_code, message)

    def _tell(self, *commands: str) -> None:
        if self._driver is not None:
            wrapped = map(passed_through, commands) if os.environ.get("TMUX") else commands
            self._driver.write("".join(wrapped))
