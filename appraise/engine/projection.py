"""The instrument at a later time: ages grown, grades worsened along what age lets expect, nothing renewed."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import numpy as np

from appraise.engine.ageing import Ageing
from appraise.engine.belief import WORST
from appraise.engine.condition import Condition, Found, component_draws, governing
from appraise.engine.job_effects import cures_of
from appraise.engine.subject import expected_grades
from appraise.engine.suspected import in_doubt, struck_by
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.age import Event
    from appraise.engine.condition import ComponentDraws
    from appraise.engine.job_effects import Cure
    from appraise.engine.market_age import MarketCurve
    from appraise.engine.sampler import Sampler
    from appraise.engine.subject import Instrument, Part
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]
    Each = TypeVar("Each", np.float64, np.bool_)

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

    def condition(
        self,
        times: Sequence[float],
        remedies: tuple[Remedy, ...],
        source: Sampler,
        tables: Tables,
        market: MarketCurve | None,
    ) -> Condition:
        """Draw the condition at several later times at once, nothing done until then.

        Args:
            times: How much later [years], each ≥ 0, shape (k,).
            remedies: Those that are offered.
            source: The same n draws at every time.
            tables: Condition classes, settings.
            market: What its market makes of age; none where only cost counts.

        Returns:
            As `condition` returns it, but for the names of the inputs; arrays of shape (k·n,), time after time.
        """
        passed = np.asarray(times, dtype=float)
        jobs = cures_of(self.subject.parts, remedies)
        known: dict[str, Array] = {}

        def since(event: Event) -> Array:
            if event.name not in known:
                known[event.name] = (passed[:, None] + source.since(event)).ravel()
            return known[event.name]

        def again(column: NDArray[Each]) -> NDArray[Each]:
            return np.tile(column, passed.size)

        general = again(source.scores("general condition"))
        later = np.repeat(passed, source.n)

        def drawn(part: Part, path: Path | None, cures: tuple[Cure, ...]) -> ComponentDraws:
            key, row = part.key, part.row
            means: Array = np.full(passed.size, part.belief.mean) if path is None else path.at(passed)
            # The general condition is in the mean already.
            middle: Array = np.repeat(means, source.n)
            true = part.belief.regressed(middle, np.full(middle.size, part.belief.expected))
            found = Found.of(part.belief, middle, middle, true, (again(source.scores(f"grade.{key}")), general))
            if row.hazard:
                ageing = Ageing.of_none(row, self.subject.law, later.size)
            else:
                years = {event.name: since(event) for event in part.history.every}
                here = again(part.life_years.mid * source.spread(f"life.{key}", tables.setting("life_sd")))
                stated = None if part.stated is None else part.stated.years + later
                ageing = Ageing.of(row, part.history, part.life, here, stated, self.subject.law, tables, market, years)
            governed = {cure.answers: again(governing(key, cure.answers, source)) for cure in cures if cure.answers}
            return component_draws(row, found, ageing, cures, governed, tables)

        worn = {}
        for part in self.subject.parts:
            worn[part.key] = drawn(part, self.paths.get(part.key), jobs[part.key])
            for doubt in part.suspected:  # the worst last, which governs
                worse = None if part.row.hazard else _path(doubt.part, tables)
                there = drawn(doubt.part, worse, cures_of((doubt.part,), remedies)[part.key])
                struck = again(struck_by(doubt.check, doubt.chance, source))
                worn[part.key] = in_doubt(worn[part.key], there, struck)
        return Condition(worn, ())


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
