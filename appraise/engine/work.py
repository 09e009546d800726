"""The three lists of work: what is needed now, what pays for itself, and what a player gains and a sale does not."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.belief import EXACT, SOUND_ENOUGH
from appraise.engine.cures import answers, cheapest, faults, leaves, with_steps
from appraise.engine.joint_repairs import added_up, as_searched, as_told
from appraise.engine.plan import Followed, space, thinned, with_needs
from appraise.engine.plan_search import best
from appraise.engine.sampler import Sampler
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range, WorkItem, WorkList

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from appraise.engine.cures import Fault
    from appraise.engine.joint_repairs import Together
    from appraise.engine.plan import Prices, Space
    from appraise.engine.scenarios import Scenario
    from appraise.engine.setup import Setup
    from appraise.engine.subject import Instrument
    from appraise.model.case import Case
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Remedy

SAMPLE = 256
"""Draws from which the rise in value that a job can be expected to bring is taken: a mean needs fewer than a range."""


UNSAFE = 3.5
"""Grade from which a finding that a safety job answers can hurt somebody: between simple and major repair."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The work to report."""

    jobs: frozenset[str]
    """The best course among work that can be proposed: empty where the instrument is worth most as is."""
    items: tuple[WorkItem, ...]
    """The three lists, in their order."""


def work_plan(setup: Setup, centre: Scenario, drawn: Scenario, most: float = inf) -> Plan:
    """Return the three lists of work, and the course that is worth most of all that can be proposed.

    Args:
        setup: The priced case.
        centre: Its central figures.
        drawn: Its draws.
        most: What the instrument is worth [money]: no job dearer than that is good advice for its player.

    Returns:
        First what is needed now: the cheapest work that cures every finding at or past the grade from which its
        component is due, what can hurt somebody before the rest. Then what pays for itself beyond that: the exact best
        plan at the central figures once that is done, each job of it expected to add what it costs and what a buyer
        wants for the trouble. Last what a player gains and a sale does not pay back. Nothing is proposed on a part that
        nobody inspected or that is sound. Costs are means over the draws; the value added of a job is the mean rise of
        the value next to the rest of the first two lists.

    References:
        Feasibility of curing: cost to cure against value added, the breakdown method of the cost approach; the cost
        with the entrepreneurial incentive on top.
    """
    case, tables = setup.case, setup.tables
    if not setup.remedies:
        return Plan(frozenset(), ())
    costs = costing.means(drawn.costs)
    found = faults(setup.subject, tables)
    urgent = _urgent(found, setup.remedies, tables)
    needed, course, expected, weighed = _weighed(setup, centre, drawn, found)
    sample, paying = expected.sample, course - needed
    rest = [one for one in found if one not in urgent and not _answered(one, needed | paying, setup.remedies, tables)]
    player = cheapest(rest, _affordable(setup.remedies, costs, most), costs, tables) - needed - paying
    whole = needed | paying
    items = []
    for group, jobs in ((WorkList.NEEDED, needed), (WorkList.PAYS, paying), (WorkList.PLAYER, player)):
        rows = [row for row in setup.remedies if row.key in jobs]
        for row in sorted(rows, key=lambda row, group=group: _turn(row, group)):  # type: ignore[misc]
            added = expected.added(whole, row.key) if weighed else 0.0
            asked = float(sample.costs[row.key].mean())
            item = _item(case, tables, row, group, costs[row.key], added, asked, chosen=row.key in course)
            # A step that other jobs need mends nothing that was found: it has nothing to be left for.
            items.append(item if answers(row, found, tables) else replace(item, step=True, if_left=""))
    return Plan(course, tuple(items))


def _weighed(
    setup: Setup, centre: Scenario, drawn: Scenario, found: Sequence[Fault]
) -> tuple[frozenset[str], frozenset[str], _Expected, bool]:
    """Return what is needed now, the course to propose, what plans leave, and whether work bears on the value."""
    costs = costing.means(drawn.costs)
    needed = cheapest(_urgent(found, setup.remedies, setup.tables), setup.remedies, costs, setup.tables)
    weighed = setup.basis.work_weighed and setup.basis.method != "replacement"
    expected = _Expected(setup.plans, thinned(drawn.prices, SAMPLE), setup.joints)
    course = _course(setup, centre, found, needed, expected) if weighed else frozenset[str]()
    return needed, course, expected, weighed


def proposed_course(setup: Setup, centre: Scenario, drawn: Scenario) -> tuple[Remedy, ...]:
    """Return the jobs of the course that `work_plan` proposes, in the order of its lists; arguments as there."""
    if not setup.remedies:
        return ()
    needed, course, _, _ = _weighed(setup, centre, drawn, faults(setup.subject, setup.tables))
    chosen = [row for row in setup.remedies if row.key in course]
    return tuple(sorted(chosen, key=lambda row: (row.key not in needed, _turn(row, WorkList.PAYS))))


def work_without_money(case: Case, tables: Tables, subject: Instrument) -> tuple[WorkItem, ...]:
    """Return what is needed now and what a player gains, where no price new says what it would add to the value."""
    remedies = costing.offered(case, tables)
    costs = {key: float(cost[0]) for key, cost in costing.job_costs(case, tables, remedies, Sampler.centre()).items()}
    found = faults(subject, tables)
    urgent = _urgent(found, remedies, tables)
    needed = cheapest(urgent, remedies, costs, tables)
    rest = [one for one in found if one not in urgent and not _answered(one, needed, remedies, tables)]
    player = cheapest(rest, remedies, costs, tables) - needed
    return tuple(
        _item(case, tables, row, group, costs[row.key], 0.0, costs[row.key], chosen=False)
        for group, jobs in ((WorkList.NEEDED, needed), (WorkList.PLAYER, player))
        for row in sorted(
            (row for row in remedies if row.key in jobs),
            key=lambda row, group=group: _turn(row, group),  # type: ignore[misc]
        )
    )


def _urgent(found: Iterable[Fault], remedies: Iterable[Remedy], tables: Tables) -> list[Fault]:
    """Return the findings to be put right now: those that are due, and those by which somebody could be hurt."""
    safe = [row for row in remedies if row.safety]
    return [
        fault
        for fault in found
        if fault.due or (fault.grade >= UNSAFE - EXACT and any(answers(row, [fault], tables) for row in safe))
    ]


def _turn(row: Remedy, group: WorkList) -> tuple[float, float, str]:
    """Return where a job stands in its list: safety first, then its turn in the workshop; for players by benefit."""
    if group is WorkList.PLAYER:
        return (-row.benefit, row.stage, row.key)
    return (0.0 if row.safety else 1.0, row.stage, row.key)


def _course(
    setup: Setup, centre: Scenario, found: Iterable[Fault], needed: frozenset[str], expected: _Expected
) -> frozenset[str]:
    """Return the course to propose: what is needed with what pays beside it, less what does not pay; or nothing.

    What could hurt somebody is never left while other work is done.
    """
    safe = with_steps(
        {row.key for row in setup.remedies if row.safety} & needed, {row.key: row for row in setup.remedies}
    )
    whole = needed | _best_course(setup, centre, found, needed)
    part = _less_what_does_not_pay(expected, whole)
    if part and not safe <= part:
        part = part | safe
        return part if expected.gain(part) >= expected.gain(frozenset()) else frozenset()
    return part


def _best_course(setup: Setup, centre: Scenario, found: Iterable[Fault], needed: frozenset[str]) -> frozenset[str]:
    """Return the best plan at the central figures among jobs that cure something that was found, some done anyway."""
    faulty = list(found)
    rows = {row.key: row for row in setup.remedies}
    able = {key for key, row in rows.items() if answers(row, faulty, setup.tables)}
    rows |= {joint.row.key: joint.row for joint in setup.joints}
    able |= {joint.row.key for joint in setup.joints if joint.members <= able}
    for key in sorted(able):
        able |= setup.plans.jobs[key].requires
    if not able:
        return frozenset()
    plans = space({key: (tuple(rows[key].improves), rows[key].requires) for key in sorted(able)})
    costs = centre.prices.costs
    free = {key: np.zeros_like(costs[key]) if key in needed else costs[key] for key in costs}
    whole = added_up(free, setup.joints)
    return as_told(best(plans, replace(centre.prices, costs=whole)).plans[0], setup.joints)


def _affordable(remedies: Iterable[Remedy], costs: Mapping[str, float], most: float) -> list[Remedy]:
    """Return the jobs that cost no more than a sum [money], the steps that they need included."""
    rows = {row.key: row for row in remedies}
    return [row for row in rows.values() if sum(costs[key] for key in sorted(with_steps([row.key], rows))) <= most]


def _answered(fault: Fault, jobs: frozenset[str], remedies: Iterable[Remedy], tables: Tables) -> bool:
    return any(leaves(row, fault, tables) <= SOUND_ENOUGH + EXACT for row in remedies if row.key in jobs)


class _Expected:
    """What plans can be expected to leave [money]: the mean over some of the draws."""

    def __init__(self, plans: Space, sample: Prices, joints: tuple[Together, ...]) -> None:
        """Look at nothing but these draws."""
        self.plans, self.sample, self.joints = plans, sample, joints
        self._as_is = Followed.nothing(plans, sample)
        self._worth: dict[frozenset[str], float] = {}

    def worth(self, plan: frozenset[str]) -> float:
        """Return what a plan leaves before its cost."""
        if plan not in self._worth:
            self._worth[plan] = self._as_is.with_jobs(as_searched(plan, self.joints)).worth
        return self._worth[plan]

    def gain(self, plan: frozenset[str]) -> float:
        """Return what a plan leaves once it is paid for."""
        return self.worth(plan) - sum(float(self.sample.costs[key].mean()) for key in sorted(plan))

    def added(self, plan: frozenset[str], key: str) -> float:
        """Return the rise that a job brings next to the rest of a plan."""
        if key in plan:
            return self.worth(plan) - self.worth(plan - {key})
        return self.worth(plan | with_needs(self.plans, key)) - self.worth(plan)


def _less_what_does_not_pay(expected: _Expected, plan: frozenset[str]) -> frozenset[str]:
    """Take out, one at a time and the poorest first, the jobs that do not bring back what a buyer deducts for them."""
    jobs = expected.plans.jobs
    asked = {key: float(expected.sample.costs[key].mean()) for key in plan}
    while plan:
        needed = frozenset[str]().union(*(jobs[key].requires for key in plan))
        losses = {key: asked[key] - expected.added(plan, key) for key in sorted(plan - needed)}
        worst = max(losses, key=losses.__getitem__)
        if losses[worst] <= 0.0:
            break
        plan = plan - {worst}
    return plan


def _item(
    case: Case,
    tables: Tables,
    row: Remedy,
    group: WorkList,
    cost: float,
    added: float,
    asked: float,
    *,
    chosen: bool,
) -> WorkItem:
    hourly = costing.rates(case, tables)
    hours, parts = costing.job_hours(case, row, tables), costing.parts_share(case, row, tables)
    low, high = hourly.price(hours.low, parts.low), hourly.price(hours.high, parts.high)
    return WorkItem(
        remedy=row.key,
        label=row.label,
        group=group,
        hours=hours,
        cost=Range(min(low, cost), cost, max(high, cost)),
        value_added=added,
        curable=added >= asked,
        chosen=chosen,
        step=not row.improves,
        safety=row.safety,
        pieces=costing.pieces(case, row, tables) if row.per else 1,
        if_left=row.if_left,
    )


def groups(items: Iterable[WorkItem]) -> Mapping[WorkList, tuple[WorkItem, ...]]:
    """Return the items by list, every list there, in the order in which they are shown."""
    held = tuple(items)
    return {group: tuple(item for item in held if item.group is group) for group in WorkList}
