"""A photo as coloured half cells: the upper half of a cell in one colour, the lower in another."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from appraise.report.pictures import draw_mark, scaled, too_large, unreadable

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.photo_mark import Mark

Colour = tuple[int, int, int]
"""Red, green, blue [0–255]."""

Cells = tuple[tuple[tuple[Colour, Colour], ...], ...]
"""Rows of cells, each with the colour of its upper and of its lower half."""

_BEHIND: Colour = (255, 255, 255)
"""What shows through a transparent picture."""


def half_cells(path: Path, across: int, down: int, mark: Mark | None = None) -> Cells | str:
    """Return a picture in at most so many cells, its proportions kept: a half cell is taken for a square.

    Args:
        path: The file, all links resolved.
        across: Cells from left to right, at most.
        down: Cells from top to bottom, at most.
        mark: An arrow or a circle to draw on it; none: the picture alone.

    Returns:
        The cells, or why it cannot be shown.
    """
    try:
        state = path.stat()
        return _cells(path, state.st_mtime_ns, state.st_size, max(1, across), max(1, down), mark)
    except OSError as error:
        return unreadable(error)


@lru_cache(maxsize=32)
def _cells(path: Path, _changed: int, _size: int, columns: int, rows: int, mark: Mark | None) -> Cells | str:
    from PIL import Image

    shot = too_large(path) or scaled(path, (columns, 2 * rows))
    if isinstance(shot, str):
        return shot
    if shot.mode == "RGBA":
        whole = Image.new("RGB", shot.size, _BEHIND)
        whole.paste(shot, mask=shot.getchannel("A"))
        shot = whole
    draw_mark(shot, mark, least=1)
    width, height = shot.size
    flat = shot.tobytes()
    pixels = [(flat[at], flat[at + 1], flat[at + 2]) for at in range(0, 3 * width * height, 3)]
    lines = [tuple(pixels[start : start + width]) for start in range(0, len(pixels), width)]
    if height % 2:
        lines.append(lines[-1])
    return tuple(tuple(zip(upper, lower, strict=True)) for upper, lower in zip(lines[::2], lines[1::2], strict=True))
