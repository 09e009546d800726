"""The instrument as the engine sees it: each component with its life, its age and what is held of its grade."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache, partial
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.age import histories
from appraise.engine.belief import WORST, GradePosterior, believe, believe_hazard, common_condition, prior_grade
from appraise.engine.grade import gradable, judged_checks
from appraise.engine.identity_cache import IdentityCache
from appraise.engine.life import Weibull, consumed_share, weibull
from appraise.engine.observation import FULL, look
from appraise.engine.suspected import settled
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range
from appraise.model.span import years_between

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from appraise.engine.age import Event, History
    from appraise.engine.belief import Common
    from appraise.engine.observation import Observation
    from appraise.model.case import Case, EffectiveAge, Grade, Kind
    from appraise.tables.rows import Check, Component, Tables
    from appraise.tables.rows_ageing import Law, Life


QUICK_SHARE = 0.1
"""How much of what can be known of a part a quick look counts for [–]; our assumption."""

QUICK = 0.5
"""How far the grade of a quick look speaks of the wear of other parts, against that of an inspection [–]."""


@dataclass(frozen=True, eq=False)
class Suspicion:
    """A fault of a part that is suspected: how likely it is there, and the part with it."""

    check: str
    chance: float
    """[–], above 0 and below 1."""
    part: Part


@dataclass(frozen=True, eq=False)
class Part:
    """One component of the subject."""

    row: Component
    life_row: Life
    life_years: Range
    """Here: after use and climate."""
    life: Weibull
    history: History
    age: float
    """Central age in service [years]."""
    stated: EffectiveAge | None
    seen: Observation
    overrule: Grade | None
    expected: float
    """Grade its age lets expect; of a fault of the whole, the grade to take where nobody looked."""
    prior: float
    """The same, moved by what was seen of the rest."""
    belief: GradePosterior
    share: float
    checks: tuple[Check, ...] = ()
    """Those that show its grade, in table order."""
    suspected: tuple[Suspicion, ...] = ()
    """Faults that would make it worse than it was found, the mildest first."""

    @property
    def key(self) -> str:
        """Component key."""
        return self.row.key

    @property
    def decided(self) -> bool:
        """Whether the assessor set its grade himself, and not at a quick look."""
        return self.overrule is not None and not self.overrule.preliminary

    @property
    def inspected(self) -> float:
        """How much of what can be known of it has been inspected [–].

        All where the assessor set its grade himself; a tenth where he did so at a quick look.
        """
        if self.overrule:
            return QUICK_SHARE if self.overrule.preliminary else 1.0
        return self.seen.coverage

    @property
    def wear_seen(self) -> float:
        """How much of what shows its wear has been looked at [–]; of a fault of the whole, of all that shows it."""
        if self.overrule:
            return 1.0
        return self.seen.covered.whole if self.row.hazard else self.seen.covered.wear

    def central_grade(self) -> float:
        """Return the middle of what is held of the grade, within 1–5."""
        return min(5.0, max(1.0, self.belief.mean))


@dataclass(frozen=True, eq=False)
class Instrument:
    """The whole instrument."""

    parts: tuple[Part, ...]
    common: Common
    law: Law

    @property
    def age(self) -> float:
        """Central age since it was made [years]."""
        return self.parts[0].history.made.middle()

    @property
    def events(self) -> tuple[Event, ...]:
        """Every dated moment that bears on any part, each once."""
        return tuple({event.name: event for part in self.parts for event in part.history.every}.values())


def _keys(checks: Iterable[Check]) -> set[str]:
    return {check.key for check in checks}


@lru_cache(maxsize=16)
def _components(tables: Tables, kind: Kind) -> tuple[Component, ...]:
    """Return the components of a grand or an upright, by the names that they have there; kept."""
    return tuple(replace(row, label=row.named(kind)) for row in tables.components.values() if kind in row.kinds)


def assemble(case: Case, tables: Tables) -> Instrument:
    """Build the subject from a case.

    Args:
        case: The case, free of grave problems.
        tables: The reference tables.

    Raises:
        KeyError: The case names a row that the tables do not hold.
    """
    kind = case.identity.kind
    rows = _components(tables, kind)
    ages = histories(case, tables, [row.key for row in rows])
    judged = judged_checks(case, tables)
    checks = gradable(tables, kind)
    overrules = {
        grade.component: grade
        for grade in case.grades
        # A grade of a quick look stands until a check of the part is made.
        if grade.component and not (grade.preliminary and judged.keys() & _keys(checks.get(grade.component, ())))
    }
    stated = {age.component: age for age in case.effective_ages}
    seen = {row.key: look(checks.get(row.key, ()), judged, tables) for row in rows}
    worn: dict[str, tuple[float | None, float]] = {
        key: (overrules[key].grade, QUICK if overrules[key].preliminary else 1.0)
        if key in overrules
        else (found.wear_grade, found.covered.speaks)
        for key, found in seen.items()
    }
    lives = _LIVES.of((case.identity, case.circumstances, tables), None, partial(_lives, rows, case, tables))
    common = common_condition(worn, spoken_shares(rows, kind), tables)
    expected = {row.key: expected_grade(lives[row.key][2], ages[row.key].age, tables) for row in rows if not row.hazard}
    priors = dict(zip(expected, prior_grade(np.array(list(expected.values())), common, tables).tolist(), strict=True))

    def built(row: Component, look_: Observation) -> Part:
        life_row, years, life = lives[row.key]
        age = ages[row.key].age
        overrule = overrules.get(row.key)
        grade, covered = (look_.grade, look_.covered) if overrule is None else (overrule.grade, FULL)
        sampling = look_.sampling_sd if overrule is None else 0.0
        if overrule is not None and overrule.preliminary:
            sampling = tables.setting("grade_sd_quick")
        if row.hazard:
            to_expect = prior = hazard_prior(row.key, case, tables)
            belief = believe_hazard(grade, covered, sampling, prior, tables)
        else:
            to_expect, prior = expected[row.key], priors[row.key]
            belief = believe(grade, covered, sampling, prior, common, tables, to_expect)
        if overrule is None:
            worst = max((check.cap for check in checks.get(row.key, ())), default=WORST)
            belief = replace(belief, worst=max(worst, belief.mean))
        return Part(
            row,
            life_row,
            years,
            life,
            ages[row.key],
            age,
            stated.get(row.key),
            look_,
            overrule,
            to_expect,
            prior,
            belief,
            row.share(kind),
            tuple(checks.get(row.key, ())),
        )

    def with_suspected(part: Part) -> Part:
        """Return a part with each fault of it that is suspected and would make it worse."""
        doubts = [one for one in part.seen.judged if one.result.chance > 0.0]
        if not doubts or part.overrule is not None:
            return part
        found = []
        for one in sorted(doubts, key=lambda one: (one.result.grade_there or 0.0, one.result.check)):
            key = one.result.check
            there = look(part.checks, {**judged, key: settled(one)}, tables)
            if (there.grade or 0.0) > (part.seen.grade or 0.0):
                found.append(Suspicion(key, one.result.chance, built(part.row, there)))
        return replace(part, suspected=tuple(found))

    parts = tuple(with_suspected(built(row, seen[row.key])) for row in rows)
    return Instrument(parts, common, tables.laws[case.assignment.law])


def _lives(rows: Iterable[Component], case: Case, tables: Tables) -> Mapping[str, tuple[Life, Range, Weibull]]:
    """Return the service life of every component: its row, its years here and their distribution."""
    found = {row.key: service_life(row, case, tables) for row in rows}
    return {key: (row, years, weibull(years.low, years.mid, years.high)) for key, (row, years) in found.items()}


_LIVES: IdentityCache[Mapping[str, tuple[Life, Range, Weibull]]] = IdentityCache(16)


def service_life(row: Component, case: Case, tables: Tables) -> tuple[Life, Range]:
    """Return a component's life row and its life here, after use and climate [years].

    Life = domestic^(1−w) · heavy^w times the climate's multiplier, w the weight of the use.
    """
    variant = {"finish": case.identity.finish, "key_coverings": case.identity.key_covering}.get(row.key, "")
    life = _life(tables, row.key, variant)
    weight = tables.uses[case.circumstances.use].weight
    climate = tables.climates[case.circumstances.climate]
    factor = climate.factors.get(row.key, climate.default)
    pairs = ((life.low, life.heavy_low), (life.typical, life.heavy_typical), (life.high, life.heavy_high))
    low, mid, high = (factor * domestic ** (1.0 - weight) * heavy**weight for domestic, heavy in pairs)
    return life, Range(low, max(low, mid), max(low * 1.0001, mid, high))


@lru_cache(maxsize=1024)
def _life(tables: Tables, component: str, variant: str) -> Life:
    return tables.life(component, variant)


def spoken_shares(rows: Iterable[Component], kind: Kind) -> dict[str, float]:
    """Return how much each component weighs in the general condition: its share of cost times how far it speaks [–]."""
    return {row.key: 0.0 if row.hazard else row.share(kind) * row.speaks for row in rows}


def hazard_prior(component: str, case: Case, tables: Tables) -> float:
    """Return the grade to take of a fault of the whole that nobody looked for.

    Absent; the tuning follows from the day it was last tuned, where that is stated: linear in years between the
    settings for a recent and for a neglected one.
    """
    if component != "tuning":
        return 1.0
    recent, neglected = tables.setting("tuning_recent_grade"), tables.setting("tuning_neglected_grade")
    last = case.identity.last_tuned
    if last is None:
        return recent
    day = case.assignment.inspected
    years = 0.5 * (years_between(last.earliest, day) + years_between(last.latest, day))
    span = (tables.setting("tuning_recent_years"), tables.setting("tuning_neglected_years"))
    return float(np.interp(years, span, (recent, neglected)))


@lru_cache(maxsize=512)
def expected_grade(life: Weibull, age: float, tables: Tables) -> float:
    """Return the grade that age alone lets expect, from the consumed share of probable life."""
    return float(np.interp(consumed_share(life, age), *_priors(tables)))


def expected_grades(life: Weibull, age: NDArray[np.float64], tables: Tables) -> NDArray[np.float64]:
    """Return the grade that each age [years] lets expect, shape of `age`; see `expected_grade`."""
    found: NDArray[np.float64] = np.interp(consumed_share(life, age), *_priors(tables))
    return found


@lru_cache(maxsize=8)
def _priors(tables: Tables) -> tuple[list[float], list[float]]:
    rows = sorted(tables.priors.values(), key=lambda row: row.consumed)
    return [row.consumed for row in rows], [row.grade for row in rows]
