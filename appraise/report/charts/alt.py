"""Alternative text of a chart: its kind and axes; the caption says the finding."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from appraise.model.chart import Bars, Curves, Ranges, Scatter
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.report.document import Drawing


def alt(drawing: Drawing) -> str:
    """Return the text alternative of a chart: its kind, its title, how many marks of which names, and its axes."""
    chart, say, several = drawing.chart, drawing.manner.say, drawing.manner.several
    title = literal(chart.title)
    match chart:
        case Ranges():
            return several(
                "Range chart “{title}”: {count} bar from low to high with a diamond at the best estimate, {names}. "
                "Across: {across}.",
                "Range chart “{title}”: {count} bars from low to high, each with a diamond at the best estimate, "
                "{names}. Across: {across}.",
                len(chart.rows),
                title=title,
                count=len(chart.rows),
                names=_names(drawing, [row.label for row in chart.rows]),
                across=literal(chart.axis),
            )
        case Bars():
            return several(
                "Bar chart “{title}”: {count} bar, {names}. Across: {across}.",
                "Bar chart “{title}”: {count} bars, the longest first, {names}. Across: {across}.",
                len(chart.rows),
                title=title,
                count=len(chart.rows),
                names=_names(drawing, [row.label for row in chart.rows]),
                across=literal(chart.axis),
            )
        case Curves():
            return say(
                "Line chart “{title}” with curves for {names}. Across: {across}; up: {up}.",
                title=title,
                names=_names(drawing, [curve.label for curve in chart.curves]),
                across=literal(chart.x),
                up=literal(chart.y),
            )
        case Scatter():
            return say(
                "Scatter chart “{title}” with points for {names}. Across: {across}; up: {up}.",
                title=title,
                names=_names(drawing, [series.label for series in chart.series]),
                across=literal(chart.x),
                up=literal(chart.y),
            )
        case _:
            assert_never(chart)


def _names(drawing: Drawing, labels: list[str]) -> str:
    return drawing.manner.listed(drawing.manner.small(literal(label)) for label in labels)
