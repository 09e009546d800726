"""What was seen of a component: the results of its checks, and how much of what can be known they cover."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import numpy as np
from numpy.typing import NDArray

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from appraise.engine.grade import Judged
    from appraise.tables.rows import Check, Tables


Figure = TypeVar("Figure", float, NDArray[np.float64])


@dataclass(frozen=True, slots=True)
class Coverage:
    """How much of a component the checks made show; every share in [0, 1] and never less with one check more."""

    whole: float
    """Weight of the checks made over the weight of all [–]."""
    wear: float
    """The same over the checks that speak of wear; over all of them where none does [–]."""
    spread: float
    """Share of the unseen grade's own variance that they remove [–]."""
    speaks: float
    """Weight of the checks made, each times how far it speaks of other parts' wear, over the weight of all [–]."""


FULL = Coverage(1.0, 1.0, 1.0, 1.0)
"""Of a part whose grade the assessor set."""
NOTHING = Coverage(0.0, 0.0, 0.0, 0.0)
"""Of a part that nobody looked at."""


def settled_share(coverage: NDArray[np.float64], power: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how much of a component's variance is settled where this much of it was looked at, both in [0, 1].

    Checks of one component are akin, as they share its age and history: the first tells more than its share, and the
    last less. A power of the coverage below 1; our assumption.
    """
    settled: NDArray[np.float64] = np.clip(coverage, 0.0, 1.0) ** power
    return settled


def settled_by(coverage: float, tables: Tables) -> float:
    """Return the same for one component, by the power of the settings."""
    return float(settled_share(np.asarray(coverage), np.asarray(tables.setting("akin_checks_power"))))


def coverage_of(rows: Iterable[Check], made: Collection[str], tables: Tables) -> Coverage:
    """Return how much of a component is shown by the checks that were made.

    Args:
        rows: Every grade-bearing check of the component.
        made: Keys of checks; those of other components are ignored.
        tables: Holds the share of the variance that rare faults have at most.

    Notes:
        A check whose `wear` is 0 looks for a rare fault. That the fault is absent says nothing of how worn the part
        is; it takes away the risk of that fault alone. The variance of an unseen part is split between wear and
        rare faults by the weight of their checks, the faults having no more than the setting `fault_spread_share`.
        Our assumption.
    """
    every = list(rows)
    total = sum(row.weight for row in every)
    if total <= 0.0:
        return NOTHING
    done = [row for row in every if row.key in made]
    whole = sum(row.weight for row in done) / total
    speaks = sum(row.weight * row.wear for row in done) / total
    worn = sum(row.weight for row in every if row.wear > 0.0)
    if worn <= 0.0:
        return Coverage(whole, whole, whole, speaks)
    wear = sum(row.weight for row in done if row.wear > 0.0) / worn
    settled = settled_by(wear, tables)
    rare = total - worn
    if rare <= 1e-12:
        return Coverage(whole, wear, settled, speaks)
    absent = sum(row.weight for row in done if row.wear <= 0.0) / rare
    faults = min(tables.setting("fault_spread_share"), rare / total)
    return Coverage(whole, wear, settled + faults * (absent - settled), speaks)


@dataclass(frozen=True, slots=True)
class Observation:
    """What the checks together say of one component."""

    judged: tuple[Judged, ...]
    """In table order."""
    covered: Coverage
    governing: str
    grade: float | None
    """Worst of the capped grades; none when nothing was checked."""
    sampling_sd: float
    wear_grade: float | None = None
    """Worst of those that speak of wear; none when none of them was made."""

    @property
    def coverage(self) -> float:
        """Weight of the checks made over the weight of all [–]."""
        return self.covered.whole


def look(checks: Iterable[Check], judged: Mapping[str, Judged], tables: Tables) -> Observation:
    """Combine the checks of one component: the worst governs.

    Args:
        checks: Every grade-bearing check of the component.
        judged: Results by check key; those of other components are ignored.
        tables: Holds the settings.
    """
    rows = list(checks)
    made = [judged[row.key] for row in rows if row.key in judged]
    if not made:
        return Observation((), NOTHING, "", None, 0.0)
    worst = max(made, key=lambda one: one.result.grade)
    # The widest sampling spread, whichever check governs: a worse grade must not look like better knowledge.
    spread = max(one.sampling_sd for one in made)
    worn = [judged[row.key].result.grade for row in rows if row.key in judged and row.wear > 0.0]
    return Observation(
        tuple(made),
        coverage_of(rows, judged.keys(), tables),
        worst.result.check,
        worst.result.grade,
        spread,
        max(worn, default=None),
    )
