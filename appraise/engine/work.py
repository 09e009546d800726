"""What each remedy costs and brings, at the central figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine import costs as costing
from appraise.engine.plan import outcome, standing, with_needs
from appraise.model.result import Range, WorkItem

if TYPE_CHECKING:
    from appraise.engine.setup import Setup
    from appraise.engine.worlds import World


def work_items(setup: Setup, probes: World, plan: frozenset[str]) -> tuple[WorkItem, ...]:
    """Return every remedy that would bring anything, those of the plan first, then by what they lose least.

    Args:
        setup: The priced case.
        probes: Its probes; the first holds the central figures.
        plan: The plan that sets the value.

    Returns:
        Cost and value added of each remedy, next to the rest of the plan [money]: a job of the plan against the plan
        without it, its own cost only, so that the costs add up to the plan's; another job on top of the plan, with
        the steps it needs that the plan does not pay for already. A remedy is curable when it adds at least what it
        costs: the feasibility test of the breakdown method.
    """
    if not setup.remedies or not probes.prices:
        return ()
    prices = probes.prices[0]
    total = standing(prices)
    planned, _, _ = outcome(setup.plans, prices, plan, total)
    rows = {remedy.key: remedy for remedy in setup.remedies}
    hourly = costing.rate(setup.case, setup.tables)
    items = []
    for remedy in setup.remedies:
        if remedy.key in plan:
            ordered = [remedy.key]
            rest, _, _ = outcome(setup.plans, prices, plan - {remedy.key}, total)
            added = float((planned - rest)[0])
        else:
            # A set of words has no order that outlasts the process, and sums hang on it.
            ordered = sorted(with_needs(setup.plans, remedy.key) - plan)
            worth, _, _ = outcome(setup.plans, prices, plan.union(ordered), total)
            added = float((worth - planned)[0])
            if added <= 0.0:
                continue
        cost = sum(float(prices.costs[key][0]) for key in ordered)
        hours = Range(
            sum(rows[key].hours_low for key in ordered),
            sum(rows[key].hours_typical for key in ordered),
            sum(rows[key].hours_high for key in ordered),
        )
        low = sum(rows[key].hours_low * hourly * (1.0 + rows[key].parts_low) for key in ordered)
        high = sum(rows[key].hours_high * hourly * (1.0 + rows[key].parts_high) for key in ordered)
        items.append(
            WorkItem(
                remedy.key,
                remedy.label,
                hours,
                Range(min(low, cost), cost, max(high, cost)),
                added,
                added >= cost,
                remedy.key in plan,
                not remedy.improves,
            )
        )
    return tuple(sorted(items, key=lambda item: (not item.chosen, item.cost.mid - item.value_added, item.remedy)))
