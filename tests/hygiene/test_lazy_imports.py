"""An import hides inside a function only where it spares something heavy; every other one stands at the top.

Which imports are spared is read from the sources: what a module brings along is itself and all that it and what it
imports import at their top.
"""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest

import appraise

PACKAGE = Path(appraise.__file__).parent

HEAVY = {
    "PIL",  # pictures
    "babel",  # locales
    "codecs",  # encodings, named by a person
    "fcntl",  # not on every system
    "numpy",
    "psycopg",
    "pyarrow",
    "rich",
    "shtab",
    "sqlite3",
    "textual",
    "tomlkit",
    "tomli_w",
    "typst",
}
"""Libraries that are loaded where they are used."""

MANY = 8
"""So many of our own modules are heavy too: each brings classes that are compiled when it is loaded."""

COLD = "appraise.cli"
"""Here every module counts: a command loads what it needs to read its options, and the rest when it runs."""

SCREENS = ("appraise.app", "appraise.screens")
"""Screens that lead to one another are imported where they are pushed."""


def name_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {name_of(path): path for path in sorted(PACKAGE.rglob("*.py"))}


@cache
def imports(module: str) -> tuple[list[str], list[tuple[str, int]]]:
    """Return what a module imports at its top and inside functions, the latter with their lines."""
    top: list[str] = []
    inside: list[tuple[str, int]] = []

    def look(node: ast.AST, *, within: bool) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.dump(child.test):
                continue
            for name in targets(child):
                if within:
                    inside.append((name, child.lineno))
                else:
                    top.append(name)
            look(child, within=within or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda))

    look(ast.parse(MODULES[module].read_text(encoding="utf-8")), within=False)
    return top, inside


def targets(node: ast.AST) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if not isinstance(node, ast.ImportFrom):
        return []
    full = {f"{node.module}.{alias.name}" for alias in node.names}
    return sorted(full & MODULES.keys()) or [str(node.module)]


@cache
def brought(module: str) -> frozenset[str]:
    """Return our modules and the outside packages that an import brings along."""
    found: set[str] = set()
    left = [module]
    while left:
        parts = left.pop().split(".")
        for name in (".".join(parts[: n + 1]) for n in range(len(parts))):
            if name in MODULES and name not in found:
                found.add(name)
                left += imports(name)[0]
            elif parts[0] != "appraise":
                found.add(parts[0])
    return frozenset(found)


def needless(module: str) -> list[str]:
    """Return the imports inside functions of a module that spare nothing heavy."""
    found = []
    for name, line in imports(module)[1]:
        if module.startswith(SCREENS):
            continue
        spared = brought(name) - brought(module)
        many = 1 if module.startswith(COLD) else MANY
        heavy = name.split(".")[0] in HEAVY or spared & HEAVY
        if not heavy and sum(one.startswith("appraise") for one in spared) < many:
            found.append(f"line {line}: {name}")
    return found


@pytest.mark.parametrize("module", sorted(MODULES))
def test_an_import_inside_a_function_spares_something_heavy(module):
    assert needless(module) == [], "these stand at the top"


def test_no_circle_hides_in_a_function():
    circles = {
        (module, name)
        for module in MODULES
        if not module.startswith(SCREENS)
        for name, _ in imports(module)[1]
        if name in MODULES and module in brought(name) and not name.startswith(f"{module}.")
    }
    assert circles == set()


def test_what_is_brought_along_is_found():
    assert "numpy" in brought("appraise.engine.valuation")
    assert "appraise.model.unsafe" in brought("appraise.model.problem")
    assert "numpy" not in brought("appraise.cli.value")
    assert needless("appraise.cli.value") == []
