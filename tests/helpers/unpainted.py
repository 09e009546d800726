"""Frames that nobody looks at are not painted: a screen is laid out as ever and drawn when a test reads it."""

from __future__ import annotations

from textual._compositor import Compositor

from tests.helpers.depth import is_deep


def paint_what_is_read(monkeypatch) -> None:
    """Leave out, in a quick run, what Textual would draw between two looks; a deep run paints every frame."""
    if is_deep():
        return
    painted = Compositor.render_update

    def render_update(self, full: bool = False, screen_stack=None, simplify: bool = False):
        if full:
            return painted(self, full=full, screen_stack=screen_stack, simplify=simplify)
        self._dirty_regions.clear()
        return None

    monkeypatch.setattr(Compositor, "render_update", render_update)
