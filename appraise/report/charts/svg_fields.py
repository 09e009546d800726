"""Charts over a pair of axes as vector pictures: curves and readings."""

from __future__ import annotations

from string import ascii_uppercase
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.report.charts.scale import Axis, number_axis, scatter_axis, scatter_heights
from appraise.report.charts.svg_canvas import (
    COLOURS,
    DASHES,
    FRAME,
    GRID,
    INK,
    PAPER,
    QUIET,
    SHADE,
    SHAPES,
    crossing,
    folded,
    text_width,
)
from appraise.report.charts.svg_rows import SIZE, SMALL

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.chart import Band, Curve, Curves, Scatter
    from appraise.report.charts.svg_canvas import Pen

_HEIGHT = 200.0
"""Of the field [px]."""
_WIDE = 480.0
"""From this width on the legend of curves stands beside them [px]."""
_LEGEND = 0.40
"""Share of the width that it takes there."""
_SAMPLE = 34.0


@dataclass(frozen=True, slots=True)
class _Field:
    """The rectangle that curves and readings are drawn in."""

    left: float
    right: float
    top: float
    bottom: float
    across: Axis
    up: Axis

    def place(self, x: float, y: float) -> tuple[float, float]:
        """Return where a point lies in the picture."""
        return (
            self.left + self.across.at(x) * (self.right - self.left),
            self.bottom - self.up.at(y) * (self.bottom - self.top),
        )

    def frame(self, pen: Pen, x: str, y: str) -> float:
        """Draw the axes with their ticks and names; return where the drawing ends."""
        for value, text in self.up.ticks:
            _, at = self.place(self.across.low, value)
            pen.line(self.left, at, self.right, at, GRID)
            pen.text(self.left - 6, at + SMALL * 0.35, text, SMALL, anchor="end", fill=QUIET)
        pen.line(self.left, self.top, self.left, self.bottom, FRAME)
        pen.line(self.left, self.bottom, self.right, self.bottom, FRAME)
        for value, text in self.across.ticks:
            at, _ = self.place(value, self.up.low)
            pen.line(at, self.bottom, at, self.bottom + 4, FRAME)
            pen.text(at, self.bottom + 15, text, SMALL, anchor="middle", fill=QUIET)
        pen.text(0, self.top - 8, folded(y, self.right, SMALL, 1)[0], SMALL, fill=QUIET)
        if not x:
            return self.bottom + 20
        pen.text(self.right, self.bottom + 29, folded(x, self.right, SMALL, 1)[0], SMALL, anchor="end", fill=QUIET)
        return self.bottom + 34


def _left_of(axis: Axis) -> float:
    return max(text_width(text, SMALL) for _, text in axis.ticks) + 8


def draw_curves(pen: Pen, chart: Curves, top: float, width: float) -> float:
    """Draw curves below `top`; return where the drawing ends [px]."""
    wide = width >= _WIDE
    ends = chart.y_ends or tuple(y for curve in chart.curves for _, y in curve.points)
    up = number_axis(ends, 6, pen.manner, loose=chart.y_ends is None)
    left = _left_of(up)
    right = width * (1 - _LEGEND) - 16 if wide else width - 14
    across = number_axis(
        [x for curve in chart.curves for x, _ in curve.points], int((right - left) / 55), pen.manner, loose=False
    )
    field = _Field(left, right, top + 16, top + 16 + _HEIGHT, across, up)
    end = field.frame(pen, chart.x, chart.y)
    if chart.level is not None:
        y = field.place(across.low, chart.level)[1]
        pen.line(left, y, right, y, FRAME, 1.2)
    for n, curve in reversed(list(enumerate(chart.curves))):
        places = [field.place(*point) for point in curve.points]
        pen.path(places, _colour(n), _weight(curve), _dash(n))
    for n, curve in enumerate(chart.curves):
        if curve.mark is not None:
            pen.disc(*field.place(*curve.mark), 3.4, PAPER, _colour(n), 1.6)
    for n, curve in enumerate(chart.curves):
        at, height = _tag_place(field, curve, n, len(chart.curves))
        _tag(pen, max(at, left + 9), height, n)
    x, y = (width * (1 - _LEGEND) + 8, top + 16) if wide else (1.0, end + 18)
    return max(end, _curve_legend(pen, chart, x, y, width))


def _colour(n: int) -> str:
    return COLOURS[n % len(COLOURS)]


def _dash(n: int) -> str:
    return DASHES[n % len(DASHES)]


def _weight(curve: Curve) -> float:
    return 2.6 if curve.emphasis else 1.6


def _tag_place(field: _Field, curve: Curve, n: int, count: int) -> tuple[float, float]:
    """Return where the letter of a curve stands on it: each at a height of its own, so that none covers another."""
    share = 0.14 + 0.72 * (n / (count - 1) if count > 1 else 0.5)
    height = field.up.low + share * (field.up.high - field.up.low)
    at = crossing(curve.points, height)
    last = curve.points[-1]
    return field.place(*last) if at is None else field.place(at, height)


def _tag(pen: Pen, x: float, y: float, n: int) -> None:
    pen.disc(x, y, 7.0, PAPER, _colour(n), 1.2)
    pen.text(x, y + 3.4, ascii_uppercase[n % 26], 9.5, anchor="middle", fill=_colour(n), bold=True)


def _curve_legend(pen: Pen, chart: Curves, x: float, y: float, width: float) -> float:
    """Draw sample, letter, name and figure of every curve; return where the legend ends."""
    if chart.marked:
        pen.text(width, y, folded(chart.marked, width - x, SMALL, 1)[0], SMALL, anchor="end", fill=QUIET)
    y += 10
    for n, curve in enumerate(chart.curves):
        figure = text_width(curve.shown, SIZE) + 10 if curve.shown else 0.0
        start = x + _SAMPLE + 20
        lines = folded(curve.label, width - start - figure, SIZE * (1.06 if curve.emphasis else 1.0), 2)
        middle = y + 8
        _tag(pen, x + 7, middle, n)
        pen.line(x + 17, middle, x + 17 + _SAMPLE - 4, middle, _colour(n), _weight(curve), _dash(n))
        for at, line in enumerate(lines):
            pen.text(start, middle + SIZE * 0.35 + at * 13, line, SIZE, bold=curve.emphasis)
        pen.text(width, middle + SIZE * 0.35, curve.shown, SIZE, anchor="end", bold=True)
        y += 20 + 13 * (len(lines) - 1)
    return y + 6


def draw_scatter(pen: Pen, chart: Scatter, top: float, width: float) -> float:
    """Draw readings below `top`; return where the drawing ends [px]."""
    up = number_axis(scatter_heights(chart), 6, pen.manner)
    left = _left_of(up)
    margin = max((min(text_width(band.label, SMALL), 80.0) + 10 for band in chart.bands), default=14.0)
    right = width - max(margin, 14.0)
    field = _Field(
        left,
        right,
        top + 16,
        top + 16 + _HEIGHT,
        scatter_axis(chart, int((right - left) / 80), int((right - left) / 36), pen.manner),
        up,
    )
    for band in chart.bands:
        _shade(pen, field, band)
    end = field.frame(pen, chart.x, chart.y)
    for band in chart.bands:
        _edges(pen, field, band)
    _band_labels(pen, field, chart.bands, right + 5, margin - 9)  # a hair more than the widest needs
    if chart.trend is not None:
        pen.path([field.place(*point) for point in chart.trend.points], INK, 1.8, DASHES[1])
    for n, series in enumerate(chart.series):
        odd = set(series.odd)
        for point in series.points:
            hollow = point in odd
            pen.shape(
                SHAPES[n % len(SHAPES)], *field.place(*point), 4.6 if hollow else 3.2, _colour(n + 1), hollow=hollow
            )
    return _scatter_legend(pen, chart, end + 4, width)


def _shade(pen: Pen, field: _Field, band: Band) -> None:
    lower = [field.place(x, low) for x, low, _ in band.edges if low is not None]
    upper = [field.place(x, high) for x, _, high in band.edges if high is not None]
    if lower and upper:
        pen.area([*lower, *reversed(upper)], SHADE)


def _edges(pen: Pen, field: _Field, band: Band) -> None:
    """Draw the edges of a band; an open one gets short strokes on the side that is wanted."""
    for side in (1, 2):
        places = [field.place(edge[0], height) for edge in band.edges if (height := edge[side]) is not None]
        if len(places) < 2:
            continue
        pen.path(places, FRAME, 1.2, "4 3")
        if band.edges[0][3 - side] is None:
            _strokes(pen, places, -5.0 if side == 1 else 5.0)


def _strokes(pen: Pen, places: Sequence[tuple[float, float]], reach: float) -> None:
    (x0, y0), (x1, y1) = places[0], places[-1]
    for step in range(1, 20):
        x, y = x0 + (x1 - x0) * step / 20, y0 + (y1 - y0) * step / 20
        pen.line(x, y, x + 3, y + reach, FRAME)


def _band_labels(pen: Pen, field: _Field, bands: Sequence[Band], x: float, room: float) -> None:
    """Write the names of the bands at their right ends, moved apart where they would meet."""
    wanted = []
    for band in bands:
        _, low, high = band.edges[-1]
        ends = [end for end in (low, high) if end is not None]
        middle = sum(field.place(band.edges[-1][0], end)[1] for end in ends) / len(ends)
        wanted.append((middle, folded(band.label, room, SMALL, 3)))
    below = field.top
    for middle, lines in sorted(wanted):
        y = max(below, middle - 6.0 * len(lines))
        for at, line in enumerate(lines):
            pen.text(x, y + 9.5 + at * 12, line, SMALL, fill=QUIET)
        below = y + 12.0 * len(lines) + 3


def _scatter_legend(pen: Pen, chart: Scatter, y: float, width: float) -> float:
    """Draw mark, name and figure of every series, and the trend's; return where the legend ends."""
    x = 0.0
    names = [(series.label, series.shown) for series in chart.series]
    if chart.trend is not None:
        names.append((chart.trend.label, chart.trend.shown))
    for n, (label, shown) in enumerate(names):
        trend = n == len(chart.series)
        start = 34.0 if trend else 14.0
        words = f"{label}: {shown}" if shown else label
        needed = start + text_width(words, SIZE) + 20
        if x > 0.0 and x + needed > width:
            x, y = 0.0, y + 17
        if trend:
            pen.line(x, y + 8, x + 28, y + 8, INK, 1.8, DASHES[1])
        else:
            pen.shape(SHAPES[n % len(SHAPES)], x + 5, y + 8, 3.4, _colour(n + 1))
        pen.text(x + start, y + 12, folded(words, width - x - start, SIZE, 1)[0], SIZE)
        x += needed
    return y + 22
