"""A figure in its draws, with how it follows what was drawn and what checks would settle of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine import draws
from appraise.engine.information import Knowledge, knowledge, narrowing
from appraise.engine.regression import Response, respond
from appraise.engine.sampler import Sampler
from appraise.engine.suspected import brought
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Driver, NextCheck

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    import numpy as np
    from numpy.typing import NDArray

    from appraise.engine.scenarios import Scenario, Worth
    from appraise.engine.subject import Instrument
    from appraise.model.case import Case
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Study:
    """A figure in its draws, how it follows what was drawn, and what checks would settle of it."""

    value: Array
    """Each draw of the condition in several markets, shape (m,)."""
    response: Response
    known: Knowledge
    seed: int
    n: int


def study(case: Case, subject: Instrument, drawn: Scenario, found: Worth, tables: Tables) -> Study:
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
    by_market = found.market_variance * n / found.value.size
    of_condition = max(0.0, float(found.by_condition.var()) - by_market)
    doubts = brought(found.by_condition, subject, drawn.source)
    known = knowledge(case, subject, response, (float(found.value.var()), of_condition), tables, doubts)
    return Study(found.value, response, known, drawn.source.seed, n)


def study_of_share(
    case: Case, subject: Instrument, column: Array, inputs: Iterable[str], seed: int, tables: Tables
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
    known = knowledge(
        case, subject, response, (variance, variance), tables, brought(column, subject, Sampler(seed, column.size))
    )
    return Study(column, response, known, seed, column.size)


def drivers(
    means: Mapping[tuple[str, ...], NDArray[np.float64]],
    outcome: NDArray[np.float64],
    seed: int,
) -> tuple[Driver, ...]:
    """Return every input with its first-order share of the variance of the value, largest first.

    Args:
        means: Names of inputs varied together, and the mean of the value in each of their draws [money], shape (n,).
        outcome: Value in every draw [money].
        seed: Seed of the draws.
    """
    total = float(outcome.var())
    found = []
    for inputs, mean in means.items():
        shares = draws.variance_shares(mean, draws.orders_of(seed, inputs, mean.size), total)
        found += [Driver(name, float(share)) for name, share in zip(inputs, shares, strict=True)]
    return tuple(sorted(found, key=lambda driver: (-driver.share, driver.input)))


def next_checks(known: Knowledge) -> tuple[NextCheck, ...]:
    """Return every check not yet made, most informative first.

    Args:
        known: What the checks settle of the value.

    Returns:
        For each check by how much the range narrows through it alone [%]. Checks that take days are left out.
    """
    found = []
    for key, share in known.each().items():
        row = known.looks[key].row
        if not row.days:
            narrows = narrowing(share)
            found.append(NextCheck(key, row.label, row.station, row.component, narrows, row.minutes))
    return tuple(sorted(found, key=lambda check: (-check.narrows_pct, check.minutes, check.check)))
