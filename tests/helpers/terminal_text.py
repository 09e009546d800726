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


def printed(*parts, width=80, colours=False):
    """Return what a terminal of that width would be sent."""
    stream = io.StringIO()
    console = Console(
        file=stream, width=width, force_terminal=colours, color_system="truecolor" if colours else None, markup=False
    )
    for part in parts:
        console.print(part)
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines()) + "\n"
