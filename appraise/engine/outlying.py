"""Sales that contradict the others, or the tables, by far more than sales scatter: marked, and never left out."""

from __future__ import annotations

from dataclasses import replace
from math import exp, hypot
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.market import relative_sd, tables_factor
from appraise.model.result import Outlying

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.engine.setup import Setup
    from appraise.model.result import GridLine
    from appraise.tables.rows import Tables

FEWEST = 3
"""So many sales can outvote one of them; of two that contradict each other only the tables can tell which."""
_NORMAL_MAD = 0.674489750196082
"""Median absolute deviation of a standard normal quantity [–]: its upper quartile."""


def outlying(
    ratios: Sequence[float], unsure: Sequence[float], scatter: float, tables: Tables
) -> tuple[Outlying | None, ...]:
    """Return which sales stand out, and by how much.

    Args:
        ratios: Level of each sale's market against the tables' [–], > 0.
        unsure: How unsure the tables' level for each is [–], on the logarithmic scale.
        scatter: What one sale scatters by at least [–], on the logarithmic scale.
        tables: For the cutoff, `sale_outside_score`.

    Notes:
        The score is the modified z score M = 0.6745·(x − median)/MAD of the logarithms, the scatter MAD/0.6745 taken
        to be no less than that of one sale, for few sales agree by chance. Below three sales, and where the others
        scatter so much that they vouch for nobody, the tables stand in for the others, with what they leave open
        themselves. Nothing here looks at the condition of the subject, so that no grade moves a mark.

    References:
        B. Iglewicz, D. C. Hoaglin, How to Detect and Handle Outliers, ASQC Quality Press, 1993: |M| > 3.5 (from
        memory).
    """
    cutoff = tables.setting("sale_outside_score")
    logs = np.log(np.asarray(ratios, dtype=np.float64))
    middle = float(np.median(logs)) if len(logs) else 0.0
    spread = max(float(np.median(np.abs(logs - middle))) / _NORMAL_MAD, scatter) if len(logs) else scatter
    found: list[Outlying | None] = []
    for at, own in zip(map(float, logs), unsure, strict=True):
        score = (at - middle) / spread
        by_tables = at / hypot(own, scatter)
        several = len(logs) >= FEWEST
        vouched = several and abs(at - middle) <= cutoff * scatter
        if several and abs(score) > cutoff:
            found.append(Outlying("others", score, exp(at - middle)))
        elif not vouched and abs(by_tables) > cutoff:
            found.append(Outlying("tables", by_tables, exp(at)))
        else:
            found.append(None)
    return tuple(found)


def stand_out(setup: Setup) -> tuple[Outlying | None, ...]:
    """Return which comparables of a priced case stand out, in their order; empty where none are looked at."""
    case, tables, found = setup.case, setup.tables, setup.evidence
    if found is None:
        return ()
    level = hypot(relative_sd(tables_factor(case, tables, setup.subject.age)), relative_sd(setup.replacement))
    unsure = [hypot(level, relative_sd(sale.channel)) for sale in found.sales]
    return outlying([sale.ratio for sale in found.sales], unsure, tables.setting("comparable_sd"), tables)


def marked(lines: Sequence[GridLine], setup: Setup) -> tuple[GridLine, ...]:
    """Return the lines of a grid, those marked that stand out; no other figure of them changes."""
    return tuple(replace(line, outlying=one) for line, one in zip(lines, stand_out(setup), strict=True))
