"""Frames that nobody looks at are not painted: a screen is laid out as ever and drawn when a test reads it.

Style sheets are the same in every application, and read once a process; so are the parameters of a callback.
"""

from __future__ import annotations

from textual import _callback
from textual._compositor import Compositor
from textual.css.stylesheet import Stylesheet

from tests.helpers.depth import is_deep

_RULES: dict[tuple, list] = {}
_PARAMETERS: dict[tuple, int] = {}


def paint_what_is_read(monkeypatch) -> None:
    """Leave out, in a quick run, what Textual would draw between two looks; a deep run paints every frame."""
    if is_deep():
        return
    painted = Compositor.render_update
    parsed = Stylesheet._parse_rules
    inspected = _callback._count_parameters

    def render_update(self, full: bool = False, screen_stack=None, simplify: bool = False):
        if full:
            return painted(self, full=full, screen_stack=screen_stack, simplify=simplify)
        self._dirty_regions.clear()
        return None

    def parse_rules(self, css: str, read_from, is_default_rules=False, tie_breaker=0, scope=""):
        place = (css, read_from, is_default_rules, tie_breaker, scope)
        key = (*place, frozenset(self._variables.items()))
        if key not in _RULES:
            _RULES[key] = parsed(self, *place)
        return _RULES[key]

    def count_parameters(func):
        code = getattr(func, "__code__", None)
        if code is None or hasattr(func, "__wrapped__") or hasattr(func, "__signature__"):
            return inspected(func)
        key = (code, hasattr(func, "__self__"))
        if key not in _PARAMETERS:
            _PARAMETERS[key] = inspected(func)
        return _PARAMETERS[key]

    monkeypatch.setattr(_callback, "_count_parameters", count_parameters)
    monkeypatch.setattr(Compositor, "render_update", render_update)
    monkeypatch.setattr(Stylesheet, "_parse_rules", parse_rules)
