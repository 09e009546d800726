"""Plots drawn with letters: points over a scale, a density, spans below it; alike on terminal and screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.charts.scale import bare_axis
from appraise.report.charts.text_canvas import Field, column, line_up, tops
from appraise.report.words import literal

if TYPE_CHECKING:
    from appraise.model.measurement import Plot
    from appraise.report.charts.scale import Axis

HEIGHT = 6
"""Lines of the field."""


def plot_lines(plot: Plot, width: int = 72) -> list[str]:
    """Return a plot as lines of at most `width` characters; nothing where there is nothing to draw.

    Args:
        plot: Points, or a curve, or spans; figures that are not finite must not be among them.
        width: Characters of a line, ≥ 30.
    """
    if not plot.points and not plot.spans:
        return []
    names = [literal(name)[: width // 3] for name, _, _ in plot.spans]
    up = bare_axis([y for _, y in plot.points])
    scale = [_edge(up.high), _edge(up.low)] if plot.points and plot.y else []
    margin = max([0, *(len(name) for name in names), *(len(text) for text in scale)]) + 1
    room = max(10, width - margin)
    along = bare_axis([x for x, _ in plot.points] + [edge for _, a, b in plot.spans for edge in (a, b)])
    lines = _curve(plot, along, room) if plot.line else _scatter(plot, along, up, room)
    labels = [scale[0], *([""] * (len(lines) - 2)), scale[1]] if scale and lines else [""] * len(lines)
    drawn = [f"{label:>{margin - 1}} {line}".rstrip() for label, line in zip(labels, lines, strict=True)]
    for name, (_, first, last) in zip(names, plot.spans, strict=True):
        start, end = column(along, first, room), column(along, last, room)
        drawn.append(f"{name:>{margin - 1}} {' ' * start}├{'─' * max(0, end - start - 1)}{'┤' if end > start else ''}")
    left, right = _edge(along.low), f"{_edge(along.high)} {literal(plot.x)}".rstrip()
    gap = max(1, room - len(left) - len(right))
    drawn.append(f"{' ' * margin}{left}{' ' * gap}{right}")
    return drawn


def _edge(figure: float) -> str:
    """Return the figure at an end of an axis, with a minus as everywhere else."""
    return f"{figure:.4g}".replace("-", "−")


def _scatter(plot: Plot, along: Axis, up: Axis, room: int) -> list[str]:
    if not plot.points:
        return []
    field = Field(room, HEIGHT)
    for x, y in plot.points:
        field.put(column(along, x, room), line_up(up, y, HEIGHT), "●")
    return field.lines()


def _curve(plot: Plot, along: Axis, room: int) -> list[str]:
    if not plot.points:
        return []
    top = max(y for _, y in plot.points) or 1.0
    heights = [0.0] * room
    for x, y in plot.points:
        at = column(along, x, room)
        heights[at] = max(heights[at], y / top)
    return tops(heights, HEIGHT // 2)
