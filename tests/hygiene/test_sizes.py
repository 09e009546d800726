"""How large modules are, and that what they import when they run leads back to none of them."""

from __future__ import annotations

import ast
from functools import cache
from importlib import import_module
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

import appraise
from appraise import app
from appraise.screens.base_screen import BaseScreen

if TYPE_CHECKING:
    from collections.abc import Iterator

PACKAGE = Path(appraise.__file__).parent
MODULES = {
    ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): path
    for path in PACKAGE.rglob("*.py")
}


def test_no_module_is_long():
    lines = {name: len(path.read_text(encoding="utf-8").splitlines()) for name, path in MODULES.items()}
    assert {name: count for name, count in lines.items() if count > 400} == {}
    assert median(lines.values()) <= 150


def test_no_import_leads_back_when_it_runs():
    """Imports inside functions count; those for the type checker alone do not."""
    assert [name for name in MODULES if name in _reached(name, _imports())] == []


def test_screens_open_each_other_by_names_that_the_application_knows():
    """What is opened by its name is imported by the application alone, which no screen imports."""
    asked = {
        (path.stem, node.args[0].value)
        for path in (PACKAGE / "app.py", *(PACKAGE / "screens").glob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and ast.unparse(node.func).endswith(".open_screen")
        if isinstance(node.args[0], ast.Constant)
    }
    assert {name for _, name in asked} == set(app._SCREENS)
    assert [
        name for name in MODULES if name.startswith("appraise.screens") and "appraise.app" in _imports()[name]
    ] == []
    for module, kind in app._SCREENS.items():
        assert issubclass(getattr(import_module(f"appraise.screens.{module}"), kind), BaseScreen)


def _imported(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
        return
    if isinstance(node, ast.ImportFrom) and node.module:
        names = (f"{node.module}.{each.name}" for each in node.names)
        yield from (name if name in MODULES else node.module for name in names)
    for below in ast.iter_child_nodes(node):
        yield from _imported(below)


def _reached(start: str, imports: dict[str, set[str]]) -> set[str]:
    waiting, seen = list(imports[start]), set()
    while waiting:
        name = waiting.pop()
        if name in MODULES and name not in seen:
            seen.add(name)
            waiting.extend(imports[name])
    return seen


@cache
def _imports() -> dict[str, set[str]]:
    return {name: set(_imported(ast.parse(path.read_text(encoding="utf-8")))) for name, path in MODULES.items()}
