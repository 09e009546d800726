"""How large modules are, and that what they import when they run leads back to none of them."""

from __future__ import annotations

import ast
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

import appraise

if TYPE_CHECKING:
    from collections.abc import Iterator

PACKAGE = Path(appraise.__file__).parent
MODULES = {
    ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): path
    for path in PACKAGE.rglob("*.py")
}
SCREENS = "appraise.screens."
"""Screens open each other, as links of a page do: their circles are left to them."""


def test_no_module_is_long():
    lines = {name: len(path.read_text(encoding="utf-8").splitlines()) for name, path in MODULES.items()}
    assert {name: count for name, count in lines.items() if count > 400} == {}
    assert median(lines.values()) <= 150


def test_no_import_leads_back_when_it_runs():
    """Imports inside functions count; those for the type checker alone do not."""
    imports = {name: set(_imported(ast.parse(path.read_text(encoding="utf-8")))) for name, path in MODULES.items()}
    circles = [name for name in MODULES if not name.startswith(SCREENS) and name in _reached(name, imports)]
    assert circles == []


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
