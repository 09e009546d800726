"""The condition of every component in each draw, as it stands and after each job."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property, lru_cache
from math import inf
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws
from appraise.engine.ageing import Ageing
from appraise.engine.belief import ALONE, EXACT
from appraise.engine.depreciation import Spoken
from appraise.engine.identity_cache import unless_once
from appraise.engine.job_effects import cures_of
from appraise.engine.points import along, along_at
from appraise.engine.subject import expected_grades
from appraise.engine.suspected import SUSPECTED, drawn_in_doubt
from appraise.engine.usability import at_least, usability_at
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from appraise.engine.age import Event, History
    from appraise.engine.belief import GradePosterior
    from appraise.engine.job_effects import Cure
    from appraise.engine.life import Weibull
    from appraise.engine.market_age import MarketCurve
    from appraise.engine.sampler import Sampler
    from appraise.engine.subject import Instrument, Part
    from appraise.tables.rows import Component, Tables
    from appraise.tables.rows_ageing import Law
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class ComponentDraws:
    """One component in every draw, as it stands and after each job that works on it; arrays of shape (n,)."""

    left: Array
    """Depreciation [–]."""
    kept: Array
    """What is left of a new one, (1 − depreciation), times its market age's factor [–]."""
    kept_after: Mapping[str, Array]
    """The same after a job."""
    sound: Array
    """The same as `kept` at the worst grade at which no work is proposed, whatever its grade is."""
    gate: Array | None
    """Usability [–]; none for a component that cannot stop the instrument from being played."""
    gate_after: Mapping[str, Array]
    """Usability after a job [–]."""
    look: Array | None
    """Share of the value that its looks leave [–]; none where they do not matter."""
    look_after: Mapping[str, Array]
    """The same after a job."""


@dataclass(frozen=True, eq=False)
class Condition:
    """Depreciation, usability and looks of every component in every draw."""

    worn: Mapping[str, ComponentDraws]
    """By component."""
    inputs: tuple[str, ...]
    """Names of the inputs that were varied."""

    @cached_property
    def left(self) -> Mapping[str, Array]:
        """Depreciation by component [–]."""
        return {key: one.left for key, one in self.worn.items()}

    @cached_property
    def gates(self) -> Mapping[str, Array]:
        """Usability by component that has a gate [–]."""
        return {key: one.gate for key, one in self.worn.items() if one.gate is not None}

    @cached_property
    def gates_after(self) -> Mapping[tuple[str, str], Array]:
        """Usability after (job, component with a gate) [–]."""
        return {(job, key): gate for key, one in self.worn.items() for job, gate in one.gate_after.items()}


def condition(
    subject: Instrument,
    remedies: tuple[Remedy, ...],
    source: Sampler,
    tables: Tables,
    market: MarketCurve | None = None,
) -> Condition:
    """Draw the condition of every component, as it stands and after each remedy.

    Args:
        subject: The instrument.
        remedies: Those that are offered for it.
        source: Draws, or the central case.
        tables: Condition classes, laws, settings.
        market: What its market makes of age; none where only cost counts.

    Returns:
        Depreciations [–] and gates [–], arrays of shape (n,), and the names of the inputs.
    """
    inputs = dict.fromkeys(event.name for event in subject.events if not (event.exact or source.central))
    inputs["general condition"] = None
    jobs = cures_of(subject.parts, remedies)

    def drawn(part: Part, cures: tuple[Cure, ...]) -> ComponentDraws:
        stated = None if part.stated is None else part.stated.years
        return unless_once(_worn)(
            part.row,
            _by_itself(part, source),
            part.history,
            part.life,
            part.life_years.mid,
            stated,
            cures,
            subject.law,
            source,
            tables,
            market,
        )

    worn = {}
    for part in subject.parts:
        inputs[f"grade.{part.key}"] = None
        if not part.row.hazard:
            inputs[f"life.{part.key}"] = None
        worn[part.key] = drawn(part, jobs[part.key])
        for doubt in part.suspected:  # the worst last, which governs
            inputs[f"{SUSPECTED}{doubt.check}"] = None
            there = drawn(doubt.part, cures_of((doubt.part,), remedies)[part.key])
            worn[part.key] = drawn_in_doubt(worn[part.key], there, doubt.check, doubt.chance, source)
    return Condition(worn, tuple(inputs))


def _by_itself(part: Part, source: Sampler) -> GradePosterior:
    """Return what is held of a part without what has no bearing on its draws, so that these can be kept.

    Where its dates are exact, all that the rest of the instrument says of it is in the mean; where all of its wear was
    seen, the rest says nothing.
    """
    if part.belief.common is None:
        return part.belief
    if source.central or all(event.exact for event in part.history.every):
        return replace(part.belief, common=None)
    return replace(part.belief, common=ALONE) if part.belief.wear >= 1.0 else part.belief


SOUND = 2.0
"""Grade of a sound part: Heidecke's class 2, sound, light wear."""


@lru_cache(maxsize=192)
def _worn(
    row: Component,
    belief: GradePosterior,
    history: History,
    life: Weibull,
    middle: float,
    stated: float | None,
    jobs: tuple[Cure, ...],
    law: Law,
    source: Sampler,
    tables: Tables,
    market: MarketCurve | None,
) -> ComponentDraws:
    """Return one component in every draw; kept, because a change of one grade leaves most of the others alone."""
    seen, mean = unless_once(_means)(belief, history, life, source, tables)
    scores = source.scores(f"grade.{row.key}"), source.scores("general condition")
    found = Found.of(belief, belief.mean, seen, mean, scores, exact=source.central)
    ageing = unless_once(_ageing)(row, history, life, middle, stated, law, source, tables, market)
    governed = {spans: governing(row.key, spans, source) for *_, spans in jobs if spans}
    return component_draws(row, found, ageing, jobs, governed, tables)


@dataclass(frozen=True, eq=False)
class Found:
    """The grade of one component in every draw, before any job; arrays of shape (n,)."""

    middle: Array | float
    """Grade at which it stands, without what scatters."""
    grade: Array
    shown: Array
    """The same without how assessors scatter about what is there: it decides whether a job suits."""
    noise: Array
    worst: float

    @classmethod
    def of(
        cls,
        belief: GradePosterior,
        middle: Array | float,
        seen: Array | float,
        mean: Array | float,
        scores: tuple[Array, Array],
        *,
        exact: bool = False,
    ) -> Found:
        """Draw the grade.

        Args:
            belief: Spread and worst grade.
            middle: As kept.
            seen: Middle of what was seen [grade].
            mean: Middle of the true grade.
            scores: Standard normal scores of the component's own, and of the general condition.
            exact: Nothing scatters.
        """
        own, shared = scores[0], belief.common_sd * scores[1]
        noise = belief.own_sd * own + shared
        grade = _within(mean + noise, belief.worst)
        shown = grade
        if belief.scatter > 0.0 and not exact:
            shown = _within(seen + belief.open_sd * own + shared, belief.worst)
        return cls(middle, grade, shown, noise, belief.worst)

    def after(self, reaches: float, spared: float) -> Array:
        """Return the grade that a job leaves where it suits and spares something; see `Cure`."""
        rest = np.maximum(1.0, self.middle - spared)
        left = np.where(rest > 1.0, _within(rest + self.noise, self.worst), reaches)
        better: Array = np.minimum(self.grade, np.maximum(reaches, left))
        return better


def component_draws(
    row: Component,
    found: Found,
    ageing: Ageing,
    jobs: tuple[Cure, ...],
    governed: Mapping[tuple[tuple[float, float], ...], NDArray[np.bool_]],
    tables: Tables,
) -> ComponentDraws:
    """Work out what the grades and the ages of one component come to, as it stands and after each job.

    Args:
        row: The component.
        found: Its grades.
        ageing: What age makes of it.
        jobs: Those that work on it.
        governed: By `Cure.answers`, in which draws the check that governs the unseen part lies there.
        tables: Condition classes.
    """
    grade, shown = found.grade, found.shown
    spoken = Spoken.of(grade, tables)
    left, kept = ageing.at(spoken)
    gate = usability_at(row.gate, grade) if row.gate else None
    look = along(row.appearance, grade) if row.appearance else None
    kept_after: dict[str, Array] = {}
    gate_after: dict[str, Array] = {}
    look_after: dict[str, Array] = {}
    reached: dict[tuple[float, float], _Reached] = {}
    mended: dict[tuple[float, float, bool], Array] = {}
    best, worst = float(shown.min()), float(shown.max())
    for job, target, up_to, resets, spared, open_to in jobs:
        limit = up_to + EXACT
        helps, whole = best <= limit, worst <= limit
        cures: NDArray[np.bool_] | None = None
        if open_to and helps:
            cures = (shown <= limit) & governed[open_to]
            helps, whole = bool(cures.any()), bool(cures.all())
        if not helps:
            kept_after[job] = kept
            if gate is not None:
                gate_after[job] = gate
            if look is not None:
                look_after[job] = look
            continue
        if not whole and cures is None:
            cures = shown <= limit
        if (target, spared) not in reached:
            reached[target, spared] = _Reached.of(row, found, (target, spared), spoken, gate, look, tables)
        at = reached[target, spared]
        if (target, spared, resets) not in mended:
            mended[target, spared, resets] = np.maximum(kept, ageing.after(at.spoken, resets=resets))
        kept_after[job] = _where(cures, mended[target, spared, resets], kept)
        if gate is not None and at.gate is not None:
            gate_after[job] = gate if at.gate is gate else _where(cures, at.gate, gate)
        if look is not None and at.look is not None:
            look_after[job] = _where(cures, at.look, look)
    for column in (left, kept, gate, look, *kept_after.values(), *gate_after.values(), *look_after.values()):
        if column is not None:
            column.flags.writeable = False
    return ComponentDraws(left, kept, kept_after, ageing.sound, gate, gate_after, look, look_after)


@dataclass(frozen=True, eq=False)
class _Reached:
    """What a job that suits in every draw reaches; arrays of shape (n,)."""

    spoken: Spoken
    gate: Array | None
    look: Array | None

    @classmethod
    def of(
        cls,
        row: Component,
        found: Found,
        job: tuple[float, float],
        spoken: Spoken,
        gate: Array | None,
        look: Array | None,
        tables: Tables,
    ) -> _Reached:
        """Return what the grade that a job reaches, and how much it spares (see `Cure`), come to.

        Heidecke's C rises with the grade, usability and looks fall: no draw has to be looked up again.
        """
        reaches, spared = job
        if spared == inf:
            return cls(
                spoken.at_most(reaches, tables),
                None if gate is None else at_least(gate, along_at(row.gate, reaches)),
                None if look is None else np.maximum(look, along_at(row.appearance, reaches)),
            )
        better = found.after(reaches, spared)
        return cls(
            Spoken.of(better, tables),
            None if gate is None else usability_at(row.gate, better),
            None if look is None else along(row.appearance, better),
        )


@lru_cache(maxsize=512)
def governing(component: str, spans: tuple[tuple[float, float], ...], source: Sampler) -> NDArray[np.bool_]:
    """Tell in which draws the check that governs an unseen part lies in one of the spans, shape (n,)."""
    if source.central:
        return np.array([sum(end - start for start, end in spans) >= 0.5])
    at = draws.rectangular(source.seed, f"finding.{component}", source.n)
    found: NDArray[np.bool_] = np.zeros(source.n, dtype=bool)
    for start, end in spans:
        found |= (at >= start) & (at < end)
    return found


@lru_cache(maxsize=512)
def _means(
    belief: GradePosterior, history: History, life: Weibull, source: Sampler, tables: Tables
) -> tuple[Array | float, Array | float]:
    """Return the middle of what was seen of a grade and of the true one; of an unseen part by its age in every draw."""
    if source.central:
        return belief.mean, belief.mean
    if belief.common is None:
        return belief.mean, belief.regressed(belief.mean, belief.expected)
    years = {event.name: _since(event, source) for event in history.every}
    expected = expected_grades(life, history.drawn(years), tables)
    seen = belief.mean_at(expected, tables)
    return seen, belief.regressed(seen, expected)


def _where(cures: NDArray[np.bool_] | None, after: Array, before: Array) -> Array:
    """Return the one where a job cures and the other elsewhere; it cures everywhere where no draws are named."""
    return after if cures is None else np.where(cures, after, before)


def _within(grade: Array, worst: float) -> Array:
    found: Array = np.minimum(np.maximum(grade, 1.0), worst)
    return found


@lru_cache(maxsize=512)
def _ageing(
    row: Component,
    history: History,
    life: Weibull,
    middle: float,
    stated: float | None,
    law: Law,
    source: Sampler,
    tables: Tables,
    market: MarketCurve | None,
) -> Ageing:
    """Return what age makes of a component; kept, because grades do not change it."""
    if row.hazard:
        return Ageing.of_none(row, law, source.n)
    years = {event.name: _since(event, source) for event in history.every}
    here = middle * source.spread(f"life.{row.key}", tables.setting("life_sd"))
    return Ageing.of(row, history, life, here, stated, law, tables, market, years)


@lru_cache(maxsize=128)
def _since(event: Event, source: Sampler) -> Array:
    return source.since(event)
