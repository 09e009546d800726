"""Charts as vector pictures: ranges and bars one below the other, curves and readings over a pair of axes."""

from __future__ import annotations

from string import ascii_uppercase
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.report.charts.scale import Axis, beside, number_axis, range_axis, scatter_axis, scatter_heights
from appraise.report.charts.svg_canvas import (
    COLOURS,
    DASHES,
    FRAME,
    GRID,
    INK,
    MARK,
    PAPER,
    QUIET,
    SHADE,
    SHAPES,
    crossing,
    folded,
    text_width,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.chart import Band, Bars, Curve, Curves, Ranges, Scatter, Span
    from appraise.report.charts.svg_canvas import Pen


SIZE = 11.0
"""Of the type [px]."""
SMALL = 10.0
LINE = 14.0
"""Of a line of type [px]."""

_BETWEEN_TICKS = 60.0
_LABELS = 0.42
"""Share of the width that labels may take."""
_FIGURES = 0.34
"""Share that figures may take: more than any amount of money needs."""


def draw_ranges(pen: Pen, chart: Ranges, top: float, width: float) -> float:
    """Draw ranges below `top`; return where the drawing ends [px]."""
    left, right = 22.0, width - 22.0
    axis = range_axis(chart, int((right - left) / _BETWEEN_TICKS), pen.manner)
    heads = [_head(pen, row, width) for row in chart.rows]
    heights = [len(head) * LINE + _bar_room(row) for row, head in zip(chart.rows, heads, strict=True)]
    bottom = top + sum(heights)
    y = top
    for row, head, height in zip(chart.rows, heads, heights, strict=True):
        for at, line in enumerate(head):
            pen.text(0, y + at * LINE + SIZE, line, SIZE, bold=row.emphasis)
        _figures(pen, row, width, y + (len(head) - 1) * LINE + SIZE)
        _grid(pen, axis, left, right, y + len(head) * LINE + 1, y + height)
        _range(pen, row, axis, left, right, y + len(head) * LINE + 10)
        y += height
    return _foot(pen, axis, chart.axis, left, right, bottom)


def _head(pen: Pen, row: Span, width: float) -> list[str]:
    """Return the lines above a bar: the label, with an empty line for the figures where both do not fit on one."""
    taken = text_width(f"{row.shown[1]} {beside(row, pen.manner)}", SIZE) + 12
    if text_width(row.label, SIZE) <= width - taken:
        return [row.label]
    return [*folded(row.label, width, SIZE, 2), ""]


def _figures(pen: Pen, row: Span, width: float, y: float) -> None:
    pen.pair(width, y, row.shown[1], beside(row, pen.manner), SIZE)


def _bar_room(row: Span) -> float:
    return 40.0 if row.ticks else 26.0


def _range(pen: Pen, row: Span, axis: Axis, left: float, right: float, y: float) -> None:
    def place(value: float) -> float:
        return left + axis.at(value) * (right - left)

    half = 6.0 if row.emphasis else 4.0
    colour = MARK if row.emphasis else FRAME
    low, mid, high = place(row.low), place(row.mid), place(row.high)
    if row.ticks:
        ends = [place(value) for _, value in row.ticks]
        pen.line(min(ends), y, max(ends), y, INK, 1.4)
    pen.box(low, y - half, max(high - low, 1.0), 2 * half, colour)
    written = 0.0
    for label, value in row.ticks:
        x = place(value)
        inside = low < x < high
        pen.line(x, y - half, x, y + half, PAPER if inside else INK, 1.4)
        text = pen.manner.say("{percentile}th", percentile=label)
        if x - text_width(text, SMALL) / 2 > written:
            pen.text(x, y + half + 11, text, SMALL, anchor="middle", fill=QUIET)
            written = x + text_width(text, SMALL) / 2 + 4
    pen.shape("diamond", mid, y, half * 0.75, INK, hollow=True)


def draw_bars(pen: Pen, chart: Bars, top: float, width: float) -> float:
    """Draw bars below `top`; return where the drawing ends [px]."""
    outlined = any(row.whole is not None for row in chart.rows)
    if outlined and any(chart.legend):
        top = _legend(pen, chart, top, width)
    room = min(max(text_width(row.label, SIZE) for row in chart.rows), _LABELS * width)
    figures = min(max(text_width(row.shown, SIZE) for row in chart.rows), _FIGURES * width) + 8
    left, right = room + 8, width - figures
    values = [v for row in chart.rows for v in (row.value, row.whole or 0.0)]
    axis = number_axis(values, max(2, int((right - left) / 36.0)), pen.manner, loose=False, zero=True)
    labels = [folded(row.label, room, SIZE, 2) for row in chart.rows]
    heights = [18.0 if len(lines) == 1 else 2 * 12.5 + 5.0 for lines in labels]
    bottom = top + sum(heights)
    _grid(pen, axis, left, right, top, bottom)
    y = top
    for row, lines, height in zip(chart.rows, labels, heights, strict=True):
        middle = y + height / 2
        for at, line in enumerate(lines):
            below = (at - (len(lines) - 1) / 2) * 12.5
            pen.text(room, middle + below + SIZE * 0.35, line, SIZE, anchor="end")
        zero, end = left + axis.at(0.0) * (right - left), left + axis.at(row.value) * (right - left)
        far = end
        if row.whole is not None:
            far = left + axis.at(row.whole) * (right - left)
            pen.box(zero, middle - 5, far - zero, 10, PAPER, FRAME)
        pen.box(min(zero, end), middle - 5, abs(end - zero), 10, MARK)
        pen.text(max(zero, end, far) + 5, middle + SIZE * 0.35, folded(row.shown, figures, SIZE, 1)[0], SIZE)
        y += height
    pen.line(left, top, left, bottom, FRAME)
    return _foot(pen, axis, chart.axis, left, right, bottom)


def _legend(pen: Pen, chart: Bars, top: float, width: float) -> float:
    """Say what bar and outline are; return where the legend ends."""
    part, whole = chart.legend
    x, y = 0.5, top + 8
    for text, filled in ((part, True), (whole, False)):
        needed = 23 + text_width(text, SIZE)
        if x > 1.0 and x + needed > width:
            x, y = 0.5, y + LINE
        pen.box(x, y - 5, 18, 10, MARK if filled else PAPER, "" if filled else FRAME)
        pen.text(x + 23, y + SIZE * 0.35, folded(text, width - x - 23, SIZE, 1)[0], SIZE)
        x += needed + 16
    return y + 14


def _grid(pen: Pen, axis: Axis, left: float, right: float, top: float, bottom: float) -> None:
    for value, _ in axis.ticks:
        x = left + axis.at(value) * (right - left)
        pen.line(x, top, x, bottom, GRID)


def _foot(pen: Pen, axis: Axis, name: str, left: float, right: float, bottom: float) -> float:
    """Draw the axis below the rows; return where it ends."""
    pen.line(left, bottom, right, bottom, FRAME)
    for value, text in axis.ticks:
        x = left + axis.at(value) * (right - left)
        pen.line(x, bottom, x, bottom + 4, FRAME)
        pen.text(x, bottom + 15, text, SMALL, anchor="middle", fill=QUIET)
    y = bottom + 15
    for line in folded(name, right, SMALL, 2):
        y += 13
        pen.text(right, y, line, SMALL, anchor="end", fill=QUIET)
    return y + 5


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
