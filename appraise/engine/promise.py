"""By how much a visit can be expected to narrow the range: a few visits imagined, each valued as a real one is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.engine.draws import normal, percentiles
from appraise.engine.setup import prepare
from appraise.engine.simulate import Source
from appraise.engine.subject import assemble
from appraise.engine.worlds import draw_world, worth
from appraise.model.case import Grade

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.setup import Setup
    from appraise.model.case import Case

VISITS = 12
"""How many visits are imagined, their findings a Latin hypercube."""

DRAWS = 256
"""Draws behind the range of each."""


def promised(setup: Setup, checks: Sequence[str], seed: int) -> float:
    """Return by how much the range from the 10th to the 90th percentile can be expected to narrow [%].

    Args:
        setup: The priced case as it stands.
        checks: Made in the visit.
        seed: Of the draws.

    Returns:
        The mean over the findings, at least 0.

    Notes:
        A regression tells which check settles most. The width that is left follows the findings too: a better
        instrument has a wider range in money, many draws may end at salvage, and what one part shows moves what is
        expected of the others. Only the valuation has all of that, so that a dozen visits are imagined, the grades of
        the parts looked at drawn from what is held of them, and each is valued.
    """
    if not checks:
        return 0.0
    before = _width(setup, setup.case, seed)
    if before <= 0.0:
        return 0.0
    widths = [_width(setup, case, seed) for case in imagined(setup, checks, seed)]
    return max(0.0, 100.0 * (1.0 - sum(widths) / len(widths) / before))


def imagined(setup: Setup, checks: Sequence[str], seed: int) -> list[Case]:
    """Return the case as it might stand after the visit, once for each visit imagined.

    Args:
        setup: The priced case as it stands.
        checks: Made in the visit.
        seed: Of what the parts turn out to be.
    """
    beliefs = {part.key: part.belief for part in setup.subject.parts}
    shared = normal(seed, "promise.general condition", VISITS)
    rows = [setup.tables.checks[key] for key in checks]
    turned = {row.component: normal(seed, f"promise.{row.component}", VISITS) for row in rows}
    cases = []
    for visit in range(VISITS):
        grades = []
        for row in rows:
            belief = beliefs[row.component]
            grade = belief.mean + belief.own_sd * turned[row.component][visit] + belief.common_sd * shared[visit]
            grades.append(Grade(float(min(belief.worst, row.cap, max(1.0, grade))), check=row.key))
        cases.append(replace(setup.case, grades=(*setup.case.grades, *grades)))
    return cases


def _width(setup: Setup, case: Case, seed: int) -> float:
    # What comparables say of their market no grade changes.
    known = prepare(case, setup.tables, assemble(case, setup.tables), lambda *_: setup.evidence)
    # A sale elsewhere, as a dealer's, is the setup's own.
    known = replace(known, channel=setup.channel, taking=setup.taking)
    low, high = percentiles(worth(known, draw_world(known, Source(seed, DRAWS))).value, (10.0, 90.0))
    return high - low
