"""Charts of rows drawn with letters: ranges and bars one below the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from appraise.model.locale_format import PLAIN, Formatter
from appraise.report.charts.scale import Axis, beside, number_axis, range_axis
from appraise.report.charts.text_canvas import Lines, axis_lines, bar, column, folded, padded, unasked

if TYPE_CHECKING:
    from appraise.model.chart import Bar, Bars, Ranges, Span

_LABELS = 0.42
"""Share of the width that labels may take."""

_NARROWEST = 6
"""Cells that bars need beside labels and figures."""


def range_lines(chart: Ranges, width: int, manner: Formatter = PLAIN) -> Lines:
    """Draw ranges: thin to the outermost marks, from low to high between stops, a diamond in the middle."""
    axis = range_axis(chart, width // 9, manner)
    drawn: Lines = []
    for row in chart.rows:
        drawn += unasked([*_head(row, width, manner), _range(row, axis, width)], row.figure)
    return [*drawn, *unasked(axis_lines(axis, chart.axis, 0, width))]


def _head(row: Span, width: int, manner: Formatter) -> list[str]:
    figures = f"{row.shown[1]} {beside(row, manner)}".strip()
    label = folded(row.label, width)
    if len(label) == 1 and cell_len(label[0]) + 2 + cell_len(figures) <= width:
        return [label[0] + padded(figures, width - cell_len(label[0]), right=True)]
    return [*folded(row.label, width, 2), *(padded(line, width, right=True) for line in folded(figures, width))]


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
    if room < _NARROWEST:  # figures too long to stand beside: label, bar and figure one below the other
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
