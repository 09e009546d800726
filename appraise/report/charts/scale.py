"""Axes: where a value lies along one, and which round figures are written beside it; alike for every writer."""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil, floor, log10
from typing import TYPE_CHECKING

from appraise.model.chart import Along
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.notes import LAST, name_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.chart import Ranges, Scatter, Span

_OCTAVE = 12
_FIRST_C = 4
"""Key of the lowest C on 88 notes."""
_MONTHS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600, 1200)
_DAYS = (1, 2, 7, 14)
_MONTH = 30.44
"""Mean length [days]."""
_SLACK = 1e-9
_NEAR_ZERO = 0.35
"""Share of the high end up to which the low end of a range counts as near zero [–]."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis with what is written beside it."""

    low: float
    high: float
    """Above `low`."""
    ticks: tuple[tuple[float, str], ...]
    """(place, text), rising."""

    def at(self, value: float) -> float:
        """Return where a value lies, 0 at the low end and 1 at the high end; beyond either, that end."""
        return min(1.0, max(0.0, (value - self.low) / (self.high - self.low)))


def nice(size: float, *, up: bool) -> float:
    """Return a round number, 1, 2 or 5 times a power of ten, near a size.

    Args:
        size: > 0.
        up: The least one not below the size; else the nearest.

    References:
        P. S. Heckbert, "Nice Numbers for Graph Labels", in A. S. Glassner (ed.), Graphics Gems, 1990 (from memory).
    """
    power = 10.0 ** floor(log10(size))
    part = size / power
    limits = (1.0 + _SLACK, 2.0 + _SLACK, 5.0 + _SLACK) if up else (1.5, 3.0, 7.0)
    return power * next((round_ for limit, round_ in zip(limits, (1.0, 2.0, 5.0), strict=True) if part < limit), 10.0)


def number_axis(
    values: Sequence[float], most: int, manner: Formatter = PLAIN, *, loose: bool = True, zero: bool = False
) -> Axis:
    """Return an axis for numbers.

    Args:
        values: What must lie on it, at least one, finite.
        most: Ticks that there is room for, about; ≥ 2.
        manner: How the reader gets figures.
        loose: The axis reaches to the round figures beyond the values; else it ends at the values.
        zero: Zero lies on it.
    """
    low, high = min(values), max(values)
    if zero:
        low, high = min(low, 0.0), max(high, 0.0)
    if high - low < _SLACK * max(1.0, abs(high), abs(low)):
        low, high = (low - 0.5, high + 0.5) if not zero or low < 0.0 else (low, high + 1.0)
    step = nice((nice(high - low, up=True) if loose else high - low) / max(1, most - 1), up=False)
    first, last = low / step, high / step
    start, stop = (
        (floor(first + _SLACK), ceil(last - _SLACK)) if loose else (ceil(first - _SLACK), floor(last + _SLACK))
    )
    decimals = max(0, -floor(log10(step) + _SLACK))
    ticks = tuple((n * step, manner.number(n * step, decimals)) for n in range(start, stop + 1))
    return Axis(start * step, stop * step, ticks) if loose else Axis(low, high, ticks)


def bare_axis(values: Sequence[float]) -> Axis:
    """Return an axis from the least of the values to the greatest, with nothing written beside it."""
    if not values:
        return Axis(0.0, 1.0, ())
    low, high = min(values), max(values)
    return Axis(low, high, ()) if high > low else Axis(low - 0.5, high + 0.5, ())


def day_axis(low: float, high: float, most: int, manner: Formatter = PLAIN) -> Axis:
    """Return an axis for days, counted as `date.toordinal()` does, with ticks as the reader gets dates.

    Args:
        low: First day.
        high: Last day.
        most: Ticks that there is room for; ≥ 1.
        manner: How the reader gets dates.
    """
    begun = date.fromordinal(ceil(low))
    room = max(1.0, 0.03 * (high - low))
    low, high = max(1.0, low - room), high + room
    first, last = date.fromordinal(ceil(low)), date.fromordinal(floor(high))
    span = high - low
    if span / _DAYS[-1] <= most and span < 2 * _MONTH:
        step = next((days for days in _DAYS if span / days <= most), _DAYS[-1])
        count = (last - begun).days // step
        days = [begun + timedelta(days=n * step) for n in range(count + 1)]
        return Axis(low, high, tuple((float(day.toordinal()), manner.short_day(day)) for day in days))
    months = next((step for step in _MONTHS if span / (step * _MONTH) <= most), _MONTHS[-1])
    start = ceil((first.year * 12 + first.month - 1) / months) * months
    ticks = []
    for at in range(start, last.year * 12 + last.month, months):
        day = date(at // 12, at % 12 + 1, 1)
        if low <= day.toordinal() <= high:
            text = manner.year(day) if months % 12 == 0 else manner.short_month(day)
            ticks.append((float(day.toordinal()), text))
    return Axis(low, high, tuple(ticks))


def note_axis(notes: int, most: int) -> Axis:
    """Return an axis for the keys of a compass: named at the Cs where it is the usual one, else numbered.

    Args:
        notes: Keys of the compass, ≥ 1.
        most: Ticks that there is room for; ≥ 1.
    """
    usual = notes <= LAST
    places = list(range(_FIRST_C, notes + 1, _OCTAVE)) if usual else [1, *range(_OCTAVE, notes + 1, _OCTAVE)]
    step = max(1, ceil(len(places) / max(1, most)))
    ticks = tuple((float(note), name_of(note) if usual else str(note)) for note in places[::step])
    return Axis(0.0, notes + 1.0, ticks)


def range_axis(chart: Ranges, most: int, manner: Formatter = PLAIN) -> Axis:
    """Return the axis of ranges: it ends at the outermost mark, and at zero where that is not far.

    Args:
        chart: One row or more.
        most: Ticks that there is room for, about.
        manner: How the reader gets figures.
    """
    values = [v for row in chart.rows for v in (row.low, row.mid, row.high, *(place for _, place in row.ticks))]
    return number_axis(values, most, manner, loose=False, zero=0.0 <= min(values) < _NEAR_ZERO * max(values))


def beside(row: Span, manner: Formatter = PLAIN) -> str:
    """Return low and high to be written beside the middle of a range; nothing where there is no width."""
    low, _, high = row.shown
    return "" if low == high else f"({manner.say('{low} to {high}', low=low, high=high)})"


def scatter_heights(chart: Scatter) -> list[float]:
    """Return every height that must lie on the upward axis of readings."""
    results = [y for series in chart.series for _, y in series.points]
    results += [edge for band in chart.bands for _, low, high in band.edges for edge in (low, high) if edge is not None]
    return results + [y for _, y in (chart.trend.points if chart.trend is not None else ())]


def scatter_axis(chart: Scatter, most: int, most_notes: int, manner: Formatter = PLAIN) -> Axis:
    """Return what runs along below readings.

    Args:
        chart: At least one reading.
        most: Ticks of numbers and days that there is room for, about.
        most_notes: Names of notes that there is room for.
        manner: How the reader gets figures.
    """
    places = [x for series in chart.series for x, _ in series.points]
    if chart.along is Along.DAY:
        return day_axis(min(places), max(places), most, manner)
    if chart.along is Along.NOTE:
        return note_axis(chart.notes, most_notes)
    return number_axis(places, most, manner)
