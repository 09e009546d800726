"""A photo in the cells of a terminal: as coloured half cells, or by the Kitty graphics protocol.

The protocol is published; a terminal is told and never asked. A picture is sent once under a number, and shows
wherever a cell holds the placeholder, with the row and the column that it shows as diacritics and the number as its
colour. What draws, covers and scrolls cells does so with the picture.
"""

from __future__ import annotations

from base64 import standard_b64encode
from dataclasses import dataclass
from functools import lru_cache, wraps
from io import BytesIO
from typing import TYPE_CHECKING, Protocol, TypeVar

from appraise.report.pictures import draw_mark, scaled, too_large, unreadable

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from appraise.model.photo_mark import Mark


T = TypeVar("T", covariant=True)

Colour = tuple[int, int, int]
"""Red, green, blue [0–255]."""

Cells = tuple[tuple[tuple[Colour, Colour], ...], ...]
"""Rows of cells, each with the colour of its upper and of its lower half."""

_BEHIND: Colour = (255, 255, 255)
"""Colour behind a transparent picture."""


class _Draws(Protocol[T]):
    def __call__(self, path: Path, across: int, down: int, mark: Mark | None = None) -> T | str: ...


def _kept_by_state(many: int) -> Callable[[_Draws[T]], _Draws[T]]:
    """Keep so many pictures, each by the state of its file, its cells and its mark; say why there is none."""

    def keeping(draw: _Draws[T]) -> _Draws[T]:
        kept = lru_cache(maxsize=many)(lambda path, _changed, _size, across, down, mark: draw(path, across, down, mark))

        @wraps(draw)
        def drawn(path: Path, across: int, down: int, mark: Mark | None = None) -> T | str:
            try:
                state = path.stat()
                return kept(path, state.st_mtime_ns, state.st_size, max(1, across), max(1, down), mark)
            except OSError as error:
                return unreadable(error)

        return drawn

    return keeping


@_kept_by_state(32)
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
    from PIL import Image

    shot = too_large(path) or scaled(path, (across, 2 * down))
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


PLACEHOLDER = "\U0010eeee"
"""The private character that stands in each cell of a picture."""

_DIACRITICS = (
    "0305 030D-030E 0310 0312 033D-033F 0346 034A-034C 0350-0352 0357 035B 0363-036F 0483-0487 0592-0595 0597-0599 "
    "059C-05A1 05A8-05A9 05AB-05AC 05AF 05C4 0610-0617 0657-065B 065D-065E 06D6-06DC 06DF-06E2 06E4 06E7-06E8 "
    "06EB-06EC 0730 0732-0733 0735-0736 073A 073D 073F-0741 0743 0745 0747 0749-074A 07EB-07F1 07F3 0816-0819 "
    "081B-0823 0825-0827 0829-082D 0951 0953-0954 0F82-0F83 0F86-0F87 135D-135F 17DD 193A 1A17 1A75-1A7C 1B6B "
    "1B6D-1B73 1CD0-1CD2 1CDA-1CDB 1CE0 1DC0-1DC1 1DC3-1DC9 1DCB-1DCC 1DD1-1DE6 1DFE 20D0-20D1 20D4-20D7 20DB-20DC "
    "20E1 20E7 20E9 20F0 2CEF-2CF1 2DE0-2DFF A66F A67C-A67D A6F0-A6F1 A8E0-A8F1 AAB0 AAB2-AAB3 AAB7-AAB8 AABE-AABF "
    "AAC1 FE20-FE26 10A0F 10A38 1D185-1D189 1D1AA-1D1AD 1D242-1D244"
)
"""The protocol's table, in its order: the marks above a letter of Unicode 6.0 that never join one."""

LARGEST_NUMBER = 0xFFFFFF
"""Of a picture: as much as a colour of 24 bits holds."""

PAYLOAD = 4096
"""Letters of a picture that one command carries at most, as the protocol has it."""

_PIXELS = 10
"""Of a picture across a cell, twice as many down: about what cells have."""

_LONGEST = 1200
"""Longest side of the picture sent [pixels]: sharp on a whole screen, sent over a line in a second or two."""

_QUIET = "q=2"
"""The terminal answers nothing, not even that something failed."""


def _table() -> Iterator[str]:
    for run in _DIACRITICS.split():
        first, _, last = run.partition("-")
        yield from map(chr, range(int(first, 16), int(last or first, 16) + 1))


DIACRITICS = tuple(_table())
"""By row or column, from 0, the mark that says it."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """A picture made ready for the cells that it will lie over."""

    png: bytes
    columns: int
    rows: int


@_kept_by_state(8)
def fitted(path: Path, across: int, down: int, mark: Mark | None = None) -> Fitted | str:
    """Return a picture for at most so many cells, its proportions kept: a cell is taken for twice as high as wide.

    Args:
        path: The file, all links resolved.
        across: Cells from left to right, at most.
        down: Cells from top to bottom, at most.
        mark: An arrow or a circle to draw on it; none: the picture alone.

    Returns:
        The picture, or why it cannot be shown.
    """
    across, down = (min(cells, len(DIACRITICS)) for cells in (across, down))
    box = (min(_PIXELS * across, _LONGEST), min(2 * _PIXELS * down, _LONGEST))
    shot = too_large(path) or scaled(path, box)
    if isinstance(shot, str):
        return shot
    draw_mark(shot, mark)
    width, height = shot.size
    scale = min(1.0, across / width, 2 * down / height)
    out = BytesIO()
    shot.info = {}  # what the camera wrote is nothing to the terminal
    shot.save(out, "PNG", compress_level=4)
    return Fitted(out.getvalue(), max(1, round(width * scale)), max(1, round(height * scale / 2)))


def placeholder(row: int, column: int) -> str:
    """Return what stands in one cell of a picture; its colour says of which."""
    return f"{PLACEHOLDER}{DIACRITICS[row]}{DIACRITICS[column]}"


def colour(number: int) -> tuple[int, int, int]:
    """Return red, green, blue that say the number of a picture."""
    return number >> 16 & 255, number >> 8 & 255, number & 255


def sending(number: int, picture: Fitted) -> Iterator[str]:
    """Yield the commands that hand a picture over for the cells that will name it.

    Args:
        number: Of the picture, 1 to `LARGEST_NUMBER`.
        picture: The picture.
    """
    letters = standard_b64encode(picture.png).decode("ascii")
    parts = [letters[at : at + PAYLOAD] for at in range(0, len(letters), PAYLOAD)]
    keys = f"a=T,U=1,f=100,i={number},c={picture.columns},r={picture.rows},"
    for at, part in enumerate(parts, 1):
        yield _command(f"{keys}{_QUIET},m={int(at < len(parts))}", part)
        keys = ""


def removal(number: int) -> str:
    """Return the command that takes a picture back, and what it held with it."""
    return _command(f"a=d,d=I,i={number},{_QUIET}")


def passed_through(command: str) -> str:
    """Return a command as tmux hands it on to the terminal around it, where its `allow-passthrough` is on."""
    return "\x1bPtmux;" + command.replace("\x1b", "\x1b\x1b") + "\x1b\\"


def _command(keys: str, payload: str = "") -> str:
    return f"\x1b_G{keys}{';' if payload else ''}{payload}\x1b\\"
