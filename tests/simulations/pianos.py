"""Simulated pianos: a truth drawn from what the model holds of an unopened instrument, and what checks show of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import TYPE_CHECKING

from appraise.engine.aspects import aspect, governing
from appraise.engine.comparison import prepared
from appraise.engine.draws import normal
from appraise.engine.grade import gradable
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import Scenario, Worth, draw_world, worth
from appraise.model.case import Assignment, Case, Costs, Grade, Identity, Kind, Market
from appraise.model.span import Span

if TYPE_CHECKING:
    import numpy as np

    from appraise.engine.setup import Setup
    from appraise.tables.rows import Tables

TRUTH_SEED = 77
"""Seed of the truths; the valuations use another."""

AGES = (("upright", 5), ("grand", 30), ("upright", 60), ("grand", 100))
"""Instruments simulated: kind and age [years]."""


def piano(kind: str, age: int, basis: str = "retail") -> Case:
    """Return an invented instrument that nobody has opened."""
    size, new = (180.0, 30_000) if kind == "grand" else (120.0, 9_000)
    return Case(
        identity=Identity(Kind(kind), maker="Invented", size_cm=size, made=Span.parse(str(2026 - age))),
        assignment=Assignment(inspected=date(2026, 11, 20), basis=basis, currency="EUR"),
        market=Market(replacement_cost_new=Decimal(new)),
        costs=Costs(labour_rate=Decimal(60)),
    )


@dataclass(frozen=True, eq=False)
class Prior:
    """What the model holds of an instrument before anybody opened it, in draws of its own."""

    case: Case
    setup: Setup
    found: Worth
    n: int

    def truth(self, at: int) -> dict[str, float]:
        """Return the grade of every component in one draw, within 1–5."""
        common = normal(TRUTH_SEED, "general condition", self.n)[at]
        return {
            part.key: min(
                5.0,
                max(
                    1.0,
                    part.belief.mean
                    + part.belief.own_sd * normal(TRUTH_SEED, f"grade.{part.key}", self.n)[at]
                    + part.belief.common_sd * common,
                ),
            )
            for part in self.setup.subject.parts
        }

    def value(self, at: int, market: int) -> float:
        """Return the model's value at one draw of the condition and one of the markets that it meets [money]."""
        return float(self.found.value.reshape(-1, self.n)[market, at])


@lru_cache(maxsize=16)
def prior(kind: str, age: int, basis: str, n: int, tables: Tables) -> Prior:
    """Return the prior of one instrument."""
    case = piano(kind, age, basis)
    setup, _, found = valued(case, tables, TRUTH_SEED, n)
    return Prior(case, setup, found, n)


def valued(case: Case, tables: Tables, seed: int, n: int) -> tuple[Setup, Scenario, Worth]:
    """Value a case without anything that is only told of it."""
    source = Sampler(seed, n)
    setup = prepared(case, tables, source)
    world = draw_world(setup, source)
    return setup, world, worth(setup, world)


def shown(known: Prior, at: int, tables: Tables, rng: np.random.Generator) -> dict[str, float]:
    """Return the grade that every check would show of one truth.

    The worst check governs a component: one of its checks that can tell of such a grade, as likely as its weight, shows
    the component's grade, and each of the others an aspect that is no worse, drawn akin to it: all of them share the
    component's age and history. The belief is of the worst of the aspects, so each by itself is drawn better than that,
    by as much as the worst of so many normal draws exceeds their mean. What an assessor finds of a component scatters
    about what is there by the table's spread of a seen grade. Our assumption. (Were each check to scatter by itself,
    the worst of several would be worse than what is there: a range of what was seen as a whole would then hold 62 % of
    the truths of an upright of sixty years.)
    """
    truth = known.truth(at)
    noise = tables.setting("grade_sd_seen")
    common = normal(TRUTH_SEED, "general condition", known.n)[at]
    found = {}
    for part in known.setup.subject.parts:
        if not part.checks:
            continue
        grade = min(5.0, max(1.0, truth[part.key] + noise * rng.standard_normal()))
        worst = governing(part.checks, grade, rng.random())
        score = normal(TRUTH_SEED, f"grade.{part.key}", known.n)[at]
        for row in part.checks:
            here = grade
            if row is not worst:
                own = rng.standard_normal()
                here = min(grade, aspect(part.belief, len(part.checks), score, own, common))
            found[row.key] = min(5.0, max(1.0, here))
    return found


def looked_at(case: Case, grades: dict[str, float], checks: list[str]) -> Case:
    """Return the case with some checks made."""
    return replace(case, grades=tuple(Grade(grades[key], check=key) for key in checks))


def some_of(case: Case, share: float, tables: Tables, rng: np.random.Generator) -> list[str]:
    """Return checks chosen by chance until they have this share of the weight of all [–]."""
    rows = [row for group in gradable(tables, case.identity.kind).values() for row in group]
    left = share * sum(row.weight for row in rows) + 1e-9
    found = []
    for place in rng.permutation(len(rows)):
        row = rows[place]
        if row.weight <= left:
            found.append(row.key)
            left -= row.weight
    return found
