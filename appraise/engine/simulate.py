"""The draws: every uncertain input of a case varied together, every component's depreciation in each draw."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws
from appraise.engine.depreciation import AGE_ONLY, age_term, heidecke, heidecke_at, ross, with_condition
from appraise.engine.grade import anchored
from appraise.engine.plan import Prices, outcome

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from appraise.engine.age import Event
    from appraise.engine.plan import Space
    from appraise.engine.subject import Part, Subject
    from appraise.model.result import Range
    from appraise.tables.rows import Remedy, Tables

    Array = NDArray[np.float64]


_STEPS = (0.0, -draws.Z90, draws.Z90)
_PROBES = np.array(list(product(_STEPS, repeat=3)))
"""Probes: scores of price, of work and of condition, every combination of middle, low and high; the middle first."""

_WORK = frozenset({"hours", "parts"})


@dataclass(frozen=True, eq=False)
class Source:
    """Where the numbers of one run come from: seeded draws, or the probes."""

    seed: int
    n: int
    probing: bool = False
    """True for the probes: a few worlds, the central one first, in which prices, costs and condition are each at
    their middle, low or high together."""

    @classmethod
    def probes(cls) -> Source:
        """Return the probes."""
        return cls(0, len(_PROBES), probing=True)

    def scores(self, name: str) -> Array:
        """Return standard normal scores for one input, shape (n,)."""
        if not self.probing:
            return draws.normal(self.seed, name, self.n)
        column = 2 if name.startswith("grade.") or name == "general condition" else int(name in _WORK)
        scores: Array = _PROBES[:, column]
        return scores

    def spread(self, name: str, relative_sd: float) -> Array:
        """Return factors around 1 with a relative standard deviation [–], shape (n,)."""
        return np.ones(self.n) if self.probing else draws.spread(self.seed, name, self.n, relative_sd)

    def between(self, name: str, spread: Range) -> Array:
        """Return a positive quantity known by its 10 %, 50 % and 90 % quantiles, shape (n,)."""
        return draws.between(spread.low, spread.mid, spread.high, self.scores(name))

    def since(self, event: Event) -> Array:
        """Return the years since an event, shape (n,)."""
        return np.full(self.n, event.middle()) if self.probing else event.drawn(self.seed, self.n)


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
    years = _event_years(subject, source)
    inputs = dict.fromkeys(name for name, column in years.items() if float(np.ptp(column)) > 0.0)
    inputs["general condition"] = None
    common = source.scores("general condition")
    life_sd = tables.setting("life_sd")
    tolerance = tables.setting("cure_tolerance")
    left: dict[str, Array] = {}
    after: dict[tuple[str, str], Array] = {}
    gates: dict[str, Array] = {}
    gates_after: dict[tuple[str, str], Array] = {}
    jobs = list(remedies)
    for part in subject.parts:
        own = source.scores(f"grade.{part.key}")
        grade = part.belief.mean + part.belief.own_sd * own + part.belief.common_sd * common
        grade = np.minimum(np.maximum(grade, 1.0), 5.0)
        life = part.life_years.mid * source.spread(f"life.{part.key}", life_sd)
        age = part.history.drawn(years)
        inputs[f"grade.{part.key}"] = None
        inputs[f"life.{part.key}"] = None
        spoken = heidecke(grade, tables)
        if part.stated is not None:
            term = np.full(life.shape, part.stated.years) / life
            loss = ross(term)
        else:
            term = age_term(subject.law, age, part.life, life)
            loss = with_condition(subject.law, term, spoken, part.row.visibility)
        left[part.key] = loss
        if part.row.gate:
            gates[part.key] = np.interp(grade, *_points(part))
        for job in jobs:
            target = job.improves.get(part.key)
            if target is None:
                continue
            cures = grade <= job.up_to + tolerance
            # C and the gate are monotone, so the better of two grades has the better of two values.
            reached = np.minimum(spoken, heidecke_at(target, tables))
            if job.resets:
                mended = np.zeros_like(loss) if subject.law.key in AGE_ONLY else reached
            elif part.stated is not None:
                mended = loss
            else:
                mended = with_condition(subject.law, term, reached, part.row.visibility)
            after[job.key, part.key] = np.where(cures, np.minimum(loss, mended), loss)
            if part.row.gate:
                opened = anchored(target, part.row.gate)
                gates_after[job.key, part.key] = np.where(cures, np.maximum(gates[part.key], opened), gates[part.key])
    return Condition(left, after, gates, gates_after, tuple(inputs))


def _points(part: Part) -> tuple[list[float], list[float]]:
    return [point[0] for point in part.row.gate], [point[1] for point in part.row.gate]


def _event_years(subject: Subject, source: Source) -> dict[str, Array]:
    found: dict[str, Array] = {}
    for part in subject.parts:
        for event in part.history.every:
            if event.name not in found:
                found[event.name] = source.since(event)
    return found


def priced(state: Condition, subject: Subject, level: Array, costs: Mapping[str, Array]) -> Prices:
    """Join condition, price level and costs for the search of plans."""
    shares = {part.key: part.share for part in subject.parts}
    return Prices(level, shares, state.left, state.after, costs, state.gates, state.gates_after)


@dataclass(frozen=True, eq=False)
class Outcome:
    """What one plan leaves in every draw [money]."""

    value: Array
    """The plan's outcome, or salvage where that turns out better."""
    worked: Array
    """The plan done, its cost taken off."""
    cost: Array


def carry_out(
    plans: Space, prices: Prices, plan: frozenset[str], deduction: float, salvage: Array, before: Array
) -> Outcome:
    """Return what one plan leaves in every draw.

    Args:
        plans: Every plan there is.
        prices: Level, condition and costs.
        plan: The plan; empty for leaving it alone.
        deduction: Carriage and holding taken off a resale [money].
        salvage: Salvage less removal [money], shape (n,).
        before: `plan.standing(prices)`.
    """
    worth, cost, _ = outcome(plans, prices, plan, before)
    worked = worth - cost - deduction
    # Money spent is spent: what turns out no better than salvage after the work has cost the work as well.
    return Outcome(np.maximum(worth - deduction, salvage) - cost, worked, cost)
