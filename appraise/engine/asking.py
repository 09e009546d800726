"""Decisions: whether a look can change the course or the answer to an asking price, and what the price comes to."""

from __future__ import annotations

from math import hypot, sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.draws import percentiles
from appraise.engine.information import narrowing
from appraise.engine.market import relative_sd
from appraise.engine.plan import with_needs
from appraise.engine.regression import respond
from appraise.engine.scenarios import evaluate_plan
from appraise.engine.setup import inverse_variance_weights
from appraise.model.visit import Asking, Decisive

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.information import Knowledge
    from appraise.engine.regression import Response
    from appraise.engine.scenarios import Scenario, Worth
    from appraise.engine.setup import Setup

    Array = NDArray[np.float64]


CONFIDENCE = 0.8
"""Share of the draws in which the careful price is not too much [–]."""

_OUTCOMES = np.array([NormalDist().inv_cdf((at + 0.5) / 40.0) for at in range(40)])
"""Standard normal scores of the findings of a look, each as likely as the others."""

_LIKELY = slice(4, 36)
"""Those between the worst and the best tenth."""


def course_responses(setup: Setup, world: Scenario, plan: frozenset[str]) -> list[Response]:
    """Return how each course that can be taken follows the inputs: as is, after the plan, salvage.

    Args:
        setup: The priced case.
        world: Its draws.
        plan: Work to be followed; empty: none pays.
    """
    columns = [evaluate_plan(setup, world, frozenset()).value, world.salvage]
    if plan:
        columns.append(evaluate_plan(setup, world, plan).value)
    n = world.source.n
    return [respond(column.reshape(-1, n).mean(axis=0), world.source.seed, world.inputs) for column in columns]


def changes_course(courses: Sequence[Response], alone: Mapping[str, float]) -> bool:
    """Return whether a likely finding of one look makes another course the best in expectation.

    Args:
        courses: From `course_responses`.
        alone: By input the share of its variance that the look settles [–].
    """
    today = int(np.argmax([course.mean for course in courses]))
    expected = np.stack([course.expected(alone, _OUTCOMES[_LIKELY]) for course in courses])
    return bool((np.argmax(expected, axis=0) != today).any())


def purchase_response(world: Scenario, found: Worth, price: float) -> Response:
    """Return how the chance that the instrument is worth a price [money] follows the inputs [–]."""
    n = world.source.n
    enough = (found.value >= price).reshape(-1, n).mean(axis=0)
    return respond(enough, world.source.seed, world.inputs)


def changes_purchase(chances: Response, alone: Mapping[str, float]) -> bool:
    """Return whether a likely finding of one look turns buying into leaving, or the other way round.

    Args:
        chances: From `purchase_response`.
        alone: By input the share of its variance that the look settles [–].
    """
    likely = chances.expected(alone, _OUTCOMES[_LIKELY])
    return bool(((likely >= 0.5) != (chances.mean >= 0.5)).any())


def asking_price(
    setup: Setup, world: Scenario, found: Worth, known: Knowledge, checks: Iterable[str], price: float
) -> Asking:
    """Return what an asking price comes to.

    Args:
        setup: The priced case.
        world: Its draws.
        found: What it is worth in them.
        known: What checks would settle.
        checks: Those that can be made here.
        price: Asked [money].

    Returns:
        The chance that the instrument is worth the price, the most one should pay, and the check whose finding is
        worth most to whoever decides; of two that are worth the same, the one that moves the chance further.

    References:
        Expected value of sample information: the mean of the best decision after the finding, less the best decision
        before it; H. Raiffa, R. Schlaifer, Applied Statistical Decision Theory, 1961 (from memory).
    """
    even, sure = percentiles(found.value, (50.0, 100.0 * (1.0 - CONFIDENCE)))
    chance = float(np.mean(found.value >= price))
    chances = purchase_response(world, found, price)
    values = respond(found.by_condition, world.source.seed, world.inputs)
    best: tuple[float, float, str] | None = None
    today = max(0.0, values.mean - price)
    scale = max(abs(price), setup.replacement.mid * 0.01)
    for key in checks:
        alone = known.alone(key)
        moves = float(np.abs(np.clip(chances.expected(alone, _OUTCOMES), 0.0, 1.0) - chances.mean).mean())
        saves = float(np.maximum(0.0, values.expected(alone, _OUTCOMES) - price).mean()) - today
        # A thousandth of the price is chance.
        ranked = (round(max(0.0, saves) / scale, 3), moves, key)
        if best is None or ranked > best:
            best = ranked
    decisive = None
    if best is not None and (best[0] > 0.0 or best[1] >= LEAST_MOVE):
        decisive = _decisive(setup, world, known, values, best[2], (best[1], today, price))
    return Asking(price, chance, even, sure, CONFIDENCE, decisive)


LEAST_MOVE = 0.01
"""Expected change of the chance below which a check is not called decisive [–]."""


def _decisive(
    setup: Setup, world: Scenario, known: Knowledge, values: Response, check: str, at: tuple[float, float, float]
) -> Decisive:
    moves, today, price = at
    look, alone = known.looks[check], known.alone(check)
    expected = values.expected(alone, _OUTCOMES)
    saves = max(0.0, float(np.maximum(0.0, expected - price).mean()) - today)
    row = look.row
    swing = abs(float(expected[_LIKELY][0] - expected[_LIKELY][-1]))
    part = setup.tables.components[row.component]
    return Decisive(
        row.key,
        row.label,
        row.station,
        row.component,
        part.label,
        100.0 * moves,
        saves,
        _work_at_stake(setup, world, row.component),
        swing,
    )


def _work_at_stake(setup: Setup, world: Scenario, component: str) -> float | None:
    """Return the mean cost of the cheapest work that cures a component at the grade from which it is due [money]."""
    due = setup.tables.components[component].due_from
    costs = []
    for job in setup.remedies:
        reaches = job.improves.get(component)
        if reaches is None or reaches >= due or job.up_to < due:
            continue
        steps = with_needs(setup.plans, job.key)
        costs.append(sum(float(world.costs[key].mean()) for key in steps))
    return min(costs, default=None)


def another_sale(setup: Setup, found: Worth) -> float:
    """Return by how much one more comparable sale can be expected to narrow the range [%].

    Args:
        setup: The priced case.
        found: What it is worth in its draws.

    Notes:
        One more sale of the same kind of sale, as telling as the mean of those at hand, lets the variance of their
        weighted mean fall with the number that they amount to, 1/Σw². Weights and the spread of the reconciled level
        follow as in the valuation; of the variance of the value, the part that the market brings falls with it.
    """
    if setup.basis.method not in ("market", "residual"):
        return 0.0
    evidence = setup.evidence
    channel = relative_sd(setup.channel)
    cost = hypot(relative_sd(setup.replacement), relative_sd(setup.factor), channel)
    condition_sd = sqrt(max(0.0, setup.cost_sd**2 - cost**2))
    single = setup.tables.setting("comparable_sd")
    now, number = cost, 0.0
    if evidence is not None:
        number = 1.0 / sum(sale.weight**2 for sale in evidence.sales)
        single = evidence.relative_sd * sqrt(number)
        cost = sqrt(max(0.0, setup.cost_sd**2 - condition_sd**2))
        now = hypot(setup.weight_cost * cost, (1.0 - setup.weight_cost) * evidence.relative_sd)
    sales = single / sqrt(number + 1.0)
    weight = setup.weight_cost
    if setup.case.market.weight_cost_pct is None or evidence is None:
        weight = inverse_variance_weights((hypot(cost, condition_sd), hypot(sales, condition_sd)))[0]
    then = hypot(weight * cost, (1.0 - weight) * sales)
    if now <= 0.0:
        return 0.0
    total = float(found.value.var())
    if total <= 0.0:
        return 0.0
    return narrowing(min(1.0, found.market_variance / total) * max(0.0, 1.0 - (then / now) ** 2))
