"""A figure in its draws, with how it follows what was drawn and what checks would settle of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.information import Knowledge, Response, knowledge, respond
from appraise.engine.sampler import Sampler
from appraise.engine.suspected_draws import brought
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

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
