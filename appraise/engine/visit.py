"""A visit of so many minutes: which checks to make, in which order, and how much they promise to narrow the range."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.engine.asking import (
    another_sale,
    asking_price,
    changes_course,
    changes_purchase,
    course_responses,
    purchase_response,
)
from appraise.engine.choice import chosen
from appraise.engine.comparison import prepared
from appraise.engine.condition import condition
from appraise.engine.information import narrowing
from appraise.engine.promise import promised
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, share_left, worth
from appraise.engine.study import study, study_of_share
from appraise.engine.subject import assemble
from appraise.engine.work import work_plan
from appraise.model.visit import Visit, VisitCheck

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.information import Knowledge
    from appraise.engine.study import Study
    from appraise.model.case import Case
    from appraise.tables.rows import Check, Tables


TOLD_FROM = 2.0
"""Narrowing below which imagined visits could not be told from chance [%]."""


def visit(
    case: Case,
    tables: Tables,
    minutes: float,
    *,
    skipped: frozenset[str] = frozenset(),
    asking: float | None = None,
    draws: int | None = None,
    seed: int | None = None,
) -> Visit:
    """Choose the checks of a visit.

    Args:
        case: The case, free of grave problems.
        tables: The reference tables.
        minutes: Of the visit [min], ≥ 0.
        skipped: Checks that cannot be made here.
        asking: Price asked [money]; none: nobody asks one, or the case has no replacement cost new.
        draws: Number of draws, ≥ 64; none: the table's.
        seed: Seed of the draws, ≥ 0; none: the table's.

    Returns:
        First the knock-out round, in the order of the walk, as far as it fits; then the checks that narrow the range
        most for every minute. None that takes days.

    Raises:
        KeyError: The case names a row that the tables do not hold.
        ValueError: Too few draws, or minutes that are no number of minutes.
    """
    n = int(tables.setting("draws") if draws is None else draws)
    chosen_seed = int(tables.setting("seed") if seed is None else seed)
    if n < 64:
        raise ValueError(f"a range needs at least 64 draws: {n}")
    if not 0.0 <= minutes < float("inf"):
        raise ValueError(f"a visit takes 0 minutes or more: {minutes}")
    if case.market.cost_new is None:
        subject = assemble(case, tables)
        drawn = condition(subject, (), Sampler(chosen_seed, n), tables)
        found = study_of_share(case, subject, share_left(subject, drawn), drawn.inputs, chosen_seed, tables)
        return Visit(minutes, tuple(_entries(found, _order(found.known, minutes, skipped))), None, None)
    source = Sampler(chosen_seed, n)
    setup = prepared(case, tables, source)
    if setup.basis.method == "replacement":
        return Visit(minutes, (), None, None)
    world = draw_world(setup, source)
    result = worth(setup, world)
    found = study(case, setup.subject, world, result, tables)
    order = _order(found.known, minutes, skipped)
    plan = work_plan(setup, draw_world(setup, Sampler.centre()), world)
    courses = course_responses(setup, world, plan.jobs)
    possible = [key for key, look in found.known.looks.items() if key not in skipped and not look.row.days]
    answer = None if asking is None else asking_price(setup, world, result, found.known, possible, asking)
    chances = None if asking is None else purchase_response(world, result, asking)
    little = narrowing(found.known.settled(order)) < TOLD_FROM
    narrows = None if little else promised(setup, order, chosen_seed)
    entries = []
    for entry in _entries(found, order, narrows):
        alone = found.known.alone(entry.check)
        course = changes_course(courses, alone)
        purchase = chances is not None and changes_purchase(chances, alone)
        entries.append(replace(entry, changes_course=course, changes_purchase=purchase))
    most = max((narrowing(share) for key, share in found.known.each().items() if key in possible), default=0.0)
    another = another_sale(setup, result)
    return Visit(minutes, tuple(entries), another if another > max(most, 0.5) else None, answer)


def _order(known: Knowledge, minutes: float, skipped: frozenset[str]) -> list[str]:
    """Return the keys of the checks to make, the knock-out round first."""
    rows = [look.row for key, look in known.looks.items() if key not in skipped and not look.row.days]
    first, left = [], minutes
    for row in rows:
        if row.knock_out and row.minutes <= left:
            first.append(row.key)
            left -= row.minutes
    return [*first, *chosen([row for row in rows if not row.knock_out], left, known.settled, first, known.each())]


def _entries(found: Study, order: Sequence[str], narrows: float | None = None) -> list[VisitCheck]:
    """Return the checks with what each promises, all together `narrows` [%]; none: by the variance that they settle."""
    steps = [narrowing(found.known.settled(order[:at])) for at in range(len(order) + 1)]
    factor = 1.0 if narrows is None or steps[-1] <= 0.0 else narrows / steps[-1]
    entries = []
    for at, key in enumerate(order):
        row = found.known.looks[key].row
        own = max(0.0, factor * (steps[at + 1] - steps[at]))
        entries.append(_entry(row, own, factor * steps[at + 1]))
    return entries


def _entry(row: Check, own: float, cumulative: float) -> VisitCheck:
    minutes = max(row.minutes, 0.1)
    return VisitCheck(
        row.key,
        row.label,
        row.station,
        row.component,
        row.minutes,
        own,
        cumulative,
        own / minutes,
        row.knock_out,
        changes_course=False,
        changes_purchase=False,
    )
