"""The repair of a damage: the cheapest set of remedies that puts the parts back, and the betterment in it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.belief import EXACT, SOUND_ENOUGH
from appraise.engine.cures import Fault, cheapest, leaves, with_steps
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import percentile_range
from appraise.model.lazy_dataclass import dataclass
from appraise.model.loss import RepairItem
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.loss.quotations import Quotations
    from appraise.engine.subject import Instrument
    from appraise.model.case import Case
    from appraise.model.loss import QuotedWork, WorseComponent
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]


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
    quotations: tuple[QuotedWork, ...] = ()


def repair(
    case: Case,
    tables: Tables,
    damaged: Sequence[WorseComponent],
    before: Instrument,
    worn: Mapping[str, Array],
    source: Sampler,
    *,
    deduct: bool,
    grades: Mapping[str, float] | None = None,
    earlier: Case | None = None,
    jobs: Collection[str] = (),
    quotations: Quotations | None = None,
) -> Repair | None:
    """Return the cheapest repair that brings the damaged components back to about the grade they had.

    Args:
        case: The damaged state, with the rates that count.
        tables: Remedies and settings.
        damaged: Components with their grades before and after.
        before: The instrument before the damage.
        worn: Depreciation before the damage by component [–], arrays of shape (n,).
        source: The draws, the same as for the values.
        deduct: Whether new for old is counted.
        grades: Grade of each check after the damage; one that is missing counts with the grade of its component.
        earlier: The state before: pieces that were broken already are no part of the damage; none: all of them are.
        jobs: Done as well, as remarks name them, each with the steps it needs.
        quotations: What workshops ask; one that is taken stands in place of the table for the jobs it names.

    Returns:
        The jobs with the steps they need, each step paid once; none where the case states no labour rate.

    Notes:
        Repair follows what the damage is: every check that got worse is a fault of its own, and two jobs may share the
        faults of one component. The choice is exact, by `cures.cheapest`: of all sets of jobs that mend best, the
        cheapest at the typical costs.
    """
    rows = costing.offered(case, tables)
    if not rows:
        return None
    fresh = {row.key: _fresh(case, earlier, row, tables) for row in rows}
    counted = {cause for row in rows if row.per and fresh[row.key] > 0.0 for cause in row.causes}
    strict = {part.component: _as_before(part, tables) for part in damaged}
    faults = _faults(damaged, grades or {}, counted, rows, tables)
    central = costing.job_costs(case, tables, rows, Sampler.centre())
    wanting = [fault for found in faults.values() for fault in found]
    plan = cheapest(wanting, rows, {key: fresh[key] * float(cost[0]) for key, cost in central.items()}, tables)
    by_key = {row.key: row for row in rows}
    plan |= with_steps([job for job in jobs if job in by_key], by_key)
    rows = tuple(row for row in rows if row.key in plan)
    drawn = {key: fresh[key] * cost for key, cost in costing.job_costs(case, tables, rows, source).items()}
    typical = {key: fresh[key] * float(cost[0]) for key, cost in central.items() if key in plan}
    quoted, prices = ((), {}) if quotations is None else quotations.priced(typical, drawn, tables)
    n = source.n
    items, total, new = [], np.zeros(n), np.zeros(n)
    for row in rows:
        share = _worn_share(row, before, worn, n) if deduct and row.resets else np.zeros(n)
        hours = costing.job_hours(case, row, tables)
        hours = Range(*(fresh[row.key] * each for each in (hours.low, hours.mid, hours.high)))
        cost = np.full(n, prices[row.key]) if row.key in prices else drawn[row.key]
        item = _item(row, hours, _mends(row, faults, tables), cost, share, tables)
        by_table = percentile_range(drawn[row.key], tables) if row.key in prices else None
        items.append(replace(item, parts=costing.parts_share(case, row, tables).mid, by_table=by_table))
        total, new = total + cost, new + cost * share
    mended = {
        part: [(fault, min([fault.grade, *(leaves(row, fault, tables) for row in rows)])) for fault in found]
        for part, found in faults.items()
    }
    unrestored = tuple(
        part for part, found in mended.items() if any(grade > fault.enough + EXACT for fault, grade in found)
    )
    reached = {
        part: max(grade for _, grade in found)
        for part, found in mended.items()
        if any(grade < fault.grade or fault.enough >= grade > strict[part] + EXACT for fault, grade in found)
    }
    return Repair(tuple(items), unrestored, reached, total, new, quoted)


def _faults(
    damaged: Sequence[WorseComponent],
    grades: Mapping[str, float],
    counted: Collection[str],
    rows: Sequence[Remedy],
    tables: Tables,
) -> dict[str, tuple[Fault, ...]]:
    """Return what is to be mended, by component: each check that got worse, or the component where none did.

    Broken pieces that a check counts are mended however little they weigh in the grade of the whole part. A part whose
    grade is hidden behind an older defect asks for no job: it is back where it was at no cost.
    """
    sound, found = tables.setting("loss_sound_grade"), {}
    for part in damaged:
        said = (*part.checks, *part.only_after) or ("",)
        found[part.component] = tuple(
            Fault(
                part.component,
                check,
                min(part.grade_after, grades.get(check, part.grade_after)),
                due=False,
                enough=max(part.grade_before, sound)
                if check in counted
                else max(_as_before(part, tables), _mended(part.component, check, rows)),
            )
            for check in said
        )
    return found


def _as_before(part: WorseComponent, tables: Tables) -> float:
    """Return the grade at which a component counts as back where it was."""
    within, sound = tables.setting("loss_restored_within"), tables.setting("loss_sound_grade")
    return max(part.grade_before + within, sound)


def _mended(component: str, check: str, rows: Sequence[Remedy]) -> float:
    """Return the grade at which a job that only mends leaves a fault, where that is sound; 0 where none does.

    A crack is shimmed, and no board is replaced because it was better than a shimmed one before: what a mend leaves is
    diminution.
    """
    left = [row.improves[component] for row in rows if _only_mends(row, component, check)]
    return min((grade for grade in left if grade <= SOUND_ENOUGH), default=0.0)


def _only_mends(row: Remedy, component: str, check: str) -> bool:
    return not row.resets and component in row.improves and check in row.causes


def _fresh(case: Case, earlier: Case | None, row: Remedy, tables: Tables) -> float:
    """Return the share of a job that the damage asks for [–]: by the piece, the pieces that were sound before."""
    if earlier is None or not row.per:
        return 1.0
    return 1.0 - min(1.0, costing.pieces(earlier, row, tables) / costing.pieces(case, row, tables))


def _mends(row: Remedy, faults: Mapping[str, Sequence[Fault]], tables: Tables) -> tuple[str, ...]:
    """Return the damaged components that a job mends; none for a step that other jobs need."""
    return tuple(
        part for part, found in faults.items() if any(leaves(row, fault, tables) < fault.grade for fault in found)
    )


def _worn_share(row: Remedy, before: Instrument, worn: Mapping[str, Array], n: int) -> Array:
    """Return the depreciation of what a job replaces, by share of cost [–], shape (n,)."""
    shares = {part.key: part.share for part in before.parts if part.key in row.improves}
    total = sum(shares.values())
    if total <= 0.0:
        return np.zeros(n)
    share: Array = np.clip(sum((s * worn[key] for key, s in shares.items()), np.zeros(n)) / total, 0.0, 1.0)
    return share


def _item(
    row: Remedy, hours: Range, components: tuple[str, ...], cost: Array, share: Array, tables: Tables
) -> RepairItem:
    return RepairItem(
        row.key,
        row.label,
        components,
        hours,
        percentile_range(cost, tables),
        row.resets,
        float(np.median(share)),
        percentile_range(cost * share, tables),
    )
