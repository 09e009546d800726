"""The draws: every uncertain input of a case varied together, every component's depreciation in each draw."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws
from appraise.engine.depreciation import AGE_ONLY, age_term, heidecke, heidecke_at, ross, with_condition
from appraise.engine.grade import anchored
from appraise.engine.plan import Prices

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from appraise.engine.age import Event, History
    from appraise.engine.life import Weibull
    from appraise.engine.subject import Part, Subject
    from appraise.model.result import Range
    from appraise.tables.rows import Remedy, Tables

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Source:
    """Where the numbers of one run come from: seeded draws, or the central figures."""

    seed: int
    n: int
    central: bool = False
    """True for one world in which every uncertain figure is at its middle."""

    @classmethod
    def centre(cls) -> Source:
        """Return the central figures, as one draw."""
        return cls(0, 1, central=True)

    def scores(self, name: str) -> Array:
        """Return standard normal scores for one input, shape (n,)."""
        return np.zeros(1) if self.central else draws.normal(self.seed, name, self.n)

    def spread(self, name: str, relative_sd: float) -> Array:
        """Return factors around 1 with a relative standard deviation [–], shape (n,)."""
        return np.ones(1) if self.central else draws.spread(self.seed, name, self.n, relative_sd)

    def between(self, name: str, spread: Range) -> Array:
        """Return a positive quantity known by its 10 %, 50 % and 90 % quantiles, shape (n,)."""
        if self.central:
            return np.array([spread.mid])
        return draws.quantity(self.seed, name, self.n, spread.low, spread.mid, spread.high)

    def since(self, event: Event) -> Array:
        """Return the years since an event, shape (n,)."""
        return np.array([event.middle()]) if self.central else event.drawn(self.seed, self.n)


@dataclass(frozen=True, eq=False)
class Condition:
    """Depreciation and usability of every component in every draw."""

    left: Mapping[str, Array]
    after: Mapping[tuple[str, str], Array]
    gates: Mapping[str, Array]
    gates_after: Mapping[tuple[str, str], Array]
    inputs: tuple[str, ...]
    """Names of the inputs that were varied."""


def condition(subject: Subject, remedies: Iterable[Remedy], source: Source, tables: Tables) -> Condition:
    """Draw the condition of every component, as it stands and after each remedy.

    Args:
        subject: The instrument.
        remedies: Those that exist for this kind.
        source: Draws, or the central case.
        tables: Condition classes, laws, settings.

    Returns:
        Depreciations [–] and gates [–], arrays of shape (n,), and the names of the inputs.
    """
    inputs = dict.fromkeys(event.name for event in subject.events if not (event.exact or source.central))
    inputs["general condition"] = None
    common = source.scores("general condition")
    life_sd = tables.setting("life_sd")
    tolerance = tables.setting("cure_tolerance")
    left: dict[str, Array] = {}
    after: dict[tuple[str, str], Array] = {}
    gates: dict[str, Array] = {}
    gates_after: dict[tuple[str, str], Array] = {}
    jobs: dict[str, list[tuple[Remedy, float]]] = {part.key: [] for part in subject.parts}
    for job in remedies:
        for improved, reaches in job.improves.items():
            jobs.setdefault(improved, []).append((job, reaches))
    for part in subject.parts:
        own = source.scores(f"grade.{part.key}")
        grade = part.belief.mean + part.belief.own_sd * own + part.belief.common_sd * common
        grade = np.minimum(np.maximum(grade, 1.0), 5.0)
        inputs[f"grade.{part.key}"] = None
        inputs[f"life.{part.key}"] = None
        spoken = heidecke(grade, tables)
        middle = part.life_years.mid
        if part.stated is not None:
            loss = ross(part.stated.years / (middle * source.spread(f"life.{part.key}", life_sd)))
        else:
            term = _age_term(part.key, part.history, part.life, middle, life_sd, tables, subject.law.key, source)
            loss = with_condition(subject.law, term, spoken, part.row.visibility)
        left[part.key] = loss
        if part.row.gate:
            gates[part.key] = np.interp(grade, *_points(part))
        mends: dict[tuple[float, bool], Array] = {}
        for job, target in jobs[part.key]:
            cures = grade <= job.up_to + tolerance
            if not cures.any():
                after[job.key, part.key] = loss
                if part.row.gate:
                    gates_after[job.key, part.key] = gates[part.key]
                continue
            if (target, job.resets) not in mends:
                # C and the gate are monotone, so the better of two grades has the better of two values.
                reached = np.minimum(spoken, heidecke_at(target, tables))
                if job.resets:
                    mended = np.zeros_like(loss) if subject.law.key in AGE_ONLY else reached
                elif part.stated is not None:
                    mended = loss
                else:
                    mended = with_condition(subject.law, term, reached, part.row.visibility)
                mends[target, job.resets] = np.minimum(loss, mended)
            after[job.key, part.key] = np.where(cures, mends[target, job.resets], loss)
            if part.row.gate:
                opened = anchored(target, part.row.gate)
                gates_after[job.key, part.key] = np.where(cures, np.maximum(gates[part.key], opened), gates[part.key])
    return Condition(left, after, gates, gates_after, tuple(inputs))


@lru_cache(maxsize=512)
def _age_term(
    component: str,
    history: History,
    life: Weibull,
    middle: float,
    life_sd: float,
    tables: Tables,
    law: str,
    source: Source,
) -> Array:
    """Return what the law makes of a component's age [–], shape (n,); kept, because grades do not change it."""
    years = {event.name: _since(event, source) for event in history.every}
    here = middle * source.spread(f"life.{component}", life_sd)
    return age_term(tables.laws[law], history.drawn(years), life, here)


@lru_cache(maxsize=128)
def _since(event: Event, source: Source) -> Array:
    return source.since(event)


def _points(part: Part) -> tuple[list[float], list[float]]:
    return [point[0] for point in part.row.gate], [point[1] for point in part.row.gate]


def priced(state: Condition, subject: Subject, level: Array, costs: Mapping[str, Array]) -> Prices:
    """Join condition, price level and costs for the search of plans."""
    shares = {part.key: part.share for part in subject.parts}
    return Prices(level, shares, state.left, state.after, costs, state.gates, state.gates_after)
