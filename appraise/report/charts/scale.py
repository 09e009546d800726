"""Axes: where a value lies along one, and which round figures are written beside it; alike for every writer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor, log10
from typing import TYPE_CHECKING

from appraise.model.notes import LAST, name_of
from appraise.report.words import number

if TYPE_CHECKING:
    from collections.abc import Sequence

_OCTAVE = 12
_FIRST_C = 4
"""Key of the lowest C on 88 notes."""
_MONTHS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600, 1200)
_DAYS = (1, 2, 7, 14)
_MONTH = 30.44
"""Mean length [days]."""
_SLACK = 1e-9


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


def number_axis(values: Sequence[float], most: int, *, loose: bool = True, zero: bool = False) -> Axis:
    """Return an axis for numbers.

    Args:
        values: What must lie on it, at least one, finite.
        most: Ticks that there is room for, about; ≥ 2.
        loose: The axis reaches to the round figures beyond the values; else it ends at the values.
        zero: Zero lies on it.
    """
    low, high = min(values), max(values)
    if zero:
        low, high = min(low, 0.0), max(high, 0.0)
    if high - low < _SLACK * max(1.0, abs(high), abs(low)):
        low, high = (low - 0.5, high + 0.5) if not zero or low < 0.0 else (low, high + 1.0)
    step = nice(nice(high - low, up=True) / max(1, most - 1), up=False)
    first, last = low / step, high / step
    start, stop = (
        (floor(first + _SLACK), ceil(last - _SLACK)) if loose else (ceil(first - _SLACK), floor(last + _SLACK))
    )
    decimals = max(0, -floor(log10(step) + _SLACK))
    ticks = tuple((n * step, number(n * step, decimals)) for n in range(start, stop + 1))
    return Axis(start * step, stop * step, ticks) if loose else Axis(low, high, ticks)


def day_axis(low: float, high: float, most: int) -> Axis:
    """Return an axis for days, counted as `date.toordinal()` does, with ticks as ISO 8601 writes them.

    Args:
        low: First day.
        high: Last day.
        most: Ticks that there is room for; ≥ 1.
    """
    room = max(1.0, 0.03 * (high - low))
    low, high = max(1.0, low - room), high + room
    first, last = date.fromordinal(ceil(low)), date.fromordinal(floor(high))
    span = high - low
    if span / _DAYS[-1] <= most and span < 2 * _MONTH:
        step = next((days for days in _DAYS if span / days <= most), _DAYS[-1])
        count = (last - first).days // step
        days = [first + timedelta(days=n * step) for n in range(count + 1)]
        return Axis(low, high, tuple((float(day.toordinal()), day.isoformat()) for day in days))
    months = next((step for step in _MONTHS if span / (step * _MONTH) <= most), _MONTHS[-1])
    start = ceil((first.year * 12 + first.month - 1) / months) * months
    ticks = []
    for at in range(start, last.year * 12 + last.month, months):
        day = date(at // 12, at % 12 + 1, 1)
        if low <= day.toordinal() <= high:
            text = f"{day.year:04d}" if months % 12 == 0 else f"{day.year:04d}-{day.month:02d}"
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
