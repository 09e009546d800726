"""The draws: every uncertain input of a case varied together, every component's depreciation in each draw."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache, partial
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from appraise.engine import draws
from appraise.engine.belief import ALONE, SOUND_ENOUGH, WORST
from appraise.engine.depreciation import AGE_ONLY, age_term, heidecke, heidecke_at, ross, with_condition
from appraise.engine.identity_cache import Kept
from appraise.engine.plan import Prices
from appraise.engine.points import along
from appraise.engine.subject import expected_grades

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.age import Event, History
    from appraise.engine.belief import GradePosterior
    from appraise.engine.grade import Judged
    from appraise.engine.life import Weibull
    from appraise.engine.market_age import MarketCurve
    from appraise.engine.subject import Instrument, Part
    from appraise.model.result import Range
    from appraise.tables.rows import Component, Tables
    from appraise.tables.rows_ageing import Law
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]


EXACT = 1e-9
"""What rounding may put between a grade and the limit that it meets [grade]."""


@dataclass(frozen=True, slots=True)
class Sampler:
    """Where the numbers of one run come from: seeded draws, or the central figures."""

    seed: int
    n: int
    central: bool = False
    """True for one world in which every uncertain figure is at its middle."""

    @classmethod
    def centre(cls) -> Sampler:
        """Return the central figures, as one draw."""
        return cls(0, 1, central=True)

    def of_market(self, pairs: int) -> Sampler:
        """Return the source of the market: several draws for each of the condition, the same central figures."""
        return self if self.central else Sampler(self.seed, self.n * pairs)

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
    jobs = _CURES.of((subject, remedies), None, partial(_cures, subject, remedies))
    worn = {}
    for part in subject.parts:
        inputs[f"grade.{part.key}"] = None
        if not part.row.hazard:
            inputs[f"life.{part.key}"] = None
        stated = None if part.stated is None else part.stated.years
        worn[part.key] = _worn(
            part.row,
            _by_itself(part, source),
            part.history,
            part.life,
            part.life_years.mid,
            stated,
            jobs[part.key],
            subject.law,
            source,
            tables,
            market,
        )
    return Condition(worn, tuple(inputs))


def _cures(subject: Instrument, remedies: Iterable[Remedy]) -> Mapping[str, tuple[_Cure, ...]]:
    """Return what each remedy does to each component, by component."""
    jobs: dict[str, list[_Cure]] = {part.key: [] for part in subject.parts}
    parts = {part.key: part for part in subject.parts}
    for job in remedies:
        for improved, reaches in job.improves.items():
            if improved in parts:
                part = parts[improved]
                rest = left_standing(job, part)
                open_to = () if part.decided or found_of(part) else answered(job, part)
                cure = (
                    _Cure(job.key, reaches, job.up_to, job.resets, rest, open_to)
                    if rest
                    else _Cure(job.key, reaches, 0.0)
                )
                jobs[improved].append(cure)
    return {part: tuple(cures) for part, cures in jobs.items()}


_CURES: Kept[Mapping[str, tuple[_Cure, ...]]] = Kept(4)


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


class _Cure(NamedTuple):
    """What a job does to one component."""

    job: str
    reaches: float
    """Grade it is left at."""
    up_to: float
    resets: bool = False
    rest: float = 1.0
    """Middle of the grade that is left whatever the job does: what causes that it does not answer have found."""
    answers: tuple[tuple[float, float], ...] = ()
    """Of a part that nobody looked at, where the finding that will govern it has to lie in [0, 1]; none: anywhere."""


def left_standing(job: Remedy, part: Part) -> float | None:
    """Return the grade that a job leaves standing on a part; none where the job answers nothing that was found there.

    A job that names no causes answers all of them. One that does leaves what other checks found as it is; a part
    without findings by check may get it where it is a repair of the whole part, and never by the piece.
    """
    if not job.causes:
        return 1.0
    found = found_of(part)
    if not found:
        return None if job.per or job.up_to >= WORST else 1.0
    if not any(one.result.check in job.causes for one in found):
        return None
    others = max((one.result.grade for one in found if one.result.check not in job.causes), default=1.0)
    return max(1.0, part.belief.mean - max(0.0, (part.seen.grade or others) - others))


def found_of(part: Part) -> tuple[Judged, ...]:
    """Return what was found of a part by its checks; rare faults that are absent are no finding."""
    if part.overrule or (part.seen.wear_grade is None and (part.seen.grade or 1.0) <= 1.0):
        return ()
    return part.seen.judged


def answered(job: Remedy, part: Part) -> tuple[tuple[float, float], ...]:
    """Return where in [0, 1] the checks lie that a repair answers, all of a part's checks side by side by weight.

    Which check will govern a part that nobody looked at is not known: each as likely as its weight.
    """
    total = sum(row.weight for row in part.checks)
    if not job.causes or total <= 0.0:
        return ()
    found: list[tuple[float, float]] = []
    at = 0.0
    for row in part.checks:
        end = at + row.weight / total
        if row.key in job.causes:
            if found and found[-1][1] == at:
                found[-1] = (found[-1][0], end)
            else:
                found.append((at, end))
        at = end
    return tuple(found)


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
    jobs: tuple[_Cure, ...],
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


def priced(state: Condition, subject: Instrument, level: Array, costs: Mapping[str, Array]) -> Prices:
    """Join condition, price level and costs for the search of plans.

    What a component is worth is its share of cost times what is left of it, its market age's factor included, less what
    its looks take off the whole: (1 − share of the value that they leave) of what the whole would come to with every
    part sound. Taken off the sound whole and not off what the other parts happen to leave, the looks of one part and
    the wear of another add up, and the best plan can be found part by part.
    """
    worn = [state.worn[part.key] for part in subject.parts]
    sounds = [one.sound for one in worn]
    shares = {part.key: part.share for part in subject.parts}
    whole = _WHOLE.of(sounds, tuple(shares.values()), partial(_weighed, tuple(shares.values()), sounds))
    room: dict[str, Array] = {}
    left: dict[str, Array] = {}
    after: dict[tuple[str, str], Array] = {}
    for part, one in zip(subject.parts, worn, strict=True):
        key = part.key
        told = _LOST.of((one, whole, part.row), part.share, partial(_lost, part, one, whole))
        left[key], room[key] = told.left, told.room
        for job, column in told.after.items():
            after[job, key] = column
    return Prices(level, shares, left, after, costs, state.gates, state.gates_after, room)


@dataclass(frozen=True, eq=False)
class _Lost:
    """What one component has lost of its share, its looks included; see `priced` [–], arrays of shape (n,)."""

    left: Array
    room: Array
    after: Mapping[str, Array]


_WHOLE: Kept[Array] = Kept(16)
_LOST: Kept[_Lost] = Kept(192)


def _weighed(shares: Sequence[float], columns: Sequence[Array]) -> Array:
    found: Array = np.asarray(sum(share * column for share, column in zip(shares, columns, strict=True)))
    return found


def _lost(part: Part, one: ComponentDraws, whole: Array) -> _Lost:
    if one.look is None:
        left = 1.0 - one.kept
        after = {job: left if kept is one.kept else 1.0 - kept for job, kept in one.kept_after.items()}
        return _Lost(left, np.maximum(0.0, one.sound - one.kept), after)
    taken = whole / part.share
    left = 1.0 - one.kept + taken * (1.0 - one.look)
    looks = along(part.row.appearance, SOUND_ENOUGH)
    room = np.maximum(0.0, one.sound - one.kept) + taken * np.maximum(0.0, looks - one.look)
    after = {}
    for job, kept in one.kept_after.items():
        look = one.look_after[job]
        same = kept is one.kept and look is one.look
        after[job] = left if same else 1.0 - kept + taken * (1.0 - look)
    return _Lost(left, room, after)
