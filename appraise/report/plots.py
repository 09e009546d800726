"""Plots drawn with letters: points over a scale, a density, spans below it; alike on terminal and screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from appraise.model.measurement import Plot

HEIGHT = 6
"""Lines of the field."""

_EIGHTHS = " ▁▂▃▄▅▆▇█"


def plot_lines(plot: Plot, width: int = 72) -> list[str]:
    """Return a plot as lines of at most `width` characters; nothing where there is nothing to draw.

    Args:
        plot: Points, or a curve, or spans; figures that are not finite must not be among them.
        width: Characters of a line, ≥ 30.
    """
    names = [literal(name)[: width // 3] for name, _, _ in plot.spans]
    low_y, high_y = _ends([y for _, y in plot.points])
    scale = [f"{high_y:.4g}", f"{low_y:.4g}"] if plot.points and plot.y else []
    margin = max([0, *(len(name) for name in names), *(len(text) for text in scale)]) + 1
    room = max(10, width - margin)
    low, high = _ends([x for x, _ in plot.points] + [edge for _, a, b in plot.spans for edge in (a, b)])
    if not plot.points and not plot.spans:
        return []

    def column(x: float) -> int:
        return min(room - 1, max(0, round((x - low) / (high - low) * (room - 1))))

    lines = _curve(plot, column, room) if plot.line else _scatter(plot, column, room, low_y, high_y)
    labels = [scale[0], *([""] * (len(lines) - 2)), scale[1]] if scale and lines else [""] * len(lines)
    drawn = [f"{label:>{margin - 1}} {line}".rstrip() for label, line in zip(labels, lines, strict=True)]
    for name, (_, first, last) in zip(names, plot.spans, strict=True):
        start, end = column(first), column(last)
        drawn.append(f"{name:>{margin - 1}} {' ' * start}├{'─' * max(0, end - start - 1)}{'┤' if end > start else ''}")
    left, right = f"{low:.4g}", f"{high:.4g} {literal(plot.x)}".rstrip()
    gap = max(1, room - len(left) - len(right))
    drawn.append(f"{' ' * margin}{left}{' ' * gap}{right}")
    return drawn


def _ends(values: Sequence[float]) -> tuple[float, float]:
    if not values:
        return 0.0, 1.0
    low, high = min(values), max(values)
    return (low, high) if high > low else (low - 0.5, high + 0.5)


def _scatter(plot: Plot, column: Callable[[float], int], room: int, low: float, high: float) -> list[str]:
    if not plot.points:
        return []
    field = [[" "] * room for _ in range(HEIGHT)]
    for x, y in plot.points:
        line = min(HEIGHT - 1, max(0, round((high - y) / (high - low) * (HEIGHT - 1))))
        field[line][column(x)] = "●"
    return ["".join(line) for line in field]


def _curve(plot: Plot, column: Callable[[float], int], room: int) -> list[str]:
    if not plot.points:
        return []
    top = max(y for _, y in plot.points) or 1.0
    heights = [0.0] * room
    for x, y in plot.points:
        at = column(x)
        heights[at] = max(heights[at], y / top)
    lines = []
    for line in range(HEIGHT // 2, 0, -1):
        filled = [min(8, max(0, round((height * (HEIGHT // 2) - (line - 1)) * 8))) for height in heights]
        lines.append("".join(_EIGHTHS[eighth] for eighth in filled))
    return lines
