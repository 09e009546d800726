"""A figure in its draws with what checks would settle of it, and by how much its range can be expected to narrow."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws as drawing
from appraise.engine.information import COMMON, GRADE, Knowledge, Response, hermite, knowledge, respond

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from appraise.engine.subject import Subject
    from appraise.engine.worlds import World, Worth
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

STRATA = 16
"""Groups of draws that look alike after a visit, whose widths are averaged."""


@dataclass(frozen=True, eq=False)
class Study:
    """A figure in its draws, how it follows what was drawn, and what checks would settle of it."""

    value: Array
    """Each draw of the condition in several markets, shape (m,)."""
    response: Response
    known: Knowledge
    seed: int
    n: int


def study(case: Case, subject: Subject, drawn: World, found: Worth, tables: Tables) -> Study:
    """Study what checks would settle of the value.

    Args:
        case: With a replacement cost new.
        subject: The instrument.
        drawn: Its draws.
        found: What it is worth in them.
        tables: Checks and settings.
    """
    n, market = drawn.source.n, drawn.market
    beside = [column.reshape(-1, n).mean(axis=0) for column in (market.level, market.salvage)]
    response = respond(found.by_condition, drawn.source.seed, drawn.inputs, beside)
    every = found.value.reshape(-1, n)
    by_market = float(every.var(axis=0, ddof=1).mean()) / len(every) if len(every) > 1 else 0.0
    of_condition = max(0.0, float(found.by_condition.var()) - by_market)
    known = knowledge(case, subject, response, (float(found.value.var()), of_condition), tables)
    return Study(found.value, response, known, drawn.source.seed, n)


def study_of_share(
    case: Case, subject: Subject, column: Array, inputs: Iterable[str], seed: int, tables: Tables
) -> Study:
    """Study what checks would settle of the share of a new instrument that is left, where there is no money.

    Args:
        case: For the kind of instrument.
        subject: The instrument.
        column: The share in every draw [–], shape (n,).
        inputs: Names of those it varies with.
        seed: Of the draws.
        tables: Checks and settings.
    """
    response = respond(column, seed, inputs)
    variance = float(column.var())
    known = knowledge(case, subject, response, (variance, variance), tables)
    return Study(column, response, known, seed, column.size)


def promised(found: Study, checks: Sequence[str]) -> float:
    """Return by how much the range between its outer percentiles can be expected to narrow [%].

    Args:
        found: The study of the figure.
        checks: Made in the visit.

    Notes:
        For each draw of the condition the visit is imagined: each part's grade shows with the noise that is left, the
        regression says which value the finding speaks for. Draws whose findings speak for much the same value are
        what such a finding leaves open, and the width from the 10th to the 90th percentile within them, averaged over
        the findings, is the width to expect. Unlike a share of the variance this holds for values that are far from
        normal, as where many draws end at salvage.
    """
    if not checks:
        return 0.0
    n = found.n
    finding = _findings(found, checks)
    rows = np.argsort(finding, kind="stable")
    every = found.value.reshape(-1, n)
    whole = _width(found.value)
    if whole <= 0.0:
        return 0.0
    groups = np.array_split(rows, min(STRATA, max(2, n // 32)))
    expected = sum(_width(every[:, group].ravel()) * group.size for group in groups) / n
    return min(100.0, max(0.0, 100.0 * (1.0 - expected / whole)))


def _width(column: Array) -> float:
    low, high = drawing.percentiles(column, (10.0, 90.0))
    return high - low


def _findings(found: Study, checks: Sequence[str]) -> Array:
    """Return the value that the findings of an imagined visit speak for in every draw, less its mean."""
    known, response = found.known, found.response
    seen, variance, precision = known.after(checks)
    total = np.zeros(found.n)
    shares = np.clip(1.0 - variance / np.maximum(known.before, 1e-12), 0.0, 1.0)
    left = np.sqrt(np.clip((1.0 - seen) / np.maximum(1e-12, 1.0 - known.seen), 0.0, 1.0))
    common = 1.0 - min(1.0, float(known.lean @ left) * sqrt(known.precision / precision)) ** 2
    asked = [(f"{GRADE}{key}", float(shares[at])) for key, at in known.places.items()]
    for name, share in [*asked, (COMMON, common)]:
        terms = response.terms.get(name)
        if terms is None or share <= 0.0:
            continue
        noise = drawing.normal(found.seed, f"look at {name}", found.n)
        scores = sqrt(share) * drawing.normal(found.seed, name, found.n) + sqrt(1.0 - share) * noise
        kept = np.sign(terms) * np.sqrt(response.strength(name))
        powers = hermite(scores, len(terms))
        total += sum(kept[at] * share ** ((at + 1) / 2.0) * powers[at] for at in range(len(terms)))
    return total
