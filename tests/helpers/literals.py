"""Every text in the code of a file."""

from __future__ import annotations

import ast
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


def literals(path: Path) -> Iterator[str]:
    """Yield every text in the code of a file, docstrings and annotations left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    expressions = (node.value for node in ast.walk(tree) if isinstance(node, ast.Expr))
    notes = {id(value) for value in expressions if isinstance(value, ast.Constant)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in notes:
            yield node.value
