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

    from PIL.Image import Image

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


def _of_file(
    many: int, box: Callable[[int, int], tuple[int, int]]
) -> Callable[[Callable[[Image, int, int, Mark | None], T]], _Draws[T]]:
    """Draw from a file, scaled into a box of pixels; keep the newest pictures by file state, cells and mark.

    Args:
        many: Pictures kept.
        box: Width and height [pixels] for so many cells across and down.

    Returns:
        A function of file (all links resolved), cells across, cells down and mark (none: the picture alone), which
        returns the picture or why it cannot be shown.
    """

    def keeping(draw: Callable[[Image, int, int, Mark | None], T]) -> _Draws[T]:
        @lru_cache(maxsize=many)
        def kept(path: Path, _changed: int, _size: int, across: int, down: int, mark: Mark | None) -> T | str:
            shot = too_large(path) or scaled(path, box(across, down))
            return shot if isinstance(shot, str) else draw(shot, across, down, mark)

        @wraps(draw)
        def drawn(path: Path, across: int, down: int, mark: Mark | None = None) -> T | str:
            try:
                state = path.stat()
                return kept(path, state.st_mtime_ns, state.st_size, max(1, across), max(1, down), mark)
            except OSError as error:
                return unreadable(error)

        return drawn

    return keeping


@_of_file(32, lambda across, down: (across, 2 * down))
def half_cells(shot: Image, _across: int, _down: int, mark: Mark | None) -> Cells:
    """Return a picture as half cells, each taken for a square."""
    from PIL.Image import new

    if shot.mode == "RGBA":
        whole = new("RGB", shot.size, _BEHIND)
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


def _box(across: int, down: int) -> tuple[int, int]:
    across, down = _cells(across, down)
    return min(_PIXELS * across, _LONGEST), min(2 * _PIXELS * down, _LONGEST)


def _cells(across: int, down: int) -> tuple[int, int]:
    return min(across, len(DIACRITICS)), min(down, len(DIACRITICS))


@_of_file(8, _box)
def fitted(shot: Image, across: int, down: int, mark: Mark | None) -> Fitted:
    """Return a picture for the terminal to draw, a cell taken for twice as high as wide."""
    across, down = _cells(across, down)
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
