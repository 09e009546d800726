"""By how much a visit can be expected to narrow the range: a few visits imagined, each valued as a real one is."""

from __future__ import annotations

from dataclasses import replace
from statistics import NormalDist
from typing import TYPE_CHECKING

from appraise.engine.belief import WORST
from appraise.engine.draws import percentiles
from appraise.engine.setup import prepare
from appraise.engine.simulate import Source
from appraise.engine.subject import assemble
from appraise.engine.worlds import draw_world, worth
from appraise.model.case import Grade

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.setup import Setup
    from appraise.model.case import Case

FINDINGS = tuple(NormalDist().inv_cdf(share) for share in (1 / 6, 1 / 2, 5 / 6))
"""How the visits imagined turn out, as standard normal scores: the middles of the best, middle and worst third."""

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
        expected of the others. Only the valuation has all of that, so that three visits are imagined in which every
        part looked at turns out well, as expected, or badly, and each is valued.
    """
    if not checks:
        return 0.0
    before = _width(setup, setup.case, seed)
    if before <= 0.0:
        return 0.0
    widths = [_width(setup, found(setup, checks, score), seed) for score in FINDINGS]
    return max(0.0, 100.0 * (1.0 - sum(widths) / len(widths) / before))


def found(setup: Setup, checks: Sequence[str], score: float) -> Case:
    """Return the case as it would stand after an imagined visit.

    Args:
        setup: The priced case as it stands.
        checks: Made in the visit.
        score: Standard normal score of the grades of all parts looked at, the worse the greater.
    """
    beliefs = {part.key: part.belief for part in setup.subject.parts}
    grades = []
    for key in checks:
        row = setup.tables.checks[key]
        belief = beliefs[row.component]
        grades.append(Grade(min(WORST, row.cap, max(1.0, belief.mean + score * belief.sd)), check=key))
    return replace(setup.case, grades=(*setup.case.grades, *grades))


def _width(setup: Setup, case: Case, seed: int) -> float:
    # What comparables say of their market no grade changes.
    known = prepare(case, setup.tables, assemble(case, setup.tables), lambda *_: setup.evidence)
    # A sale elsewhere, as a dealer's, is the setup's own.
    known = replace(known, channel=setup.channel, taking=setup.taking)
    low, high = percentiles(worth(known, draw_world(known, Source(seed, DRAWS))).value, (10.0, 90.0))
    return high - low
