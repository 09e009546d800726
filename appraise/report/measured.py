"""The answer of a measuring tool, for the terminal; its plots are drawn with letters."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.text import Text

from appraise.model.locale_format import PLAIN
from appraise.model.sentence import Amount, signed
from appraise.report.charts.scale import bare_axis
from appraise.report.charts.text_canvas import Field, column, line_up, tops
from appraise.report.words import capital, literal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import RenderableType

    from appraise.model.locale_format import Formatter
    from appraise.model.measurement import Grid, Measurement, Plot, Value
    from appraise.report.charts.scale import Axis


LONG = 28
"""A value longer than this gets a line of its own [columns]."""

WORDS = 16
"""A column of words is not made narrower than this [columns]."""

HEAD_LINES = 2
"""Lines that a heading may take before its column is widened, where there is room."""

GAPS = (3, 2)
"""Spaces between columns, wide and where room is short."""

PLOT_WIDTH = 100
"""A plot gains nothing from more [columns]."""


def measurement_page(answer: Measurement, width: int = 72, manner: Formatter = PLAIN) -> Iterator[RenderableType]:
    """Return an answer as people read it, no line wider than the width where that can be."""
    head, tables = measurement_head(answer, width, manner), measurement_tables(answer, width, manner)
    yield from head
    yield from tables
    yield from measurement_grounds(answer)


def measurement_head(answer: Measurement, width: int = 72, manner: Formatter = PLAIN) -> list[RenderableType]:
    """Return title, figures, what they mean, and the plots."""
    answer = answer.localized(manner)
    page: list[RenderableType] = [Text(literal(answer.title), style="bold"), Text("")]
    page += _figures(answer, width, manner)
    if answer.says:
        page += [Text(""), *(Text(f"· {literal(text)}") for text in answer.says)]
    if answer.cautions:
        page += [Text(""), *(Text(f"▲ {literal(text)}", style="yellow") for text in answer.cautions)]
    for plot in answer.plots:
        lines = plot_lines(plot, min(width, PLOT_WIDTH), manner)
        if lines:
            page += [Text(""), Text(literal(plot.label), style="bold"), *(Text(line) for line in lines)]
    return page


def measurement_tables(answer: Measurement, width: int, manner: Formatter = PLAIN) -> list[RenderableType]:
    """Return the tables of an answer; one that is too wide is told row by row, so that no figure is cut."""
    page: list[RenderableType] = []
    for grid in answer.localized(manner).grids:
        if grid.rows:
            page += [Text(""), Text(literal(grid.label), style="bold"), *grid_lines(grid, width, manner)]
    return page


def measurement_grounds(answer: Measurement) -> list[RenderableType]:
    """Return what the figures rest on."""
    page: list[RenderableType] = [Text("")]
    for basis in answer.rests_on:
        named = ", ".join(part for part in (basis.source, basis.where) if part) or "no source"
        page.append(Text(literal(f"{basis.what}: {basis.standing}; {named}"), style="dim"))
    return page


def shown_value(value: Value, unit: str = "", manner: Formatter = PLAIN) -> str:
    """Return one value as people read it: four significant digits, a true minus, its unit behind it."""
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return literal(value)
    text = signed(manner, value, 0) if isinstance(value, int) else _digits(value, manner)
    return f"{text}{unit}" if unit == "%" else f"{text} {unit}".rstrip()


def _digits(value: float, manner: Formatter) -> str:
    if 0.0 < abs(value) < 1e-3:
        return Amount(value, digits=3).localized(manner)
    if abs(value) >= 1000.0:
        return signed(manner, value, 0)
    return Amount(float(f"{value:.4g}")).localized(manner)


def _figures(answer: Measurement, width: int, manner: Formatter) -> Iterator[RenderableType]:
    """Return a line a figure: label, value, and what to know beside it, below where there is no room."""
    every = [(figure, "dim") for figure in answer.inputs] + [(figure, "bold") for figure in answer.outputs]
    values = [shown_value(figure.value, figure.unit, manner) for figure, _ in every]
    room = max((cell_len(literal(figure.label)) for figure, _ in every), default=0)
    reach = max((cell_len(value) for value in values if cell_len(value) <= LONG), default=0)
    edge = min(2 + room + 2 + reach, width)
    for (figure, style), value in zip(every, values, strict=True):
        label, note = capital(literal(figure.label)), literal(figure.note)
        beside = edge + 2 + cell_len(note) <= width
        if cell_len(value) > LONG:
            yield Text(f"  {label}")
            yield from (Text(f"    {line}", style) for line in wrap(value, max(20, width - 4)))
            beside = False
        else:
            gap = " " * (edge - 2 - cell_len(label) - cell_len(value))
            if len(gap) < 2:  # no room beside it
                gap = f"\n{' ' * max(4, edge - cell_len(value))}"
            more = (f"  {note}" if note and beside else "", "dim")
            yield Text.assemble((f"  {label}", "dim" if style == "dim" else ""), gap, (value, style), more)
        if note and not beside:
            yield from [Text(f"    {line}", "dim") for line in wrap(note, max(20, width - 4))]


def grid_lines(grid: Grid, width: int, manner: Formatter = PLAIN) -> list[Text]:
    """Return a table as lines: in columns, with its widest words wrapped, or row by row where that is too wide.

    Args:
        grid: The table.
        width: Columns of the line.
        manner: How the reader gets figures.
    """
    cells = [[shown_value(value, "", manner) if value != "" else "" for value in row] for row in grid.rows]
    # A column in which no row says anything takes room from those that do.
    shown = [n for n in range(len(grid.columns)) if n == 0 or any(row[n] not in ("", "–") for row in cells)]
    cells = [[row[n] for n in shown] for row in cells]
    heads = [(literal(heading), unit) for _, heading, unit in (grid.columns[n] for n in shown)]
    words = [any(isinstance(row[n], str) for row in grid.rows) for n in shown]
    fitted = _fitted(heads, cells, words, width)
    if fitted is None:
        return _stacked(heads, cells, width)
    sizes, gap = fitted

    def lines_of(parts: list[list[str]], style: str) -> list[Text]:
        results = []
        for n in range(max(len(part) for part in parts)):
            texts = []
            for part, size, is_words in zip(parts, sizes, words, strict=True):
                text = part[n] if n < len(part) else ""
                space = " " * max(0, size - cell_len(text))
                texts.append(text + space if is_words else space + text)
            results.append(Text((" " * gap).join(texts).rstrip(), style))
        return results

    rule = "─" * (sum(sizes) + gap * (len(sizes) - 1))
    rows = [[wrap(cell, size) or [""] for cell, size in zip(row, sizes, strict=True)] for row in cells]
    return [
        *lines_of(_headings(heads, sizes), "bold"),
        Text(rule, "dim"),
        *(line for row in rows for line in lines_of(row, "")),
    ]


def _fitted(
    heads: list[tuple[str, str]], cells: list[list[str]], words: list[bool], width: int
) -> tuple[list[int], int] | None:
    """Find how wide the columns of a table are, and how far apart; none where a line has no room for them.

    Args:
        heads: Heading and unit of each column.
        cells: Of each row.
        words: Whether a column holds words, which may be wrapped.
        width: Columns of the line.
    """
    wide = [max(cell_len(cell) for cell in column) for column in zip(*cells, strict=True)]
    sizes = [
        max([size, cell_len(unit), *(cell_len(word) for word in head.split())])
        for size, (head, unit) in zip(wide, heads, strict=True)
    ]
    gap = next((gap for gap in GAPS if sum(sizes) + gap * (len(sizes) - 1) <= width), GAPS[-1])
    over = sum(sizes) + gap * (len(sizes) - 1) - width
    if over > 0:
        widest = max((n for n in range(len(sizes)) if words[n]), key=sizes.__getitem__, default=None)
        if widest is None or sizes[widest] - over < WORDS:
            return None
        sizes[widest] -= over
        over = 0
    for n, (head, _) in enumerate(heads):
        while over < 0 and len(wrap(head, sizes[n])) > HEAD_LINES:
            sizes[n] += 1
            over += 1
    return sizes, gap


def _headings(heads: list[tuple[str, str]], sizes: list[int]) -> list[list[str]]:
    """Return the lines of every heading: its unit after a comma where all fit so, else all units on one line below.

    Args:
        heads: Heading and unit of each column.
        sizes: Widths of the columns.
    """
    whole = [f"{head}, {unit}" if head and unit else head or unit for head, unit in heads]
    if all(cell_len(text) <= size for text, size in zip(whole, sizes, strict=True)):
        return [[text] for text in whole]
    names = [wrap(head, size) for (head, _), size in zip(heads, sizes, strict=True)]
    most = max(len(name) for name in names)
    units = [[unit] for _, unit in heads] if any(unit for _, unit in heads) else [[]] * len(heads)
    return [[""] * (most - len(name)) + name + unit for name, unit in zip(names, units, strict=True)]


def _stacked(heads: list[tuple[str, str]], cells: list[list[str]], width: int) -> list[Text]:
    """Return a table row by row: the first cell, then every heading with its cell, as many as a line holds."""
    lines = []
    for row in cells:
        parts = [
            f"{heading} {cell} {unit}".rstrip()
            for (heading, unit), cell in zip(heads, row, strict=True)
            if cell not in ("", "–")
        ]
        lines.append(Text(parts[0] if parts else "", "bold"))
        lines += [Text(f"  {line}") for line in wrap(" · ".join(parts[1:]), max(20, width - 2))]
    return lines


HEIGHT = 6
"""Lines of the field."""


def plot_lines(plot: Plot, width: int = 72, manner: Formatter = PLAIN) -> list[str]:
    """Return a plot as lines of at most `width` characters; nothing where there is nothing to draw.

    Args:
        plot: Points, or a curve, or spans; figures that are not finite must not be among them.
        width: Characters of a line, ≥ 30.
        manner: How the reader gets figures.
    """
    if not plot.points and not plot.spans:
        return []
    names = [literal(name)[: width // 3] for name, _, _ in plot.spans]
    up = bare_axis([y for _, y in plot.points])
    scale = [Amount(up.high).localized(manner), Amount(up.low).localized(manner)] if plot.points and plot.y else []
    margin = max([0, *(len(name) for name in names), *(len(text) for text in scale)]) + 1
    room = max(10, width - margin)
    along = bare_axis([x for x, _ in plot.points] + [edge for _, a, b in plot.spans for edge in (a, b)])
    lines = _curve(plot, along, room) if plot.line else _scatter(plot, along, up, room)
    labels = [scale[0], *([""] * (len(lines) - 2)), scale[1]] if scale and lines else [""] * len(lines)
    drawn = [f"{label:>{margin - 1}} {line}".rstrip() for label, line in zip(labels, lines, strict=True)]
    for name, (_, first, last) in zip(names, plot.spans, strict=True):
        start, end = column(along, first, room), column(along, last, room)
        drawn.append(f"{name:>{margin - 1}} {' ' * start}├{'─' * max(0, end - start - 1)}{'┤' if end > start else ''}")
    left, most = Amount(along.low).localized(manner), Amount(along.high).localized(manner)
    right = f"{most} {literal(plot.x)}".rstrip()
    gap = max(1, room - len(left) - len(right))
    drawn.append(f"{' ' * margin}{left}{' ' * gap}{right}")
    return drawn


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
