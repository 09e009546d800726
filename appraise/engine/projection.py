"""The instrument at a later time: ages grown, grades worsened along what age lets expect, nothing renewed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.age import Event, History, Step
from appraise.engine.belief import WORST
from appraise.engine.subject import Instrument, expected_grades

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from appraise.engine.subject import Part
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

_REACH = 6.0
"""Over the scale of its life, how far the expected grade of a component is followed [–]."""


@dataclass(frozen=True, eq=False)
class Path:
    """How the grade of one component worsens."""

    grade: float
    """Where it stands."""
    start: float
    """Age whose expected grade that is [years]; the end of the curve where no age lets expect so bad a grade."""
    ages: Array
    """Rising [years], shape (k,)."""
    expected: Array
    """What they let expect [grade], never falling, shape (k,)."""

    def at(self, years: Array) -> Array:
        """Return the grade some time later, shape of `years` [years]; never better than today's."""
        found: Array = np.maximum(self.grade, np.interp(self.start + years, self.ages, self.expected))
        return found


@dataclass(frozen=True, eq=False)
class Later:
    """An instrument and how its parts worsen."""

    subject: Instrument
    paths: Mapping[str, Path]
    """By component; none for a fault of the whole, which age does not make worse."""

    def at(self, years: float) -> Instrument:
        """Return the instrument so many years later [years], ≥ 0, nothing done to it."""
        return replace(self.subject, parts=tuple(self._part(part, years) for part in self.subject.parts))

    def _part(self, part: Part, years: float) -> Part:
        path = self.paths.get(part.key)
        mean = part.belief.mean if path is None else float(path.at(np.array([years]))[0])
        stated = None if part.stated is None else replace(part.stated, years=part.stated.years + years)
        # The general condition is in the mean already.
        belief = replace(part.belief, mean=mean, common=None)
        return replace(part, history=_grown(part.history, years), age=part.age + years, stated=stated, belief=belief)


def later(subject: Instrument, tables: Tables) -> Later:
    """Return how an instrument changes with time.

    Args:
        subject: The instrument at the inspection.
        tables: For the grades that age lets expect.
    """
    return Later(subject, {part.key: _path(part, tables) for part in subject.parts if not part.row.hazard})


def _path(part: Part, tables: Tables) -> Path:
    ages = np.linspace(0.0, _REACH * part.life.scale, 385)
    expected = np.maximum.accumulate(expected_grades(part.life, ages, tables))
    grade = min(WORST, max(1.0, part.belief.mean))
    place = int(np.searchsorted(expected, grade))
    if place == 0:
        start = 0.0
    elif place == expected.size:
        start = float(ages[-1])
    else:
        rise = expected[place] - expected[place - 1]
        start = float(ages[place - 1] + (ages[place] - ages[place - 1]) * (grade - expected[place - 1]) / rise)
    return Path(grade, start, ages, expected)


@dataclass(frozen=True, eq=False)
class _Grown(Event):
    """An event seen from a later day."""

    later: float = 0.0
    """How much later [years]."""

    def middle(self) -> float:
        """Return the median [years ago]."""
        return super().middle() + self.later

    def drawn(self, seed: int, n: int) -> Array:
        """Return draws of the years since the event, shape (n,)."""
        found: Array = super().drawn(seed, n) + self.later
        return found


def _grown(history: History, years: float) -> History:
    known: dict[str, Event] = {}

    def grown(event: Event) -> Event:
        if event.name not in known:
            known[event.name] = _Grown(event.name, event.low, event.high, event.density, event.known_from, years)
        return known[event.name]

    steps = tuple(Step(grown(step.event), step.gives_back) for step in history.steps)
    return History(grown(history.made), steps, history.evidence)
