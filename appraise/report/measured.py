"""What an instrument answers, for the terminal and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.model.shown import MINUS
from appraise.report.plots import plot_lines
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.console import RenderableType
    from rich.table import Table

    from appraise.model.measurement import Figure, Grid, Measurement, Value

SCHEMA = 1


def measurement_object(answer: Measurement) -> dict[str, Any]:
    """Return an answer as one JSON object: keys are stable, every number has its unit in its key."""
    return {
        "schema": SCHEMA,
        "instrument": answer.instrument,
        "inputs": {figure.key: figure.value for figure in answer.inputs},
        "outputs": {figure.key: figure.value for figure in answer.outputs},
        "tables": {
            grid.key: [dict(zip((key for key, _, _ in grid.columns), row, strict=True)) for row in grid.rows]
            for grid in answer.grids
        },
        "plots": {
            plot.key: {
                "x": plot.x,
                "y": plot.y,
                "points": [list(point) for point in plot.points],
                "spans": [{"label": label, "from": low, "to": high} for label, low, high in plot.spans],
            }
            for plot in answer.plots
        },
        "notes": {figure.key: figure.note for figure in (*answer.inputs, *answer.outputs) if figure.note},
        "says": list(answer.says),
        "cautions": list(answer.cautions),
        "sources": [
            {"what": basis.what, "standing": basis.standing, "source": basis.source, "where": basis.where}
            for basis in answer.rests_on
        ],
    }


def measurement_page(answer: Measurement, width: int = 72) -> list[RenderableType]:
    """Return an answer as people read it, its plots at most so wide."""
    return [*measurement_head(answer, width), *measurement_tables(answer), *measurement_grounds(answer)]


def measurement_head(answer: Measurement, width: int = 72) -> list[RenderableType]:
    """Return title, figures, what they mean, and the plots."""
    from rich.padding import Padding
    from rich.text import Text

    page: list[RenderableType] = [Text(literal(answer.title), style="bold"), Text("")]
    page.append(Padding(_figures(answer.inputs, "dim"), (0, 0, 0, 2), expand=False))
    page.append(Padding(_figures(answer.outputs, ""), (0, 0, 0, 2), expand=False))
    if answer.says:
        page += [Text(""), *(Text(f"· {literal(text)}") for text in answer.says)]
    if answer.cautions:
        page += [Text(""), *(Text(f"▲ {literal(text)}", style="yellow") for text in answer.cautions)]
    for plot in answer.plots:
        lines = plot_lines(plot, width)
        if lines:
            page += [Text(""), Text(literal(plot.label), style="bold"), *(Text(line) for line in lines)]
    return page


def measurement_tables(answer: Measurement, *, whole: bool = False) -> list[RenderableType]:
    """Return the tables of an answer.

    Args:
        answer: The answer.
        whole: No cell is wrapped, however wide that makes a table.
    """
    from rich.text import Text

    page: list[RenderableType] = []
    for grid in answer.grids:
        if grid.rows:
            page += [Text(""), Text(literal(grid.label), style="bold"), _grid(grid, whole=whole)]
    return page


def measurement_grounds(answer: Measurement) -> list[RenderableType]:
    """Return what the figures rest on."""
    from rich.text import Text

    page: list[RenderableType] = [Text("")]
    for basis in answer.rests_on:
        named = ", ".join(part for part in (basis.source, basis.where) if part) or "no source"
        page.append(Text(literal(f"{basis.what}: {basis.standing}; {named}"), style="dim"))
    return page


def shown_value(value: Value, unit: str = "") -> str:
    """Return one value as people read it: four significant digits, a true minus, its unit behind it."""
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return literal(value)
    text = f"{value:,}" if isinstance(value, int) else _digits(value)
    text = text.replace("-", MINUS)
    return f"{text}{unit}" if unit == "%" else f"{text} {unit}".rstrip()


def _digits(value: float) -> str:
    if value == 0.0:
        return "0"
    if abs(value) < 1e-3:
        return f"{value:.3g}"
    if abs(value) >= 1000.0:
        return f"{value:,.0f}"
    text = f"{value:.4g}"
    return text if "e" in text else text.rstrip("0").rstrip(".") if "." in text else text


def _figures(figures: Iterable[Figure], style: str) -> Table:
    from rich.table import Table
    from rich.text import Text

    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    table.add_column(style="dim")
    for figure in figures:
        value = shown_value(figure.value, figure.unit)
        table.add_row(
            Text(literal(figure.label), style=style), Text(value, style=style or "bold"), Text(literal(figure.note))
        )
    return table


def _grid(grid: Grid, *, whole: bool) -> Table:
    from rich import box
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, header_style="bold")
    for n, (_, heading, unit) in enumerate(grid.columns):
        words = any(isinstance(row[n], str) for row in grid.rows)
        table.add_column(Text(f"{heading} {unit}".rstrip()), justify="left" if words else "right", no_wrap=whole)
    for row in grid.rows:
        table.add_row(*(Text(shown_value(value)) for value in row))
    return table
