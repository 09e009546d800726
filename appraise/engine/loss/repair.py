"""The repair of a damage: the cheapest set of remedies that puts the parts back, and the betterment in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.belief import WORST
from appraise.engine.plan import Prices, space
from appraise.engine.plan_search import best
from appraise.engine.simulate import EXACT, Source
from appraise.engine.worlds import percentile_range
from appraise.model.loss import RepairItem

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.subject import Subject
    from appraise.model.case import Case
    from appraise.model.loss import WorseComponent
    from appraise.model.result import Range
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]

OUTWEIGHS = 1e4
"""How much a grade left unmended weighs against the cost of every job together [–]."""


@dataclass(frozen=True, eq=False)
class Repair:
    """What a repair comes to in every draw."""

    items: tuple[RepairItem, ...]
    unrestored: tuple[str, ...]
    reached: Mapping[str, float]
    """Grade at which the repair leaves each component that a job of it mends."""
    cost: Array
    """[money], shape (n,)."""
    betterment: Array
    """[money], shape (n,), from 0 to the cost."""


def repair(
    case: Case,
    tables: Tables,
    damaged: Sequence[WorseComponent],
    before: Subject,
    worn: Mapping[str, Array],
    source: Source,
    *,
    deduct: bool,
) -> Repair | None:
    """Return the cheapest repair that brings the damaged components back to about the grade they had.

    Args:
        case: With the rates that count.
        tables: Remedies and settings.
        damaged: Components with their grades before and after.
        before: The instrument before the damage.
        worn: Depreciation before the damage by component [–], arrays of shape (n,).
        source: The draws, the same as for the values.
        deduct: Whether new for old is counted.

    Returns:
        The jobs with the steps they need, each step paid once; none where the case states no labour rate.

    Notes:
        The choice is exact: the search of plans is given what is missing to the former grade in place of
        depreciation, weighed so high that it never trades a better mend for a lower cost; among the plans that mend
        best it returns the cheapest at the typical costs.
    """
    offered = costing.offered(case, tables)
    if not offered:
        return None
    mended_by_job = [part for part in damaged if _wants_mending(part, tables)]
    rows = _useful(offered, {part.component for part in mended_by_job})
    plans = space({row.key: (tuple(row.improves), row.requires) for row in rows})
    central = costing.job_costs(case, tables, rows, Source.centre())
    missing = {part.component: _missing(part, part.grade_after, tables) for part in mended_by_job}
    reached = {part.component: part for part in mended_by_job}
    left = {key: np.array([missing.get(key, 0.0)]) for row in rows for key in row.improves}
    left |= {key: np.array([gap]) for key, gap in missing.items()}
    after = {
        (row.key, key): np.array([_missing(reached[key], _reaches(row, reached[key]), tables)])
        if key in reached
        else left[key]
        for row in rows
        for key in row.improves
    }
    weight = OUTWEIGHS * (1.0 + sum(float(cost[0]) for cost in central.values()))
    prices = Prices(np.array([weight]), dict.fromkeys(left, 1.0), left, after, central, {}, {})
    plan = best(plans, prices).plans[0]
    plan, rows = _with_adjustments(plan, rows, offered, damaged, tables)
    drawn = costing.job_costs(case, tables, rows, source)
    n = source.n
    items, total, new = [], np.zeros(n), np.zeros(n)
    for row in rows:
        if row.key in plan:
            share = _worn_share(row, before, worn, n) if deduct and row.resets else np.zeros(n)
            hours = costing.job_hours(case, row, tables)
            items.append(_item(row, hours, {part.component: part for part in damaged}, drawn[row.key], share, tables))
            total, new = total + drawn[row.key], new + drawn[row.key] * share
    mended = {
        key: min([gap, *(float(after[job, key][0]) for job in sorted(plan) if (job, key) in after)])
        for key, gap in missing.items()
    }
    # A part whose grade is hidden behind an older defect asks for no job: it is back where it was at no cost.
    unrestored = tuple(key for key, gap in mended.items() if gap > 1e-9)
    left_at = {
        key: min(_reaches(row, part) for row in rows if row.key in plan and key in row.improves)
        for key, part in reached.items()
        if any(row.key in plan and key in row.improves for row in rows)
    }
    return Repair(tuple(items), unrestored, left_at, total, new)


def _useful(offered: Sequence[Remedy], damaged: set[str]) -> list[Remedy]:
    """Return the remedies that improve a damaged component, with every step they need, in table order."""
    rows = {row.key: row for row in offered}
    wanted = {row.key for row in offered if damaged.intersection(row.improves)}
    waiting = list(wanted)
    while waiting:
        for step in rows[waiting.pop()].requires:
            if step in rows and step not in wanted:
                wanted.add(step)
                waiting.append(step)
    return [row for row in offered if row.key in wanted]


def _wants_mending(part: WorseComponent, tables: Tables) -> bool:
    """Tell whether anything but checks that an adjustment puts right speaks for the damage of a component."""
    said = (*part.checks, *part.only_after)
    return not said or any(not tables.checks[key].put_right_by for key in said)


def _with_adjustments(
    plan: frozenset[str],
    rows: Sequence[Remedy],
    offered: Sequence[Remedy],
    damaged: Sequence[WorseComponent],
    tables: Tables,
) -> tuple[frozenset[str], list[Remedy]]:
    """Add the adjustments that put a check right and mend no part, unless the part is new after the plan anyway."""
    new = {key for row in rows if row.key in plan and row.resets for key in row.improves}
    wanted = {tables.checks[key].put_right_by for part in damaged if part.component not in new for key in part.checks}
    added = [row for row in offered if row.key in wanted and row.key not in plan]
    known = {row.key for row in rows}
    return plan | {row.key for row in added}, [*rows, *(row for row in added if row.key not in known)]


def _missing(part: WorseComponent, grade: float, tables: Tables) -> float:
    """Return how far a grade is from about the one a component had [grade]."""
    enough = max(part.grade_before + tables.setting("loss_restored_within"), tables.setting("loss_sound_grade"))
    return max(0.0, grade - enough)


def _reaches(row: Remedy, part: WorseComponent) -> float:
    """Return the grade a job leaves a component at; as it was found where the job cannot cure what is the matter."""
    cures = part.grade_after <= row.up_to + EXACT and _answers(row, part)
    return min(part.grade_after, row.improves[part.component]) if cures else part.grade_after


def _answers(row: Remedy, part: WorseComponent) -> bool:
    """Tell whether a job answers everything that speaks for the damage of a component."""
    if not row.causes:
        return True
    said = (*part.checks, *part.only_after)
    return set(said) <= set(row.causes) if said else not row.per and row.up_to < WORST


def _worn_share(row: Remedy, before: Subject, worn: Mapping[str, Array], n: int) -> Array:
    """Return the depreciation of what a job replaces, by share of cost [–], shape (n,)."""
    shares = {part.key: part.share for part in before.parts if part.key in row.improves}
    total = sum(shares.values())
    if total <= 0.0:
        return np.zeros(n)
    share: Array = np.clip(sum((s * worn[key] for key, s in shares.items()), np.zeros(n)) / total, 0.0, 1.0)
    return share


def _item(
    row: Remedy, hours: Range, reached: Mapping[str, WorseComponent], cost: Array, share: Array, tables: Tables
) -> RepairItem:
    return RepairItem(
        row.key,
        row.label,
        tuple(key for key in row.improves if key in reached),
        hours,
        percentile_range(cost, tables),
        row.resets,
        float(np.median(share)),
        percentile_range(cost * share, tables),
    )
