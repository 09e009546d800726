"""What it costs to renew each component, and which renewals are large jobs."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import costs as costing
from appraise.engine.belief import SOUND_ENOUGH, WORST
from appraise.engine.condition import SOUND
from appraise.engine.cures import MARGIN, with_steps
from appraise.engine.identity_cache import IdentityCache
from appraise.engine.sampler import Sampler

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from appraise.engine.subject import Instrument, Part
    from appraise.model.case import Case
    from appraise.tables.rows import Tables
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]


def renews(job: Remedy, component: str) -> bool:
    """Tell whether a job makes a component sound again, whatever is the matter with it and however worn it is."""
    whole = not job.per and not job.causes and job.up_to >= WORST
    return whole and component in job.improves and job.improves[component] <= SOUND


def renewal_costs(case: Case, tables: Tables) -> Mapping[str, float]:
    """Return what the cheapest job that renews a component costs, its steps included [money], at the central figures.

    Args:
        case: Its rates, its size and its class of maker count.
        tables: The remedies.

    Returns:
        By component. A component that no job renews is missing, and so is every one where the case prices no labour.
    """
    if not case.costs.labour_rate:
        return {}
    made_from = (case.identity, case.readings, case.costs, tables)
    return _COSTS.of(made_from, None, partial(_renewal_costs, case, tables))


def _renewal_costs(case: Case, tables: Tables) -> Mapping[str, float]:
    rows = {row.key: row for row in costing.offered(case, tables)}
    alone = {
        key: float(cost[0]) for key, cost in costing.job_costs(case, tables, rows.values(), Sampler.centre()).items()
    }
    found: dict[str, float] = {}
    for row in rows.values():
        wanted = [key for key in row.improves if renews(row, key)]
        if wanted:
            cost = sum(alone[key] for key in sorted(with_steps([row.key], rows)))
            for key in wanted:
                found[key] = min(cost, found.get(key, cost))
    return found


_COSTS: IdentityCache[Mapping[str, float]] = IdentityCache(16)


def large_jobs(subject: Instrument, case: Case, tables: Tables) -> tuple[Part, ...]:
    """Return the components whose renewal is a large job, in walking order; a fault of the whole is none.

    Args:
        subject: The instrument.
        case: Its rates and its replacement cost new.
        tables: The remedies, and the share of the replacement cost new from which a job is large.

    Returns:
        Those whose cheapest renewal costs at least that share. Where the case prices no labour or no new instrument,
        and for a component that no job renews, the component's own share of the cost new counts instead.
    """
    return _LARGE.of((subject, case, tables), None, partial(_large_jobs, subject, case, tables))


_LARGE: IdentityCache[tuple[Part, ...]] = IdentityCache(2)


def _large_jobs(subject: Instrument, case: Case, tables: Tables) -> tuple[Part, ...]:
    least = tables.setting("large_job_share")
    new = case.market.cost_new
    costs = renewal_costs(case, tables) if new else {}

    def share(part: Part) -> float:
        return costs[part.key] / new if new and part.key in costs else part.share

    # Looks alone ask for no work at any time: a part that only looks worn is renewed when its owner likes.
    working = (part for part in subject.parts if not part.row.hazard and (part.row.gate or not part.row.appearance))
    return tuple(part for part in working if share(part) >= least)


def cures_by_grade(
    case: Case, tables: Tables, costs: Mapping[str, Array]
) -> Mapping[str, tuple[tuple[float, Array], ...]]:
    """Return what it costs to cure a component of whatever wears it out, by how worn it is.

    Args:
        case: Its kind and size count.
        tables: The remedies.
        costs: Of each job that is offered [money], shape (n,).

    Returns:
        By component the worst grade that can be cured, rising, and the cost of the cheapest job that can, its steps
        included [money], shape (n,). Jobs by the piece, and those that answer one finding alone however bad that is,
        cure no general wear.
    """
    rows = {row.key: row for row in costing.offered(case, tables) if row.key in costs}
    found: dict[str, list[tuple[float, Array]]] = {}
    for row in rows.values():
        if row.per or (row.causes and row.up_to >= WORST):
            continue
        for key, grade in row.improves.items():
            if grade <= max(SOUND_ENOUGH, tables.components[key].due_from - MARGIN):
                cost = np.sum([costs[step] for step in sorted(with_steps([row.key], rows))], axis=0)
                found.setdefault(key, []).append((row.up_to, cost))
    return {key: _cheapest_from(options) for key, options in found.items()}


def _cheapest_from(options: list[tuple[float, Array]]) -> tuple[tuple[float, Array], ...]:
    """Return for each limit the least cost among the jobs that reach it or go further, limits rising."""
    limits = sorted({up_to for up_to, _ in options})
    return tuple((limit, np.minimum.reduce([cost for up_to, cost in options if up_to >= limit])) for limit in limits)
