"""SVG canvas: lines, shapes and text as elements with presentation attributes only.

Renderers that know no style sheets (usvg, librsvg) and browsers draw the same from these.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from rich.cells import cell_len

from appraise.model.locale_format import PLAIN, Formatter
from appraise.report.charts.words import fold, word

if TYPE_CHECKING:
    from collections.abc import Sequence

FONTS = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif"
"""Families asked for, in this order; whatever there is of them has about the same widths."""

PX_PER_MM = 96.0 / 25.4
"""User units per millimetre: CSS pixels, so that sizes of type are as in a page."""

INK = "#1a1a1a"
"""Text and the mark to look at first."""
QUIET = "#595959"
"""Ticks, units, second thoughts."""
MARK = "#00588c"
"""Measured text."""
FRAME = "#767676"
"""Outlines, axes, edges of bands."""
PAPER = "#ffffff"
SHADE = "#ebebeb"
"""Ground of what is wanted: its edge, not its shade, tells where it ends."""
GRID = "#d9d9d9"
"""Lines to guide the eye; nothing is lost where they cannot be seen."""

COLOURS = (INK, "#00588c", "#a64200", "#00694a", "#8a3b6b", "#5a5a00", "#4b4b4b", "#7a2b2b")
"""Of curves and series; darkened from M. Okabe and K. Ito, Color Universal Design, 2008 (from memory). Nothing is
told by colour alone: dashes, shapes and letters tell the same."""

DASHES = ("", "8 3", "2 2", "8 3 2 3", "5 3", "12 3 2 3 2 3", "1 3", "14 4")
"""Of curves, the first drawn thicker than the others."""

SHAPES = ("circle", "square", "triangle", "diamond", "drop", "cross")
"""Of readings."""

_NARROW = frozenset("iljtfrI.,:;'|!()[] -·’")
_WIDE = frozenset("mwMW@%—…")


def plain(text: str) -> str:
    """Return text as one line of characters that XML allows, as element content."""
    return escape(word(text))


def text_width(text: str, size: float) -> float:
    """Return about how wide a text is in a sans serif face [px], rather more than less.

    Args:
        text: Anything.
        size: Of the type [px].
    """
    total = 0.0
    for letter in text:
        if letter in _NARROW:
            total += 0.36
        elif letter in _WIDE:
            total += 0.95
        elif cell_len(letter) > 1:
            total += 1.0
        else:
            total += 0.72 if letter.isupper() else 0.6
    return total * size


def folded(text: str, room: float, size: float, most: int) -> list[str]:
    """Return text in lines of at most `room` [px], set in `size` [px]; see `folding.fold`."""
    return fold(text, room, most, lambda line: text_width(line, size))


def px(value: float) -> str:
    """Return a length with at most two decimals, always the same way."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class Pen:
    """Draws elements one after the other."""

    def __init__(self, manner: Formatter = PLAIN) -> None:
        self.manner = manner
        """Formatter of the reader."""
        self._drawn: list[str] = []

    def drawn(self) -> str:
        """Return everything drawn, one element a line."""
        return "\n".join(self._drawn)

    def line(self, x1: float, y1: float, x2: float, y2: float, stroke: str, width: float = 1.0, dash: str = "") -> None:
        """Draw a straight line."""
        places = f'x1="{px(x1)}" y1="{px(y1)}" x2="{px(x2)}" y2="{px(y2)}"'
        self._drawn.append(f"<line {places} {_stroke(stroke, width, dash)}/>")

    def path(self, points: Sequence[tuple[float, float]], stroke: str, width: float = 1.0, dash: str = "") -> None:
        """Draw a line through points."""
        places = " ".join(f"{px(x)},{px(y)}" for x, y in points)
        joined = 'fill="none" stroke-linejoin="round"'
        self._drawn.append(f'<polyline points="{places}" {joined} {_stroke(stroke, width, dash)}/>')

    def area(self, points: Sequence[tuple[float, float]], fill: str, stroke: str = "", width: float = 1.0) -> None:
        """Draw a filled shape."""
        places = " ".join(f"{px(x)},{px(y)}" for x, y in points)
        edge = f" {_stroke(stroke, width, '')}" if stroke else ""
        self._drawn.append(f'<polygon points="{places}" fill="{fill}"{edge}/>')

    def box(
        self, x: float, y: float, width: float, height: float, fill: str, stroke: str = "", line: float = 1.0
    ) -> None:
        """Draw a rectangle."""
        edge = f" {_stroke(stroke, line, '')}" if stroke else ""
        size = f'width="{px(max(0.0, width))}" height="{px(height)}"'
        self._drawn.append(f'<rect x="{px(x)}" y="{px(y)}" {size} fill="{fill}"{edge}/>')

    def disc(self, x: float, y: float, radius: float, fill: str, stroke: str = "", width: float = 1.0) -> None:
        """Draw a circle."""
        edge = f" {_stroke(stroke, width, '')}" if stroke else ""
        self._drawn.append(f'<circle cx="{px(x)}" cy="{px(y)}" r="{px(radius)}" fill="{fill}"{edge}/>')

    def shape(self, name: str, x: float, y: float, radius: float, colour: str, *, hollow: bool = False) -> None:
        """Draw the mark of a reading.

        Args:
            name: One of `SHAPES`.
            x: Of the middle.
            y: Of the middle.
            radius: About.
            colour: Of its edge, and of its inside unless it is hollow.
            hollow: White inside.
        """
        fill, r = (PAPER if hollow else colour), radius
        if name == "circle":
            self.disc(x, y, r, fill, colour, 1.4)
            return
        outline = {
            "square": [(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)],
            "triangle": [(0.0, -1.15), (1.1, 0.85), (-1.1, 0.85)],
            "diamond": [(0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)],
            "drop": [(0.0, 1.15), (1.1, -0.85), (-1.1, -0.85)],
            "cross": [
                (-0.4, -1.1), (0.4, -1.1), (0.4, -0.4), (1.1, -0.4), (1.1, 0.4), (0.4, 0.4),
                (0.4, 1.1), (-0.4, 1.1), (-0.4, 0.4), (-1.1, 0.4), (-1.1, -0.4), (-0.4, -0.4),
            ],
        }[name]  # fmt: skip
        self.area([(x + dx * r, y + dy * r) for dx, dy in outline], fill, colour, 1.4)

    def text(
        self, x: float, y: float, text: str, size: float, *, anchor: str = "start", fill: str = INK, bold: bool = False
    ) -> None:
        """Write one line.

        Args:
            x: Where it is anchored.
            y: Of the baseline.
            text: Whatever a person wrote; it is shown literally.
            size: [px].
            anchor: start | middle | end.
            fill: Colour.
            bold: Weight.
        """
        weight = ' font-weight="bold"' if bold else ""
        side = "" if anchor == "start" else f' text-anchor="{anchor}"'
        place = f'x="{px(x)}" y="{px(y)}" font-size="{px(size)}"'
        self._drawn.append(f'<text {place} fill="{fill}"{side}{weight}>{plain(text)}</text>')

    def pair(self, x: float, y: float, strong: str, rest: str, size: float) -> None:
        """Write a line that ends at `x`: its first words bold, the rest quiet."""
        place = f'x="{px(x)}" y="{px(y)}" font-size="{px(size)}" text-anchor="end"'
        first = f'<tspan font-weight="bold">{plain(strong)}</tspan>'
        # Apart by a space that no renderer drops: one moved by dx is left out of the width by which some place the end.
        last = f'<tspan fill="{QUIET}">\u00a0{plain(rest)}</tspan>' if rest else ""
        self._drawn.append(f'<text {place} fill="{INK}">{first}{last}</text>')


def _stroke(colour: str, width: float, dash: str) -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'stroke="{colour}" stroke-width="{px(width)}"{dashed}'


def crossing(points: Sequence[tuple[float, float]], height: float) -> float | None:
    """Return where along a falling line it first comes down to a height; none where it does not."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if y0 >= height >= y1:
            return x0 if y0 == y1 else x0 + (y0 - height) / (y0 - y1) * (x1 - x0)
    return None
