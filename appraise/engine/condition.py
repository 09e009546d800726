"""The condition of every component in each draw, as it stands and after each job."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws
from appraise.engine.belief import ALONE, EXACT, SOUND_ENOUGH
from appraise.engine.depreciation import AGE_ONLY, age_term, heidecke, heidecke_at, ross, with_condition
from appraise.engine.job_effects import cures_of
from appraise.engine.points import along
from appraise.engine.subject import expected_grades

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
        return _worn(
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
            worn[part.key] = _in_doubt(worn[part.key], there, doubt.check, doubt.chance, source)
    return Condition(worn, tuple(inputs))


SUSPECTED = "suspected."
"""Start of the names of the inputs that suspected faults are."""


@lru_cache(maxsize=64)
def _in_doubt(
    absent: ComponentDraws, there: ComponentDraws, check: str, chance: float, source: Sampler
) -> ComponentDraws:
    """Return a component with a suspected fault in so many of the draws, at the central figures where that is likelier.

    Notes:
        The fault is there where its own column lies below the chance, so that a greater chance only adds draws and
        never takes one away.
    """
    at = np.array([0.5]) if source.central else draws.rectangular(source.seed, f"{SUSPECTED}{check}", source.n)
    struck = at < chance

    def mixed(one: Array, other: Array) -> Array:
        found: Array = np.where(struck, other, one)
        found.flags.writeable = False
        return found

    def each(ones: Mapping[str, Array], others: Mapping[str, Array]) -> Mapping[str, Array]:
        return {job: mixed(one, others[job]) for job, one in ones.items()}

    return ComponentDraws(
        mixed(absent.left, there.left),
        mixed(absent.kept, there.kept),
        each(absent.kept_after, there.kept_after),
        absent.sound,
        None if absent.gate is None or there.gate is None else mixed(absent.gate, there.gate),
        each(absent.gate_after, there.gate_after),
        None if absent.look is None or there.look is None else mixed(absent.look, there.look),
        each(absent.look_after, there.look_after),
    )


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
    own, shared = source.scores(f"grade.{row.key}"), belief.common_sd * source.scores("general condition")
    noise = belief.own_sd * own + shared
    seen, mean = _means(belief, history, life, source, tables)
    grade = _within(mean + noise, belief.worst)
    # Whether a job suits is decided by what is found, and not by how assessors scatter about what is there.
    shown = grade
    if belief.scatter > 0.0 and not source.central:
        shown = _within(seen + belief.open_sd * own + shared, belief.worst)
    ageing = _ageing(row, history, life, middle, stated, law, source, tables, market)
    left, kept = ageing.at(heidecke(grade, tables))
    gate = _usability(row, grade) if row.gate else None
    look = along(row.appearance, grade) if row.appearance else None
    kept_after: dict[str, Array] = {}
    gate_after: dict[str, Array] = {}
    look_after: dict[str, Array] = {}
    reached: dict[tuple[float, float], Array] = {}
    mended: dict[tuple[float, float, bool], Array] = {}
    for job, target, up_to, resets, rest, open_to in jobs:
        cures = shown <= up_to + EXACT
        if open_to:
            cures = cures & _governed(row.key, open_to, source)
        helps = bool(cures.any())
        if helps and (target, rest) not in reached:
            reached[target, rest] = np.minimum(
                grade, np.maximum(target, _within(rest + noise, belief.worst) if rest > 1.0 else target)
            )
        better = reached.get((target, rest), grade)
        whole = bool(cures.all())
        if helps and (target, rest, resets) not in mended:
            mended[target, rest, resets] = np.maximum(kept, ageing.after(heidecke(better, tables), resets=resets))
        kept_after[job] = _where(cures, whole, mended[target, rest, resets], kept) if helps else kept
        if gate is not None:
            after = _usability(row, better) if helps else gate
            gate_after[job] = gate if after is gate else _where(cures, whole, after, gate)
        if look is not None:
            after = along(row.appearance, better) if helps else look
            look_after[job] = _where(cures, whole, after, look) if helps else look
    for column in (left, kept, gate, look, *kept_after.values(), *gate_after.values(), *look_after.values()):
        if column is not None:
            column.flags.writeable = False
    return ComponentDraws(left, kept, kept_after, ageing.sound, gate, gate_after, look, look_after)


def _usability(row: Component, grade: Array) -> Array:
    """Return the gate of a component at each grade [–]; one and the same array where it is open in every draw."""
    found = along(row.gate, grade)
    return _open(grade.size) if float(found.min()) >= 1.0 else found


@lru_cache(maxsize=8)
def _open(n: int) -> Array:
    ones = np.ones(n)
    ones.flags.writeable = False
    return ones


@lru_cache(maxsize=512)
def _governed(component: str, spans: tuple[tuple[float, float], ...], source: Sampler) -> NDArray[np.bool_]:
    """Tell in which draws the check that governs an unseen part lies in one of the spans."""
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


def _where(cures: NDArray[np.bool_], whole: bool, after: Array, before: Array) -> Array:
    return after if whole else np.where(cures, after, before)


def _within(grade: Array, worst: float) -> Array:
    found: Array = np.minimum(np.maximum(grade, 1.0), worst)
    return found


@dataclass(frozen=True, eq=False)
class _Ageing:
    """What age makes of a component in every draw, before its grade is looked at."""

    law: Law
    visibility: float
    term: Array | None
    """What the law makes of age [–]; none where the assessor states the effective age, or where nothing ages."""
    loss: Array | None
    """Depreciation where grades have no say [–]."""
    factor: Array | float
    """Of the market at the component's market age [–]."""
    renewed: Array | float
    """The same with the component new."""
    sound: Array
    """What is left of a sound one, times the factor [–]."""

    def at(self, spoken: Array) -> tuple[Array, Array]:
        """Return depreciation, and what is left times the market's factor [–], from Heidecke's C [–]."""
        if self.loss is not None or self.term is None:
            left = self.loss if self.loss is not None else np.zeros(1)
        else:
            left = with_condition(self.law, self.term, spoken, self.visibility)
        return left, (1.0 - left) * self.factor

    def after(self, spoken: Array, *, resets: bool) -> Array:
        """Return what a job leaves times the market's factor [–], at Heidecke's C of the grade it reaches."""
        if not resets:
            return self.at(spoken)[1]
        left = np.zeros_like(spoken) if self.law.key in AGE_ONLY else spoken
        return (1.0 - left) * self.renewed


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
) -> _Ageing:
    """Return what age makes of a component; kept, because grades do not change it."""
    if row.hazard:
        nothing = np.zeros(source.n)
        return _Ageing(law, row.visibility, None, nothing, 1.0, 1.0, nothing + 1.0)
    years = {event.name: _since(event, source) for event in history.every}
    age, life_sd = history.drawn(years), tables.setting("life_sd")
    here = middle * source.spread(f"life.{row.key}", life_sd)
    factor: Array | float = 1.0
    renewed: Array | float = 1.0
    if market is not None:
        made = years[history.made.name]
        factor, renewed = market.at(made, age), market.at(made, 0.0)
    spoken = np.array(heidecke_at(SOUND_ENOUGH, tables))
    if stated is not None:
        loss = ross(stated / here)
        return _Ageing(law, row.visibility, None, loss, factor, renewed, (1.0 - loss) * factor)
    term = age_term(law, age, life, here)
    sound = (1.0 - with_condition(law, term, spoken, row.visibility)) * factor
    return _Ageing(law, row.visibility, term, None, factor, renewed, sound)


@lru_cache(maxsize=128)
def _since(event: Event, source: Sampler) -> Array:
    return source.since(event)
