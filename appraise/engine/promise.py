"""By how much a visit can be expected to narrow the range: a few visits imagined, each valued as a real one is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.engine.aspects import aspect, governing
from appraise.engine.draws import normal, percentiles, rectangular
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, worth
from appraise.engine.setup import prepare
from appraise.engine.subject import assemble
from appraise.engine.suspected import SUSPECTED
from appraise.model.case import Grade

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.setup import Setup
    from appraise.model.case import Case

VISITS = 24
"""How many visits are imagined, their findings a Latin hypercube."""

DRAWS = 256
"""Draws behind the range of each."""

SEEDS = 4
"""Sets of draws that the visits take in turn: the chance of one would be a good part of what a short visit promises."""


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
        expected of the others. Only the valuation has all of that, so that two dozen visits are imagined, what the
        checks would show drawn from what is held of their parts, and each is valued.
    """
    if not checks:
        return 0.0
    before = sum(_width(setup, setup.case, seed + turn) for turn in range(SEEDS)) / SEEDS
    if before <= 0.0:
        return 0.0
    widths = [_width(setup, case, seed + at % SEEDS) for at, case in enumerate(imagined(setup, checks, seed))]
    return max(0.0, 100.0 * (1.0 - sum(widths) / len(widths) / before))


def imagined(setup: Setup, checks: Sequence[str], seed: int) -> list[Case]:
    """Return the case as it might stand after the visit, once for each visit imagined.

    Args:
        setup: The priced case as it stands.
        checks: Made in the visit.
        seed: Of what the parts turn out to be.
    """
    parts = {part.key: part for part in setup.subject.parts}
    shared = normal(seed, "promise.general condition", VISITS)
    doubts = {doubt.check: doubt.chance for part in setup.subject.parts for doubt in part.suspected}
    settles = {key: rectangular(seed, f"promise.{SUSPECTED}{key}", VISITS) for key in checks if key in doubts}
    rows = [setup.tables.checks[key] for key in checks if key not in doubts]
    own = {row.key: normal(seed, f"promise.{row.key}", VISITS) for row in rows}
    components = dict.fromkeys(row.component for row in rows)
    turned = {key: normal(seed, f"promise.{key}", VISITS) for key in components}
    scatter = {key: normal(seed, f"promise.assessor.{key}", VISITS) for key in components}
    noise = setup.tables.setting("grade_sd_seen")
    falls = {key: rectangular(seed, f"promise.governing.{key}", VISITS) for key in components}
    cases = []
    for visit in range(VISITS):
        common, grades = float(shared[visit]), []
        for row in rows:
            part, score = parts[row.component], float(turned[row.component][visit])
            belief = part.belief
            grade = belief.mean + belief.own_sd * score + belief.common_sd * common
            grade += noise * float(scatter[row.component][visit])  # what an assessor finds scatters about what is there
            grade = min(belief.worst, max(1.0, grade))
            if row is not governing(part.checks, grade, float(falls[row.component][visit])):
                grade = min(grade, aspect(belief, len(part.checks), score, float(own[row.key][visit]), common))
            grades.append(Grade(min(row.cap, max(1.0, grade)), check=row.key))
        readings = tuple(
            replace(one, value=bool(settles[one.check][visit] < doubts[one.check]), probability_pct=None)
            if one.check in settles
            else one
            for one in setup.case.readings
        )
        cases.append(replace(setup.case, grades=(*setup.case.grades, *grades), readings=readings))
    return cases


def _width(setup: Setup, case: Case, seed: int) -> float:
    # What comparables say of their market no grade changes.
    known = prepare(case, setup.tables, assemble(case, setup.tables), lambda *_: setup.evidence)
    # A sale elsewhere, as a dealer's, is the setup's own.
    known = replace(known, channel=setup.channel, taking=setup.taking)
    low, high = percentiles(worth(known, draw_world(known, Sampler(seed, DRAWS))).value, (10.0, 90.0))
    return high - low
