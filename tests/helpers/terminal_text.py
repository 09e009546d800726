"""What the terminal shows, as lines."""

from __future__ import annotations

import io

from rich.console import Console


def drawn(*parts):
    """Return what Rich draws, as lines."""
    console = Console(file=io.StringIO(), width=4000)
    for part in parts:
        console.print(part)
    return console.file.getvalue().split("\n")
