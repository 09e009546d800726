"""A chart drawn with letters, for terminals and for text: the same figures as its picture, nothing by colour."""

from __future__ import annotations

from itertools import pairwise
from string import ascii_uppercase
from typing import TYPE_CHECKING, assert_never

from rich.cells import cell_len

from appraise.model.chart import Bars, Curves, Ranges, Scatter
from appraise.model.locale_format import PLAIN, Formatter
from appraise.report.charts.scale import Axis, beside, number_axis, range_axis, scatter_axis, scatter_heights
from appraise.report.charts.text_canvas import Field, Lines, axis_lines, bar, column, folded, line_up, padded, unasked
from appraise.report.charts.words import cleaned

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.model.chart import Band, Bar, Curve, Point, Span
    from appraise.report.document import Drawing


NARROWEST = 30
"""No chart is drawn in fewer cells."""

WIDEST = 100
"""Cells beyond which a chart only grows; for callers that have more."""


def lines(drawing: Drawing, width: int) -> list[str]:
    """Draw a chart.

    Args:
        drawing: The chart; its caption and what it says are left to the caller.
        width: Cells of a line, at least `NARROWEST`; wide letters count as two.

    Returns:
        The title and the lines below it, none wider than `width`, without spaces at their ends.
    """
    return [*folded(drawing.chart.title, max(width, NARROWEST), 3), *(line for line, _ in body(drawing, width))]


def body(drawing: Drawing, width: int) -> Lines:
    """Draw a chart without its title; arguments as for `lines`.

    Returns:
        Every line with the address of the figure that it shows, empty where it shows none.
    """
    return [(line.rstrip(), figure) for line, figure in _body(drawing, max(width, NARROWEST))]


def _body(drawing: Drawing, width: int) -> Lines:
    chart = cleaned(drawing.chart)
    if isinstance(chart, Ranges):
        return range_lines(chart, width, drawing.manner)
    if isinstance(chart, Bars):
        return bar_lines(chart, width, drawing.manner)
    if isinstance(chart, Curves):
        return curve_lines(chart, width, drawing.manner)
    if isinstance(chart, Scatter):
        return unasked(scatter_lines(chart, width, drawing.manner))
    assert_never(chart)


_LABELS = 0.42
"""Share of the width that labels may take."""

_NARROWEST_ROWS = 6
"""Cells that bars need beside labels and figures."""


def range_lines(chart: Ranges, width: int, manner: Formatter = PLAIN) -> Lines:
    """Draw ranges: thin to the outermost marks, from low to high between stops, a diamond in the middle."""
    axis = range_axis(chart, width // 9, manner)
    drawn: Lines = []
    for row in chart.rows:
        drawn += unasked([*_head(row, width, manner), _range(row, axis, width)], row.figure)
    return [*drawn, *unasked(axis_lines(axis, chart.axis, 0, width))]


def _head(row: Span, width: int, manner: Formatter) -> Iterator[str]:
    figures = f"{row.shown[1]} {beside(row, manner)}".strip()
    label = folded(row.label, width)
    if len(label) == 1 and cell_len(label[0]) + 2 + cell_len(figures) <= width:
        yield label[0] + padded(figures, width - cell_len(label[0]), right=True)
        return
    yield from folded(row.label, width, 2)
    yield from (padded(line, width, right=True) for line in folded(figures, width))


def _range(row: Span, axis: Axis, width: int) -> str:
    cells = [" "] * width
    low, mid, high = (column(axis, value, width) for value in (row.low, row.mid, row.high))
    marks = [column(axis, value, width) for _, value in row.ticks]
    for at in range(min([low, *marks]), max([high, *marks]) + 1):
        cells[at] = "─"
    heavy = row.emphasis
    for at in range(low, high + 1):
        cells[at] = "━" if heavy else "─"
    for at in marks:
        cells[at] = "┿" if low < at < high else "│"
    cells[low], cells[high] = ("┣", "┫") if heavy else ("├", "┤")
    cells[mid] = "◆"
    return "".join(cells)


def bar_lines(chart: Bars, width: int, manner: Formatter = PLAIN) -> Lines:
    """Draw bars: full to the value, shaded on to what it is a part of."""
    figures = max(cell_len(row.shown) for row in chart.rows) + 1
    labels = min(max(cell_len(row.label) for row in chart.rows), int(_LABELS * width))
    room = width - labels - 1 - figures
    if room < _NARROWEST_ROWS:  # figures too long to stand beside: label, bar and figure one below the other
        labels, room = -1, width
    values = [v for row in chart.rows for v in (row.value, row.whole or 0.0)]
    axis = number_axis(values, max(2, room // 6), manner, loose=False, zero=True)
    drawn: Lines = []
    if any(row.whole is not None for row in chart.rows) and any(chart.legend):
        part, whole = chart.legend
        drawn += unasked(folded(f"█ {part} ░ {whole}", width))
    for row in chart.rows:
        if labels < 0:
            stacked = [*folded(row.label, width), _bar(row, axis, room), *folded(row.shown, width)]
            drawn += unasked(stacked, row.figure)
            continue
        names = folded(row.label, labels, 6)
        above = [padded(name, labels, right=True) for name in names[:-1]]
        line = f"{padded(names[-1], labels, right=True)} {_bar(row, axis, room)} {row.shown}"
        drawn += unasked([*above, line], row.figure)
    return [*drawn, *unasked(axis_lines(axis, chart.axis, labels + 1, room))]


def _bar(row: Bar, axis: Axis, room: int) -> str:
    full = bar(axis.at(row.value) - axis.at(0.0), room) or "▏"
    if row.whole is None:
        return full
    return full.ljust(round((axis.at(row.whole) - axis.at(0.0)) * room), "░")


HEIGHT = 13
"""Lines of a field of readings."""

CURVES = 11
"""Lines of a field of curves: a line for every tenth of a percentage."""

MARKS = (("●", "○"), ("■", "□"), ("▲", "△"), ("◆", "◇"), ("▼", "▽"), ("+", "×"))
"""Of series: a reading, and one that stands out; in the order of the shapes of a picture."""

_NARROWEST = 10
"""Cells that the name of a curve needs beside its figure."""

_TREND = "╌"
_WANTED = "·"
_AT_LEAST, _AT_MOST = "^", "v"
_LEVEL = "┈"


def curve_lines(chart: Curves, width: int, manner: Formatter = PLAIN) -> Lines:
    """Draw curves, each with a letter of its own."""
    ends = chart.y_ends or tuple(y for curve in chart.curves for _, y in curve.points)
    up = number_axis(ends, 6, manner, loose=chart.y_ends is None)
    margin = _margin(up)
    room = width - margin
    across = number_axis([x for curve in chart.curves for x, _ in curve.points], room // 9, manner, loose=False)
    field = Field(room, CURVES)
    if chart.level is not None:
        for at in range(room):
            field.put(at, line_up(up, chart.level, CURVES), _LEVEL)
    for n, curve in reversed(list(enumerate(chart.curves))):
        _follow(field, curve.points, across, up, _letter(n))
    drawn = [*_framed(field, up, margin, chart.y), *axis_lines(across, "", margin, room)]
    gap = width - margin - cell_len(chart.x) - cell_len(chart.marked)
    if gap > 1:
        drawn.append(f"{' ' * margin}{chart.x}{' ' * gap}{chart.marked}")
    else:
        drawn += [padded(line, width, right=True) for name in (chart.x, chart.marked) for line in folded(name, width)]
    named = [(line, curve.figure) for n, curve in enumerate(chart.curves) for line in _named(curve, _letter(n), width)]
    return [*unasked(drawn), *named]


def _letter(n: int) -> str:
    return ascii_uppercase[n % 26]


def _named(curve: Curve, letter: str, width: int) -> Iterator[str]:
    room = width - 2 - (cell_len(curve.shown) + 2 if curve.shown else 0)
    if room < _NARROWEST:  # a figure too long to stand beside
        yield from folded(f"{letter} {curve.label}: {curve.shown}", width)
        return
    first, *rest = folded(curve.label, room, 2)
    line = f"{letter} {first}"
    figure = padded(curve.shown, width - cell_len(line), right=True) if curve.shown else ""
    yield line + figure
    yield from (f"  {more}" for more in rest)


def _follow(field: Field, points: Sequence[Point], across: Axis, up: Axis, letter: str) -> None:
    """Write a letter in every cell that a line goes through."""
    cells = [(column(across, x, field.width), line_up(up, y, field.height)) for x, y in points]
    for (x0, y0), (x1, y1) in pairwise(cells):
        steps = max(abs(x1 - x0), abs(y1 - y0), 1)
        for step in range(steps + 1):
            field.put(round(x0 + (x1 - x0) * step / steps), round(y0 + (y1 - y0) * step / steps), letter)


def _margin(up: Axis) -> int:
    return max(len(text) for _, text in up.ticks) + 1


def _framed(field: Field, up: Axis, margin: int, name: str) -> list[str]:
    """Return a field with its scale at the left, each tick on the line nearest to it."""
    said = {line_up(up, value, field.height): text for value, text in up.ticks}
    lines = [f"{said.get(at, ''):>{margin - 1}} {line}" for at, line in enumerate(field.lines())]
    return [*folded(name, margin + field.width, 2), *lines] if name else lines


def scatter_lines(chart: Scatter, width: int, manner: Formatter = PLAIN) -> list[str]:
    """Draw readings, each series with a mark of its own, on what is wanted."""
    up = number_axis(scatter_heights(chart), 6, manner)
    margin = _margin(up)
    room = width - margin
    across = scatter_axis(chart, room // 13, room // 5, manner)
    field = Field(room, HEIGHT)
    for band in chart.bands:
        _wanted(field, band, across, up)
    if chart.trend is not None:
        _follow(field, chart.trend.points, across, up, _TREND)
    for n, series in enumerate(chart.series):
        odd = set(series.odd)
        for point in series.points:
            mark = MARKS[n % len(MARKS)][point in odd]
            field.put(column(across, point[0], room), line_up(up, point[1], HEIGHT), mark)
    drawn = [*_framed(field, up, margin, chart.y), *axis_lines(across, chart.x, margin, room)]
    return [*drawn, *_legend(chart, width)]


def _wanted(field: Field, band: Band, across: Axis, up: Axis) -> None:
    """Dot what lies between the edges of a band; an open band gets its edge alone, pointing to what is wanted."""
    for (x0, low0, high0), (x1, low1, high1) in pairwise(band.edges):
        first, last = column(across, x0, field.width), column(across, x1, field.width)
        for at in range(first, last + 1):
            share = (at - first) / max(1, last - first)
            low = None if low0 is None or low1 is None else line_up(up, low0 + (low1 - low0) * share, field.height)
            high = (
                None if high0 is None or high1 is None else line_up(up, high0 + (high1 - high0) * share, field.height)
            )
            if low is not None and high is not None:
                for line in range(high, low + 1):
                    field.put(at, line, _WANTED)
            elif low is not None:
                field.put(at, low, _AT_LEAST)
            elif high is not None:
                field.put(at, high, _AT_MOST)


def _band_mark(band: Band) -> str:
    _, low, high = band.edges[0]
    return _WANTED if low is not None and high is not None else _AT_MOST if low is None else _AT_LEAST


def _legend(chart: Scatter, width: int) -> list[str]:
    """Return what every mark stands for, as many to a line as fit."""
    items = [
        f"{MARKS[n % len(MARKS)][0]} {series.label}{f': {series.shown}' if series.shown else ''}"
        for n, series in enumerate(chart.series)
    ]
    if chart.trend is not None:
        items.append(f"{_TREND} {chart.trend.label}{f': {chart.trend.shown}' if chart.trend.shown else ''}")
    items += [f"{_band_mark(band)} {band.label}" for band in chart.bands]
    drawn: list[str] = []
    line = ""
    for item in items:
        if line and cell_len(line) + 3 + cell_len(item) > width:
            drawn.append(line)
            line = ""
        line = f"{line}   {item}" if line else item
        if cell_len(line) > width:
            *whole, line = folded(line, width)
            drawn += whole
    return [*drawn, line] if line else drawn
