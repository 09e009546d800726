"""How long the whole instrument is worth more than its disposal, and more than the work that playing needs."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.belief import EXACT, WORST
from appraise.engine.comparison import prepared
from appraise.engine.component_results import effective_age
from appraise.engine.costs import asked, job_costs
from appraise.engine.draws import percentiles, rectangular
from appraise.engine.joint_repairs import added_up
from appraise.engine.life import life_share
from appraise.engine.part_prices import priced
from appraise.engine.points import along
from appraise.engine.price_levels import price_levels
from appraise.engine.projection import later
from appraise.engine.renewals import cures_by_grade
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import adjusted, course_gains
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import EconomicLife, Range

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.condition import Condition
    from appraise.engine.price_levels import Prices as MarketPrices
    from appraise.engine.projection import Path
    from appraise.engine.setup import Setup
    from appraise.engine.subject import Part
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

YEARS = (0.0, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0)
"""Times at which the best course is worked out [years]; what lies over disposal is linear between them."""

OVERDUE = 0.25
"""Share of its life over which a part that is due becomes useless; our assumption [–]."""

DRAWS = 64
"""Draws of condition, market, costs and lives: a median and an 80 % interval of years need few."""


@lru_cache(maxsize=32)
def economic_life(case: Case, tables: Tables, seed: int | None = None) -> EconomicLife | None:
    """Return the remaining economic life of an instrument; kept, because a valuation does without it.

    Args:
        case: The case, free of grave problems.
        tables: The reference tables.
        seed: Seed of the draws, ≥ 0; none: the table's.

    Returns:
        Median and interval over the draws of the years until the best course brings no more than salvage less
        removal, or until work that playing needs costs more than the sound instrument is worth, whichever is first.
        None without a replacement cost new; 0 where either is so today.

    Notes:
        In each draw ages grow, grades worsen along what age lets expect from where they stand, and the market's factor
        by age moves on. A component reaches the end of its service life by its own Weibull draw, given survival to its
        effective age: it is due then, and becomes useless in the years that follow. Work is asked for where a component
        is at or past the grade from which it is due and, left so, keeps the instrument from being played: its gate is
        below the table's usability. A tired board or hard hammers lower the value and end nothing. The work is the
        cheapest job that can cure that grade, its steps included; each is held against the sound instrument by itself,
        because an owner who keeps an instrument up meets them one after the other. The kind of sale is that of the case
        where it is a market on which work is weighed, else the first one at which a buyer carries: the life is the
        owner's. A worse grade or a greater age lengthens it in no draw.

    References:
        Remaining economic life: the time over which a property adds to the value above what its disposal brings
        (general appraisal practice). The criterion by work is our own.
    """
    if case.market.cost_new is None:
        return None
    chosen_seed = int(tables.setting("seed") if seed is None else seed)
    source = Sampler(chosen_seed, DRAWS)
    # Comparables are valued with the draws of a valuation, which has done so already.
    setup = prepared(_on_a_market(case, tables), tables, Sampler(chosen_seed, int(tables.setting("draws"))))
    course = _Projected.of(setup, source)
    by_value = first_time(course.years, course.over_disposal)
    by_work, parts = _by_work(setup, source, course)
    longest = YEARS[-1]
    years = np.minimum(by_value, by_work)
    worked = [part for part, work, value in zip(parts, by_work, by_value, strict=True) if work < min(value, longest)]
    most = Counter(part for part in worked if part).most_common(1)
    part = most[0][0] if most else ""
    outer = (tables.setting("low_percentile"), 50.0, tables.setting("high_percentile"))
    return EconomicLife(
        years=Range(*percentiles(years, outer)),
        longest=longest,
        by_value=float(np.mean((by_value <= by_work) & (by_value < longest))),
        by_work=len(worked) / DRAWS,
        part=part,
        part_label=tables.components[part].named(case.identity.kind) if part else "",
        basis=setup.basis.key,
    )


def _on_a_market(case: Case, tables: Tables) -> Case:
    own = tables.bases[case.assignment.basis]
    if own.method == "market" and own.work_weighed:
        return case
    sold = next(row.key for row in tables.bases.values() if row.method == "market" and row.buyer_carries)
    return replace(case, assignment=replace(case.assignment, basis=sold))


def first_time(years: Sequence[float], margin: Array) -> Array:
    """Return when a margin is first used up in every draw [years].

    Args:
        years: Times, rising, shape (k,).
        margin: What is left at each of them, in any unit, shape (k, n); linear between two times.

    Returns:
        Shape (n,): 0 where nothing is left at the first time, the last time where something is left throughout. A
        margin that is smaller anywhere gives no later time.
    """
    times = np.asarray(years)
    gone = margin <= 0.0
    first = np.argmax(gone, axis=0)
    found = np.full(margin.shape[1], times[-1])
    for i in np.flatnonzero(gone.any(axis=0)):
        j = first[i]
        if j == 0:
            found[i] = times[0]
            continue
        before, after = margin[j - 1, i], margin[j, i]
        found[i] = times[j - 1] + (times[j] - times[j - 1]) * before / (before - after)
    return found


@dataclass(frozen=True, eq=False)
class _Projected:
    """The instrument at later times, in every draw."""

    years: tuple[float, ...]
    """Times, up to the first at which disposal is best in every draw, shape (k,)."""
    over_disposal: Array
    """Best course less salvage less removal [money], shape (k, n)."""
    sound: Array
    """Worth of the instrument with every part sound, what it takes to take it off [money], shape (k, n)."""
    paths: Mapping[str, Path]
    costs: Mapping[str, Array]
    """Of each job [money], shape (n,)."""

    @classmethod
    def of(cls, setup: Setup, source: Sampler) -> _Projected:
        """Work the best course out at every time, and leave out those past the first at which no draw has any left."""
        tables, case = setup.tables, setup.case
        market = price_levels(setup, source)
        costs = added_up(job_costs(case, tables, setup.remedies, source), setup.joints)
        wanted = asked(costs, tables, source)
        grown = later(setup.subject, tables)
        state = grown.condition(YEARS, setup.jobs, source, tables, setup.curve)
        over = _over_disposal(setup, state, market, {job: np.tile(cost, len(YEARS)) for job, cost in wanted.items()})
        sound = _sound(setup, state, market)
        gone = np.flatnonzero((over <= 0.0).all(axis=1))
        last = int(gone[0]) + 1 if gone.size else len(YEARS)
        return cls(YEARS[:last], over[:last], sound[:last], grown.paths, costs)


def _over_disposal(setup: Setup, state: Condition, market: MarketPrices, asked: Mapping[str, Array]) -> Array:
    """Return the best course less disposal [money], shape (times, n)."""
    level = np.tile(setup.taking.kept * market.level, len(YEARS))
    prices = priced(state, setup.subject, level, asked)
    gain = course_gains(setup.plans, prices, [level])[0].reshape(len(YEARS), -1)
    worth: Array = adjusted(setup.case, np.minimum(gain - setup.taking.flat, market.most)) - market.salvage
    return worth


def _sound(setup: Setup, state: Condition, market: MarketPrices) -> Array:
    """Return what the instrument would be worth with every part sound [money], shape (times, n)."""
    whole = np.sum([part.share * state.worn[part.key].sound for part in setup.subject.parts], axis=0)
    worth: Array = adjusted(
        setup.case, setup.taking.kept * market.level * whole.reshape(len(YEARS), -1) - setup.taking.flat
    )
    return worth


def _by_work(setup: Setup, source: Sampler, course: _Projected) -> tuple[Array, list[str]]:
    """Return when work first costs more than the sound instrument is worth [years], and which component asks for it."""
    times = np.arange(0.0, course.years[-1] + 1.0)
    sound = np.stack([np.interp(times, course.years, column) for column in course.sound.T], axis=1)
    cures = cures_by_grade(setup.case, setup.tables, course.costs)
    unplayable = setup.tables.setting("unplayable_below")
    dearest = np.zeros_like(sound)
    asks = np.full(sound.shape, -1)
    parts = [part for part in setup.subject.parts if part.row.gate and not part.row.hazard]
    for place, part in enumerate(parts):
        grade = _grades(part, source, course.paths[part.key], times, effective_age(part, setup.centre))
        # A part that no job cures costs at least its own share of a new instrument.
        least = np.full(source.n, part.share * setup.replacement.mid)
        cost = _cost_at(grade, cures.get(part.key, ()), least)
        cost[(grade < part.row.due_from - EXACT) | (along(part.row.gate, grade) >= unplayable)] = 0.0
        dearer = cost > dearest
        dearest[dearer], asks[dearer] = cost[dearer], place
    over = dearest > sound
    first = np.argmax(over, axis=0)
    found = np.where(over.any(axis=0), times[first], YEARS[-1])
    named = [asks[at, i] for i, at in enumerate(first)]
    return found, [parts[place].key if place >= 0 else "" for place in named]


def _grades(part: Part, source: Sampler, path: Path, times: Array, aged: float) -> Array:
    """Return a component's grade at each time in every draw, shape (k, n): due once its service life is over.

    From there it wears to the worst grade over the share `OVERDUE` of that life.
    """
    belief, life = part.belief, part.life
    noise = belief.own_sd * source.scores(f"grade.{part.key}") + belief.common_sd * source.scores("general condition")
    grade: Array = np.clip(path.at(times)[:, None] + noise, 1.0, WORST)
    share = life_share(part.central_grade(), WORST, max(WORST - part.row.due_from, EXACT))
    chance = rectangular(source.seed, f"service.{part.key}", source.n)
    used = (aged / life.scale) ** life.shape
    end = share * (life.scale * (used - np.log1p(-chance)) ** (1.0 / life.shape) - aged)
    due = part.row.due_from
    since = np.maximum(0.0, times[:, None] - end) / (OVERDUE * part.life_years.mid)
    overdue = np.minimum(WORST, due + (WORST - due) * since)
    return np.where(times[:, None] >= end, np.maximum(grade, overdue), grade)


def _cost_at(grade: Array, cures: Sequence[tuple[float, Array]], least: Array) -> Array:
    """Return what curing costs at each grade in every draw [money], shape of `grade`; it never falls as that worsens.

    Args:
        grade: Shape (k, n).
        cures: Worst grade that a job can cure, rising, and what the cheapest such job costs, shape (n,).
        least: What it costs at least where no job can, shape (n,).
    """
    cost = np.broadcast_to(np.maximum(least, cures[-1][1]) if cures else least, grade.shape).copy()
    for up_to, price in reversed(cures):
        within = grade <= up_to + EXACT
        cost = np.where(within, price, cost)
    return cost
