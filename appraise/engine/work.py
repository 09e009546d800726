"""The work that is worth doing: what each remedy costs and can be expected to bring, and the plan to report."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.engine import costs as costing
from appraise.engine.plan import Followed, thinned, with_needs
from appraise.engine.plan_ground import helpful_jobs
from appraise.engine.plan_search import best
from appraise.engine.simulate import EXACT
from appraise.engine.worlds import follow, reconciled_prices
from appraise.model.result import Range, WorkItem

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from appraise.engine.plan import Prices, Space
    from appraise.engine.setup import Setup
    from appraise.engine.subject import Part
    from appraise.engine.worlds import World

SAMPLE = 256
"""Draws from which the rise in value that a job can be expected to bring is taken: a mean needs fewer than a range."""

ROUNDS = 4
"""Times that the plan is looked over for a job to add."""


class _Expected:
    """What plans can be expected to leave [money]: the mean over some of the draws."""

    def __init__(self, plans: Space, sample: Prices, costs: Mapping[str, float], able: frozenset[str]) -> None:
        """Look at nothing but these draws.

        Args:
            plans: Every plan there is.
            able: Jobs that may be advised, see `able_jobs`.
            sample: Level, condition and costs of the draws.
            costs: Mean of each job over all draws: hours run over by more than they fall short, so that it lies above
                the typical cost [money].
        """
        self.plans, self.sample, self.costs = plans, sample, costs
        self.helpful = helpful_jobs(plans, sample) & able
        """Jobs that mend anything in any of these draws and may be advised, with the jobs those need."""
        self._followed: dict[frozenset[str], Followed] = {}
        self._worth: dict[frozenset[str], float] = {}

    def worth(self, plan: frozenset[str]) -> float:
        """Return what a plan leaves before its cost."""
        if plan not in self._worth:
            self._worth[plan] = self.followed(plan).worth
        return self._worth[plan]

    def worth_with(self, plan: frozenset[str], more: frozenset[str]) -> float:
        """Return what a plan leaves with some jobs more, before their cost."""
        whole = plan | more
        if whole not in self._worth:
            self._worth[whole] = self.followed(plan).with_jobs(more).worth
        return self._worth[whole]

    def followed(self, plan: frozenset[str]) -> Followed:
        """Return a plan as far as it was followed."""
        if plan not in self._followed:
            nothing = Followed.nothing(self.plans, self.sample)
            self._followed[plan] = nothing.with_jobs(plan) if plan else nothing
        return self._followed[plan]

    def cost(self, jobs: Iterable[str]) -> float:
        """Return the mean cost of some jobs."""
        # A set of words has no order that outlasts the process, and sums hang on it.
        return sum(self.costs[key] for key in sorted(jobs))


@dataclass(frozen=True, slots=True)
class Plan:
    """The plan to report, and every remedy that would bring anything."""

    jobs: frozenset[str]
    items: tuple[WorkItem, ...]


def work_plan(setup: Setup, centre: World, drawn: World) -> Plan:
    """Choose the work to report and cost every remedy next to it.

    Args:
        setup: The priced case.
        centre: Its central figures.
        drawn: Its draws.

    Returns:
        The plan that is best at the central figures, less the jobs that over the draws do not bring back what they
        cost, with those that do: no job more and none less would be expected to leave more, and the whole leaves no
        less on average than doing nothing. It is empty where work is not weighed. Of each remedy, cost and value added
        next to the rest of the plan [money], both as means over the draws, for a typical cost beside a mean gain would
        make work look better than it is: a job of the plan against the plan without it, its own cost only, so that the
        costs add up to the plan's; another job on top of the plan, with the steps it needs that the plan does not pay
        for already. A remedy is curable when it can be
        expected to add at least what it costs: the feasibility test of the breakdown method.
    """
    if not setup.remedies or not centre.prices:
        return Plan(frozenset(), ())
    central = reconciled_prices(setup, centre)
    sample = thinned(reconciled_prices(setup, drawn), SAMPLE)
    costs = {key: float(cost.mean()) for key, cost in drawn.prices[0].costs.items()}
    expected = _Expected(setup.plans, sample, costs, able_jobs(setup))
    if setup.basis.method == "depreciated":
        return Plan(frozenset(), _items(setup, expected, frozenset(), _added(expected, frozenset())))
    plan, added = _looked_over(expected, best(setup.plans, central).plans[0])
    if plan and follow(setup, drawn, plan).value.mean() < follow(setup, drawn, frozenset()).value.mean():
        # Two jobs that only help together can each seem to pay for itself where the two do not.
        plan, added = _looked_over(expected, frozenset())
    if plan and follow(setup, drawn, plan).value.mean() < follow(setup, drawn, frozenset()).value.mean():
        plan, added = frozenset(), _added(expected, frozenset())
    return Plan(plan, _items(setup, expected, plan, added))


def able_jobs(setup: Setup) -> frozenset[str]:
    """Return the jobs that can cure a part as it was found, with the steps, which cure none.

    In some draws a part is better than its grade, and a job that cannot cure that grade would do. Nobody should be
    advised to file hammers on the chance that there is more felt than was measured. A part that was looked at counts as
    the checks found it, one that nobody looked at as its age lets expect.
    """
    grades = {part.key: _found(part) for part in setup.subject.parts}
    return frozenset(
        row.key
        for row in setup.remedies
        if not row.improves or any(grades[part] <= row.up_to + EXACT for part in row.improves if part in grades)
    )


def _found(part: Part) -> float:
    """Return the grade that the checks found, else the middle of what is held of it."""
    return part.central_grade() if part.overrule or part.seen.grade is None else part.seen.grade


def _looked_over(expected: _Expected, plan: frozenset[str]) -> tuple[frozenset[str], dict[str, float]]:
    """Return a plan less what does not pay, with what does, and the rise that each job brings next to it."""
    plan = _less_what_does_not_pay(expected, plan)
    added = _added(expected, plan)
    for _ in range(ROUNDS):
        gains = {
            key: rise - expected.cost(with_needs(expected.plans, key) - plan)
            for key, rise in added.items()
            if key not in plan
        }
        most = max(sorted(gains), key=gains.__getitem__, default=None)
        if most is None or gains[most] <= 0.0:
            break
        plan = _less_what_does_not_pay(expected, plan | with_needs(expected.plans, most))
        added = _added(expected, plan)
    return plan, added


def _less_what_does_not_pay(expected: _Expected, plan: frozenset[str]) -> frozenset[str]:
    """Take out, one at a time and the poorest first, the jobs that do not bring back their own cost."""
    jobs = expected.plans.jobs
    while plan:
        whole = expected.worth(plan)
        needed = frozenset[str]().union(*(jobs[key].requires for key in plan))
        losses = {key: expected.costs[key] - (whole - expected.worth(plan - {key})) for key in sorted(plan - needed)}
        worst = max(losses, key=losses.__getitem__)
        if losses[worst] <= 0.0:
            break
        plan = plan - {worst}
    return plan


def _added(expected: _Expected, plan: frozenset[str]) -> dict[str, float]:
    """Return the rise in value that each job can be expected to bring next to the plan [money], where it is any."""
    whole = expected.worth(plan)
    found = {}
    for key in expected.plans.jobs:
        if key not in expected.helpful:
            continue
        if key in plan:
            found[key] = whole - expected.worth(plan - {key})
        else:
            rise = expected.worth_with(plan, with_needs(expected.plans, key)) - whole
            if rise > 0.0:
                found[key] = rise
    return found


def _items(setup: Setup, expected: _Expected, plan: frozenset[str], added: Mapping[str, float]) -> tuple[WorkItem, ...]:
    """Return a line for every job that brings anything, those of the plan first, then by what they lose least."""
    rows = {remedy.key: remedy for remedy in setup.remedies}
    hourly = costing.rates(setup.case, setup.tables)
    items = []
    for remedy in setup.remedies:
        if remedy.key not in added:
            continue
        chosen = remedy.key in plan
        ordered = [remedy.key] if chosen else sorted(with_needs(setup.plans, remedy.key) - plan)
        cost = expected.cost(ordered)
        hours = Range(
            sum(rows[key].hours_low for key in ordered),
            sum(rows[key].hours_typical for key in ordered),
            sum(rows[key].hours_high for key in ordered),
        )
        low = sum(hourly.price(rows[key].hours_low, rows[key].parts_low) for key in ordered)
        high = sum(hourly.price(rows[key].hours_high, rows[key].parts_high) for key in ordered)
        items.append(
            WorkItem(
                remedy.key,
                remedy.label,
                hours,
                Range(min(low, cost), cost, max(high, cost)),
                added[remedy.key],
                added[remedy.key] >= cost,
                chosen,
                not remedy.improves,
            )
        )
    return tuple(sorted(items, key=lambda item: (not item.chosen, item.cost.mid - item.value_added, item.remedy)))
