"""Answers of instruments in the reader's format: units, decimals and days, in figures and words.

Instruments reckon and speak in the units of the tables, with a decimal point and days as ISO 8601 has them; their
sentences are ours, so that a number in them is a number and a day is a day.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from appraise.model.locale_format import MINUS, PLAIN

if TYPE_CHECKING:
    from appraise.model.locale_format import Formatter
    from appraise.model.measurement import Figure, Grid, Measurement, Plot, Value

_NUMBER = r"\d+(?:,\d{3})*(?:\.\d+)?"
_FOUND = re.compile(
    r"(?<![\w.,:/“-])(?P<day>\d{4}-\d{2}-\d{2})(?![\w-])"
    rf"|(?<![\w.,:/–-])(?P<first>[-−]?{_NUMBER})(?:(?P<joint> to |–)(?P<second>[-−]?{_NUMBER}))?"
    r"(?:(?P<gap>[ ])(?P<unit>N·m|mm|cm|kg|m³|°C)(?![\w·³/]))?(?![\w:/-]|[.,]\d)"
)
"""A day, or a number or range with the unit behind it. °C is that of a temperature: no sentence of ours tells a
difference of two, which would be turned over otherwise."""


def in_manner(answer: Measurement, manner: Formatter) -> Measurement:
    """Return an answer with its figures, tables, plots and sentences in the reader's units, decimals and days."""
    if manner == PLAIN:
        return answer
    return replace(
        answer,
        inputs=tuple(_figure(figure, manner) for figure in answer.inputs),
        outputs=tuple(_figure(figure, manner) for figure in answer.outputs),
        grids=tuple(_grid(grid, manner) for grid in answer.grids),
        plots=tuple(_plot(plot, manner) for plot in answer.plots),
        says=tuple(respelt(text, manner) for text in answer.says),
        cautions=tuple(respelt(text, manner) for text in answer.cautions),
    )


def respelt(text: str, manner: Formatter) -> str:
    """Return a sentence of ours in the reader's manner: "from 6.8 to 15 N·m on 2026-11-20"."""
    return text if manner == PLAIN else _FOUND.sub(lambda match: _again(match, manner), text)


def _again(match: re.Match[str], manner: Formatter) -> str:
    if match["day"]:
        try:
            return manner.day(date.fromisoformat(match["day"]))
        except ValueError:
            return match[0]
    unit = match["unit"] or ""
    first, shown = _number(match["first"], unit, manner)
    second = "" if match["second"] is None else f"{match['joint']}{_number(match['second'], unit, manner)[0]}"
    return f"{first}{second}{match['gap'] or ''}{shown}"


def _number(text: str, unit: str, manner: Formatter) -> tuple[str, str]:
    value, decimals = float(text.replace(",", "").replace(MINUS, "-")), len(text.partition(".")[2])
    shown, other, worth = manner.reading(value, unit)
    sign = MINUS if shown < 0 else ""
    if other != unit:
        return f"{sign}{manner.decimal(abs(shown), worth)}", other
    return f"{sign}{manner.decimal(abs(shown), decimals, decimals, grouped=',' in text)}", unit


def _value(value: Value, unit: str, manner: Formatter) -> Value:
    if isinstance(value, str):
        return respelt(value, manner)
    if value is None or isinstance(value, bool) or manner.reading(0.0, unit)[1] == unit:
        return value
    shown, _, worth = manner.reading(float(value), unit)
    return round(shown, worth)


def _figure(figure: Figure, manner: Formatter) -> Figure:
    return replace(
        figure,
        value=_value(figure.value, figure.unit, manner),
        unit=manner.reading(0.0, figure.unit)[1],
        note=respelt(figure.note, manner),
    )


def _grid(grid: Grid, manner: Formatter) -> Grid:
    units = [unit for _, _, unit in grid.columns]
    return replace(
        grid,
        columns=tuple((key, heading, manner.reading(0.0, unit)[1]) for key, heading, unit in grid.columns),
        rows=tuple(
            tuple(_value(value, unit, manner) for value, unit in zip(row, units, strict=True)) for row in grid.rows
        ),
    )


def _plot(plot: Plot, manner: Formatter) -> Plot:
    points = tuple((manner.reading(x, plot.x)[0], manner.reading(y, plot.y)[0]) for x, y in plot.points)
    return replace(plot, x=manner.reading(0.0, plot.x)[1], y=manner.reading(0.0, plot.y)[1], points=points)
