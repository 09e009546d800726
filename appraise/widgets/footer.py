"""The last line of a screen: its most used commands, and the way to all others; a click does what the key does."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content
from textual.widget import Widget

from appraise.commands import BY_ID
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from textual import events
    from textual.binding import ActiveBinding
    from textual.screen import Screen

_EDGE = "▏"
"""Before the way to all other commands."""


@dataclass(frozen=True, slots=True)
class FootKey:
    """A key at the foot of a screen."""

    key: str
    name: str
    """As people know it."""
    description: str
    enabled: bool
    tooltip: str

    @property
    def width(self) -> int:
        """Cells that it takes."""
        return cell_len(self.name) + 1 + cell_len(self.description)


class Foot(Widget, can_focus=False):
    """Keys with what they do; the way to every other command stays at the right, however narrow the screen.

    All are drawn by one widget. Textual's own footer makes one for each key anew whenever the focus moves, which is
    most of what opening a screen costs.
    """

    ALLOW_SELECT = False
    DEFAULT_CSS = """
    Foot { dock: bottom; height: 1; color: $footer-foreground; background: $footer-background; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.keys: Sequence[FootKey] = ()
        """From left to right; the last is the way to all other commands, where there is one."""
        self._palette = False
        self._skipped = 0
        """Keys rolled out of sight at the left, where not all have room."""
        self._pointed: FootKey | None = None

    def on_mount(self) -> None:
        """Follow what keys work."""
        self.screen.bindings_updated_signal.subscribe(self, self._follow)

    def on_unmount(self) -> None:
        """Follow them no longer."""
        self.screen.bindings_updated_signal.unsubscribe(self)

    def _follow(self, screen: Screen[object]) -> None:
        if not (self.app.app_focus and self.is_attached and screen is self.screen):
            return
        active, palette = screen.active_bindings, BY_ID["command-palette"].first_key
        shown: dict[str, ActiveBinding] = {}
        for each in active.values():
            if each.binding.show:
                shown.setdefault(each.binding.action, each)
        results = list(shown.values())
        self._palette = self.app.ENABLE_COMMAND_PALETTE and palette in active
        results += [active[palette]] if self._palette else []
        keys = tuple(
            FootKey(
                each.binding.key,
                self.app.get_key_display(each.binding),
                each.binding.description,
                each.enabled,
                each.tooltip,
            )
            for each in results
        )
        if keys != self.keys:
            self.keys, self._skipped = keys, 0
            self.refresh()

    def render(self) -> Content:
        """Draw the line."""
        places, width = self._places(), self.size.width
        line, end = Content(""), 0
        for start, key in places:
            if self._palette and key is self.keys[-1]:
                line = Content.assemble(line[: start - 1], " " * (start - 1 - end), (_EDGE, "$foreground 20%"))
            elif start > end:
                line = Content.assemble(line, " " * (start - end))
            line += self._drawn(key)
            end = start + key.width
        return line[:width]

    def _drawn(self, key: FootKey) -> Content:
        pointed = " on $block-hover-background" if key is self._pointed else ""
        dim = "" if key.enabled else "dim "
        return Content.assemble(
            (key.name, f"bold {dim}$footer-key-foreground{pointed}"),
            (f" {key.description}", f"{dim}$footer-description-foreground{pointed}"),
        )

    def _places(self) -> list[tuple[int, FootKey]]:
        """Return the keys from left to right with where they begin; the last may cover others."""
        keys = self.keys[:-1] if self._palette else self.keys
        keys = keys[self._skipped :]
        starts = accumulate((key.width + 1 for key in keys), initial=0)
        places = list(zip(starts, keys, strict=False))
        if self._palette:
            places.append((self.size.width - self.keys[-1].width, self.keys[-1]))
        return places

    def _key_at(self, column: int) -> FootKey | None:
        at = [key for start, key in self._places() if start <= column < start + key.width]
        return at[-1] if at else None

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Press the key that the mouse is on."""
        key = self._key_at(event.x)
        if key is None:
            return
        if key.enabled:
            self.app.simulate_key(key.key)
        else:
            self.app.bell()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """Show which key the mouse is on, and what it does."""
        self._point(self._key_at(event.x))

    def on_leave(self) -> None:
        """Show that it is on none."""
        self._point(None)

    def _point(self, key: FootKey | None) -> None:
        if key is not self._pointed:
            self._pointed = key
            self.tooltip = key.tooltip if key is not None else None
            self.styles.pointer = "default" if key is None else "pointer"
            self.refresh()

    def on_mouse_scroll_down(self) -> None:
        """Roll to the keys for which there was no room."""
        self._roll(1)

    def on_mouse_scroll_up(self) -> None:
        """Roll back."""
        self._roll(-1)

    def _roll(self, step: int) -> None:
        places = self._places()
        most = places[-1][0] - 1 if self._palette else self.size.width
        hidden = any(start + key.width > most for start, key in places[: len(places) - self._palette])
        if step < 0 or hidden:
            self._skipped = max(0, self._skipped + step)
            self.refresh()
