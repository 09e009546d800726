"""A chart drawn with letters, for terminals and for text: the same figures as its picture, nothing by colour."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from appraise.model.chart import Bars, Curves, Ranges, Scatter
from appraise.report.charts.sanitize import cleaned
from appraise.report.charts.text_canvas import Lines, folded, unasked
from appraise.report.charts.text_fields import curve_lines, scatter_lines
from appraise.report.charts.text_rows import bar_lines, range_lines

if TYPE_CHECKING:
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
