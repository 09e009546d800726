"""What the inspection found to be wanting, and the cheapest work that cures it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.belief import EXACT, SOUND_ENOUGH
from appraise.engine.plan import Prices, space
from appraise.engine.plan_search import best
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from appraise.engine.subject import Instrument, Part
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Remedy

MARGIN = 0.5
"""How far below the grade from which a part is due work has to leave it [grade]: half a step of the scale."""

ONE_BROKEN = 2.0
"""Grade past which a check that counts broken or missing pieces has found one that is missed."""

BROKEN = 3.0
"""Grade at least of a finding that counts broken or missing pieces, where there is one: a simple repair."""

_OUTWEIGHS = 1e4
"""How much a grade left uncured weighs against the cost of every job together [–]."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One finding worse than sound: of a check, or of a component whose grade the assessor set himself."""

    component: str
    check: str
    """Empty where the assessor set the grade of the whole component."""
    grade: float
    due: bool
    """At or past the grade from which the component is due."""
    enough: float
    """Grade at which it counts as cured."""

    @property
    def key(self) -> str:
        """Its address: the component, and the check where there is one."""
        return f"{self.component}:{self.check}" if self.check else self.component


def faults(subject: Instrument, tables: Tables) -> tuple[Fault, ...]:
    """Return everything that was found and is not sound, in walking order; what nobody inspected is no finding.

    One broken or missing piece that is missed is due, however little it says of the component.
    """
    single = {row.key for row in tables.checks.values() if row.each}
    found = []
    for part in subject.parts:
        for check, found_at in _findings(part):
            broken = check in single and found_at > ONE_BROKEN + EXACT
            grade = max(found_at, BROKEN) if broken else found_at
            if grade > SOUND_ENOUGH + EXACT:
                worn_out = grade >= part.row.due_from - EXACT
                enough = max(SOUND_ENOUGH, part.row.due_from - MARGIN) if worn_out else SOUND_ENOUGH
                found.append(Fault(part.key, check, grade, worn_out or broken, enough))
    return tuple(found)


def _findings(part: Part) -> list[tuple[str, float]]:
    if part.overrule is not None:
        return [("", part.overrule.grade)]
    return [(one.result.check, one.result.grade) for one in part.seen.judged]


def leaves(job: Remedy, fault: Fault, tables: Tables) -> float:
    """Return the grade at which a job leaves a fault; as found where the job does not answer it or cannot cure it."""
    if _puts_right(job, fault, tables):
        return 1.0
    if fault.component not in job.improves or fault.grade > job.up_to + EXACT:
        return fault.grade
    if job.causes and fault.check not in job.causes:
        generic = not fault.check and not job.per and job.up_to < 5.0 - EXACT
        if not generic:
            return fault.grade
    return min(fault.grade, job.improves[fault.component])


def answers(job: Remedy, found: Iterable[Fault], tables: Tables) -> list[Fault]:
    """Return the faults that a job leaves better than they were found."""
    near = [fault for fault in found if fault.component in job.improves or _puts_right(job, fault, tables)]
    return [fault for fault in near if leaves(job, fault, tables) < fault.grade]


def _puts_right(job: Remedy, fault: Fault, tables: Tables) -> bool:
    check = tables.checks.get(fault.check)
    return check is not None and check.put_right_by == job.key


def cheapest(
    wanting: Sequence[Fault], remedies: Iterable[Remedy], costs: Mapping[str, float], tables: Tables
) -> frozenset[str]:
    """Return the cheapest set of jobs, with the steps they need, that cures faults as far as any work can.

    Args:
        wanting: What is to be cured.
        remedies: Those offered for the instrument.
        costs: Typical cost of each [money].
        tables: For the checks.

    Notes:
        The search of plans is given what is missing to a cure in place of depreciation, weighed so high that it never
        trades a better cure for a lower cost; among the plans that cure most it returns the cheapest.
    """
    rows = {row.key: row for row in remedies}
    answered = {key: answers(row, wanting, tables) for key, row in rows.items()}
    used = with_steps({key for key, found in answered.items() if found}, rows)
    if not used:
        return frozenset()
    plans = space({key: (tuple(fault.key for fault in answered[key]), rows[key].requires) for key in sorted(used)})
    left = {fault.key: np.array([_missing(fault, fault.grade)]) for fault in wanting}
    after = {
        (key, fault.key): np.array([_missing(fault, leaves(rows[key], fault, tables))])
        for key in used
        for fault in answered[key]
    }
    priced = {key: np.array([costs[key]]) for key in used}
    weight = np.array([_OUTWEIGHS * (1.0 + sum(costs[key] for key in sorted(used)))])
    plan = best(plans, Prices(weight, dict.fromkeys(left, 1.0), left, after, priced, {}, {})).plans[0]
    return plan | _first(plan, wanting, rows, tables)


def _first(
    plan: frozenset[str], wanting: Sequence[Fault], rows: Mapping[str, Remedy], tables: Tables
) -> frozenset[str]:
    """Return the jobs that come before a cure in a plan, as the treatment of moth before new felt."""
    found = set()
    for fault in wanting:
        check = tables.checks.get(fault.check)
        answered = any(leaves(rows[key], fault, tables) < fault.grade for key in plan)
        if answered and check is not None and check.first_job in rows:
            found.add(check.first_job)
    return frozenset(with_steps(found, rows))


def _missing(fault: Fault, grade: float) -> float:
    return max(0.0, grade - fault.enough)


def with_steps(wanted: Iterable[str], rows: Mapping[str, Remedy]) -> set[str]:
    """Return jobs with every step that they need and that is among the rows."""
    found, waiting = set(wanted), list(wanted)
    while waiting:
        for step in rows[waiting.pop()].requires:
            if step in rows and step not in found:
                found.add(step)
                waiting.append(step)
    return found
