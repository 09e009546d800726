"""Charts of rows as vector pictures: ranges and bars one below the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.charts.scale import Axis, beside, number_axis, range_axis
from appraise.report.charts.svg_canvas import FRAME, GRID, INK, MARK, PAPER, QUIET, folded, text_width

if TYPE_CHECKING:
    from appraise.model.chart import Bars, Ranges, Span
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
