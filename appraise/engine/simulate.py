"""The draws: every uncertain input of a case varied together, every component's depreciation in each draw."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from appraise.engine import draws
from appraise.engine.depreciation import AGE_ONLY, age_term, heidecke, heidecke_at, ross, with_condition
from appraise.engine.grade import anchored
from appraise.engine.plan import Prices

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from appraise.engine.age import Event, History
    from appraise.engine.belief import Belief
    from appraise.engine.life import Weibull
    from appraise.engine.subject import Subject
    from appraise.model.result import Range
    from appraise.tables.rows import Component, Tables
    from appraise.tables.rows_ageing import Law
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]


EXACT = 1e-9
"""What rounding may put between a grade and the limit that it meets [grade]."""


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
class Worn:
    """One component in every draw, as it stands and after each job that works on it; arrays of shape (n,)."""

    left: Array
    """Depreciation [–]."""
    gate: Array | None
    """Usability [–]; none for a component that cannot stop the instrument from being played."""
    after: Mapping[str, Array]
    """Depreciation after a job [–]."""
    gate_after: Mapping[str, Array]
    """Usability after a job [–]."""


@dataclass(frozen=True, eq=False)
class Condition:
    """Depreciation and usability of every component in every draw."""

    worn: Mapping[str, Worn]
    """By component."""
    inputs: tuple[str, ...]
    """Names of the inputs that were varied."""

    @cached_property
    def left(self) -> Mapping[str, Array]:
        """Depreciation by component [–]."""
        return {key: one.left for key, one in self.worn.items()}

    @cached_property
    def after(self) -> Mapping[tuple[str, str], Array]:
        """Depreciation after (job, component) [–]."""
        return {(job, key): after for key, one in self.worn.items() for job, after in one.after.items()}

    @cached_property
    def gates(self) -> Mapping[str, Array]:
        """Usability by critical component [–]."""
        return {key: one.gate for key, one in self.worn.items() if one.gate is not None}

    @cached_property
    def gates_after(self) -> Mapping[tuple[str, str], Array]:
        """Usability after (job, critical component) [–]."""
        return {(job, key): gate for key, one in self.worn.items() for job, gate in one.gate_after.items()}


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
    jobs: dict[str, list[_Cure]] = {part.key: [] for part in subject.parts}
    for job in remedies:
        for improved, reaches in job.improves.items():
            jobs.setdefault(improved, []).append(_Cure(job.key, reaches, job.up_to, job.resets))
    worn = {}
    for part in subject.parts:
        inputs[f"grade.{part.key}"] = None
        inputs[f"life.{part.key}"] = None
        stated = None if part.stated is None else part.stated.years
        worn[part.key] = _worn(
            part.row,
            part.belief,
            part.history,
            part.life,
            part.life_years.mid,
            stated,
            tuple(jobs[part.key]),
            subject.law,
            source,
            tables,
        )
    return Condition(worn, tuple(inputs))


class _Cure(NamedTuple):
    """What a job does to one component."""

    job: str
    reaches: float
    """Grade it is left at."""
    up_to: float
    resets: bool


@lru_cache(maxsize=192)
def _worn(
    row: Component,
    belief: Belief,
    history: History,
    life: Weibull,
    middle: float,
    stated: float | None,
    jobs: tuple[_Cure, ...],
    law: Law,
    source: Source,
    tables: Tables,
) -> Worn:
    """Return one component in every draw; kept, because a change of one grade leaves most of the others alone."""
    life_sd = tables.setting("life_sd")
    # The tolerance is for what draws scatter about a grade: at the central figures the table's limit is the limit.
    tolerance = EXACT if source.central else tables.setting("cure_tolerance")
    own, common = source.scores(f"grade.{row.key}"), source.scores("general condition")
    grade = belief.mean + belief.own_sd * own + belief.common_sd * common
    grade = np.minimum(np.maximum(grade, 1.0), 5.0)
    spoken = heidecke(grade, tables)
    if stated is not None:
        loss = ross(stated / (middle * source.spread(f"life.{row.key}", life_sd)))
    else:
        term = _age_term(row.key, history, life, middle, life_sd, tables, law.key, source)
        loss = with_condition(law, term, spoken, row.visibility)
    gate = np.interp(grade, *_points(row)) if row.gate else None
    after: dict[str, Array] = {}
    gate_after: dict[str, Array] = {}
    mends: dict[tuple[float, bool], Array] = {}
    for job, target, up_to, resets in jobs:
        cures = grade <= up_to + tolerance
        if not cures.any():
            after[job] = loss
            if gate is not None:
                gate_after[job] = gate
            continue
        if (target, resets) not in mends:
            # C and the gate are monotone, so the better of two grades has the better of two values.
            reached = np.minimum(spoken, heidecke_at(target, tables))
            if resets:
                mended = np.zeros_like(loss) if law.key in AGE_ONLY else reached
            elif stated is not None:
                mended = loss
            else:
                mended = with_condition(law, term, reached, row.visibility)
            mends[target, resets] = np.minimum(loss, mended)
        after[job] = np.where(cures, mends[target, resets], loss)
        if gate is not None:
            gate_after[job] = np.where(cures, np.maximum(gate, anchored(target, row.gate)), gate)
    for column in (loss, gate, *after.values(), *gate_after.values()):
        if column is not None:
            column.flags.writeable = False
    return Worn(loss, gate, after, gate_after)


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


def _points(row: Component) -> tuple[list[float], list[float]]:
    return [point[0] for point in row.gate], [point[1] for point in row.gate]


def priced(state: Condition, subject: Subject, level: Array, costs: Mapping[str, Array]) -> Prices:
    """Join condition, price level and costs for the search of plans."""
    shares = {part.key: part.share for part in subject.parts}
    return Prices(level, shares, state.left, state.after, costs, state.gates, state.gates_after)
