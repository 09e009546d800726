"""Which checks fit a visit: greedily by what each settles per minute, next to those already chosen."""

from __future__ import annotations

from heapq import heapify, heappop, heappush
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from appraise.tables.rows import Check

NOTICEABLE = 1e-5
"""Share of the variance below which a check settles nothing worth its minutes [–]."""


def chosen(
    checks: Iterable[Check],
    minutes: float,
    settled: Callable[[Sequence[str]], float],
    first: Sequence[str] = (),
    alone: Mapping[str, float] | None = None,
) -> list[str]:
    """Return the checks to make, in order.

    Args:
        checks: Those that can be made.
        minutes: Of the visit [min].
        settled: Share of the variance that a set of checks settles [–].
        first: Checks made before these, whose minutes are taken off already.
        alone: Share that each settles by itself [–], where that is known already.

    Returns:
        Keys; their minutes fit the visit.

    Notes:
        What a check settles falls, or hardly rises, with what is known already, so that a figure worked out earlier
        stays a bound: only the top of the list is worked out anew. Where the checks differ much in minutes, the best
        choice that begins with one particular check can beat the plain one; each possible beginning is a candidate
        where there are few checks, and that of the most telling one always.

    References:
        M. Minoux, "Accelerated greedy algorithms for maximizing submodular set functions", 1978. M. Sviridenko, "A note
        on maximizing a submodular set function subject to a knapsack constraint", Operations Research Letters 32, 2004
        (both from memory).
    """
    rows = [row for row in checks if row.minutes <= minutes]
    if alone is None or first:
        alone = _gains(rows, settled, first)
    plain = _greedy(rows, minutes, settled, list(first), alone)
    best, most = plain, settled(plain)
    # A single check that tells most can be worth more than many that tell more a minute.
    beginnings = rows if len(rows) <= FEW else [max(rows, key=lambda row: alone[row.key])]
    for row in beginnings:
        rest = [other for other in rows if other is not row]
        begun = [*first, row.key]
        found = _greedy(rest, minutes - row.minutes, settled, begun, _gains(rest, settled, begun))
        worth = settled(found)
        if worth > most + NOTICEABLE:
            best, most = found, worth
    return best[len(first) :]


FEW = 8
"""Number of checks up to which every beginning is tried."""


def _gains(
    rows: Iterable[Check], settled: Callable[[Sequence[str]], float], made: Sequence[str]
) -> Mapping[str, float]:
    """Return what each check settles next to those made [–]."""
    base = settled(made)
    return {row.key: settled([*made, row.key]) - base for row in rows}


def _greedy(
    rows: Sequence[Check],
    minutes: float,
    settled: Callable[[Sequence[str]], float],
    made: list[str],
    alone: Mapping[str, float],
) -> list[str]:
    base = settled(made)
    heap = [(-alone[row.key] / max(row.minutes, 0.1), at, len(made)) for at, row in enumerate(rows)]
    heapify(heap)
    left = minutes
    while heap:
        gain, at, known = heappop(heap)
        row = rows[at]
        if row.minutes > left:
            continue
        if known < len(made):
            gain = -(settled([*made, row.key]) - base) / max(row.minutes, 0.1)
            heappush(heap, (gain, at, len(made)))
            continue
        if -gain * max(row.minutes, 0.1) < NOTICEABLE:
            break
        made.append(row.key)
        base = settled(made)
        left -= row.minutes
    return made
