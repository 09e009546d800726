"""Repairs of one component that answer different findings, done together."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.identity_cache import IdentityCache
from appraise.engine.job_effects import found_of, left_standing
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from numpy.typing import NDArray

    from appraise.engine.subject import Instrument, Part
    from appraise.tables.rows_worth import Remedy

    Array = NDArray[np.float64]

MOST = 3
"""How many repairs of one component are reckoned with together at most."""

_LEAST = 1e-9


@dataclass(frozen=True, slots=True)
class Together:
    """Several jobs as one: the search holds at most one job by itself for each component."""

    row: Remedy
    """What it does; its hours are not used."""
    members: frozenset[str]
    """Keys of the jobs, whose costs add up."""


def together(remedies: Iterable[Remedy], subject: Instrument) -> tuple[Together, ...]:
    """Return the sets of jobs that leave a component better than any of them alone.

    A job that answers some findings leaves what others found: a new caster on a split leg leaves the leg, and a new leg
    the caster. Both together leave neither.

    Args:
        remedies: Those offered for the instrument.
        subject: The instrument, with what was found.
    """
    by_part: dict[str, list[Remedy]] = {}
    for row in remedies:
        if row.causes and len(row.improves) == 1:
            by_part.setdefault(next(iter(row.improves)), []).append(row)
    parts = [each for part in subject.parts for each in (part, *(doubt.part for doubt in part.suspected))]
    # Where nothing was found by a check, any of the jobs answers all there is.
    several = [(part, by_part[part.key]) for part in parts if len(by_part.get(part.key, ())) > 1 and found_of(part)]
    found = (joint for part, rows in several for joint in _KNOWN.of(rows, _found(part), partial(_of_part, part, rows)))
    return tuple({joint.members: joint for joint in found}.values())


def _found(part: Part) -> tuple[object, ...]:
    """Return everything of a part that what its repairs leave hangs on."""
    judged = tuple((one.result.check, one.result.grade) for one in part.seen.judged)
    return part.key, part.belief.mean, part.overrule, part.seen.grade, part.seen.wear_grade, judged


_KNOWN: IdentityCache[list[Together]] = IdentityCache(128)


def _of_part(part: Part, remedies: Iterable[Remedy]) -> list[Together]:
    alone: dict[frozenset[str], float] = {}
    jobs: dict[str, Remedy] = {}
    for row in remedies:
        left = left_standing(row, part)
        if left is not None:
            alone[frozenset([row.key])], jobs[row.key] = left, row
    found = []
    for size in range(2, min(MOST, len(jobs)) + 1):
        for chosen in combinations(sorted(jobs), size):
            members = frozenset(chosen)
            row = _as_one([jobs[key] for key in chosen], part.key)
            left = left_standing(row, part)
            least = min(known for held, known in alone.items() if held < members)
            if left is not None and left < least - _LEAST:
                alone[members] = left
                found.append(Together(row, members))
    return found


def _as_one(rows: list[Remedy], component: str) -> Remedy:
    return replace(
        rows[0],
        key=" + ".join(row.key for row in rows),
        causes=tuple(sorted({cause for row in rows for cause in row.causes})),
        improves={component: max(row.improves[component] for row in rows)},
        up_to=max(row.up_to for row in rows),
        requires=tuple(sorted({step for row in rows for step in row.requires})),
        resets=False,
    )


def added_up(costs: Mapping[str, Array], joints: tuple[Together, ...]) -> Mapping[str, Array]:
    """Return the costs of jobs with those of the jobs done together [money], arrays of shape (n,)."""
    return _ALL.of((costs, *joints), None, partial(_added_up, costs, joints)) if joints else costs


def _added_up(costs: Mapping[str, Array], joints: Iterable[Together]) -> Mapping[str, Array]:
    found = dict(costs)
    for joint in joints:
        members = [costs[key] for key in sorted(joint.members)]
        found[joint.row.key] = _SUMS.of(members, None, partial(np.sum, members, axis=0))
    return found


_ALL: IdentityCache[Mapping[str, Array]] = IdentityCache(16)
_SUMS: IdentityCache[Array] = IdentityCache(128)


def as_searched(plan: frozenset[str], joints: Iterable[Together]) -> frozenset[str]:
    """Return a plan with jobs that leave a component better together taken as one, as the search takes them."""
    for joint in sorted(joints, key=lambda joint: (-len(joint.members), joint.row.key)):
        if joint.members <= plan:
            plan = plan - joint.members | {joint.row.key}
    return plan


def as_told(plan: frozenset[str], joints: Iterable[Together]) -> frozenset[str]:
    """Return a plan in the jobs of the tables."""
    for joint in joints:
        if joint.row.key in plan:
            plan = plan - {joint.row.key} | joint.members
    return plan
