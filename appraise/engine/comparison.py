"""Comparables valued as instruments of their own, by the model that values the subject."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache, partial
from math import sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.comparables import RATIOS, Evidence, Twin, evidence, grid
from appraise.engine.draws import median
from appraise.engine.identity_cache import IdentityCache, unless_once, valued_once
from appraise.engine.plan import joined
from appraise.engine.scenarios import course_gains, drawn_prices, gains_at, gains_between
from appraise.engine.setup import prepare
from appraise.engine.subject import assemble
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

    from appraise.engine.plan import Prices
    from appraise.engine.sampler import Sampler
    from appraise.engine.scenarios import Scenario, Worth
    from appraise.engine.setup import Setup
    from appraise.model.case import Case
    from appraise.model.result import GridLine
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]

_LUCK = np.array([NormalDist().inv_cdf((k + 0.5) / 5) for k in range(5)])
"""Standard normal scores of five equally likely levels of the market."""


def prepared(case: Case, tables: Tables, source: Sampler) -> Setup:
    """Return everything about a priced case that the draws do not vary, its comparables looked at.

    Args:
        case: With a replacement cost new.
        tables: The reference tables.
        source: The draws with which the comparables are valued, those of the subject.

    Raises:
        ValueError: The case states no replacement cost new.
    """
    make = partial(_evidence, case, tables, source)
    return _PREPARED.of((case, tables), source, lambda: prepare(case, tables, assemble(case, tables), make))


_PREPARED: IdentityCache[Setup] = IdentityCache(4)


def _evidence(case: Case, tables: Tables, source: Sampler, replacement: float, channel: float) -> Evidence | None:
    return evidence(case, tables, replacement, channel, _twins(case, tables, source), _made_ready)


def _twins(subject: Case, tables: Tables, source: Sampler) -> Callable[[Case], Twin]:
    spread, valued = _spread(subject, tables), unless_once(twin)
    return lambda case: valued(case, tables, source, spread)


def _spread(subject: Case, tables: Tables) -> float:
    """Return how unsure the level of the market is by the comparables of a case [–]."""
    return tables.setting("comparable_sd") / sqrt(max(1, len(subject.market.comparables)))


@lru_cache(maxsize=128)
def twin(case: Case, tables: Tables, source: Sampler, spread: float = 0.0) -> Twin:
    """Value a comparable at several levels of its market; kept, because it does not change during an inspection.

    Args:
        case: From `comparables.like`; its basis is the kind of sale it was sold in.
        tables: The reference tables.
        source: The draws.
        spread: Relative standard deviation of the market level [–], as the subject will meet it: what condition leaves
            is skewed, so that the middle at an unsure level is not that at its middle.

    Returns:
        Medians over condition and level of the best course less what its buyer pays to take it. A sale to a dealer or
        an estimate of cost is brought to the retail price by the share of its row, and nothing is taken off.
    """
    sold = tables.bases[case.assignment.basis]
    if sold.method == "market":
        channel = Range(sold.low, sold.typical, sold.high)
    else:
        retail = next(row.key for row in tables.bases.values() if row.method == "market" and not row.buyer_carries)
        case = replace(case, assignment=replace(case.assignment, basis=retail))
        channel = Range(sold.low, sold.typical, sold.high) if sold.method == "residual" else Range(1.0, 1.0, 1.0)
    with valued_once():
        setup = replace(prepare(case, tables, assemble(case, tables)), channel=channel)
        level = setup.replacement.mid * setup.factor.mid * channel.mid
        prices = drawn_prices(setup, source, level)[2]
    left = max(1.0, level * float(prices.before.mean()))
    return Twin(level, _Middles(setup, prices, level, spread), left, setup.taking.flat, channel)


class _Middles:
    """Medians of one comparable at `RATIOS` times its level, each worked out when it is first asked for."""

    def __init__(self, setup: Setup, prices: Prices, level: float, spread: float) -> None:
        self._setup, self._prices, self._level = setup, prices, level
        self._luck = np.exp(spread * _LUCK)
        self._gains = np.full((RATIOS.size, prices.level.size), np.nan)
        self._known = np.full(RATIOS.size, np.nan)

    def __call__(self, places: range) -> Array:
        """Return the medians at some places [money]."""
        for place in places:
            if np.isnan(self._known[place]):
                self._search(places)
                self._known[place] = self._median(RATIOS[place]) - self._setup.taking.flat
        return self._known[places.start : places.stop]

    def _search(self, places: range) -> None:
        """Search the best course at every level that the luck of the market can turn these into."""
        missing = self.missing(places)
        if missing:
            with valued_once():
                levels = self._level * RATIOS[missing]
                self._gains[missing] = course_gains(self._setup.plans, self._prices, levels)

    def missing(self, places: range) -> list[int]:
        """Return the levels at which the best course is yet to be searched for places [place in `RATIOS`]."""
        asked = np.outer(RATIOS[places.start : places.stop], self._luck[[0, -1]])
        first = max(0, int(np.searchsorted(RATIOS, asked.min())) - 1)
        last = min(RATIOS.size - 1, int(np.searchsorted(RATIOS, asked.max())))
        return [node for node in range(first, last + 1) if np.isnan(self._gains[node, 0])]

    @staticmethod
    def search_together(several: Sequence[_Middles], nodes: Sequence[list[int]]) -> None:
        """Search the best course of several comparables at so many levels each, as draws of one instrument.

        Args:
            several: At least one.
            nodes: Levels of each, all as many [place in `RATIOS`].
        """
        prices = joined([one._prices for one in several])
        if prices is None or any(one._setup.plans is not several[0]._setup.plans for one in several):
            return
        n = several[0]._gains.shape[1]
        levels = [
            np.repeat([one._level * RATIOS[node] for one, node in zip(several, row, strict=True)], n)
            for row in zip(*nodes, strict=True)
        ]
        with valued_once():
            gains = course_gains(several[0]._setup.plans, prices, levels)
        for at, (one, own) in enumerate(zip(several, nodes, strict=True)):
            one._gains[own] = gains[:, at * n : (at + 1) * n]

    def _median(self, ratio: float) -> float:
        return float(median(gains_between(RATIOS, self._gains, ratio * self._luck).ravel()))


def _made_ready(asked: Sequence[tuple[Twin, range]]) -> None:
    """Search what several comparables will be asked for first, all at once: most of a search is its beginning."""
    several = {id(twin.middles): (twin.middles, places) for twin, places in asked}
    wanted = [(one, one.missing(places)) for one, places in several.values() if isinstance(one, _Middles)]
    wanted = [(one, missing) for one, missing in wanted if missing]
    if len(wanted) < 2:
        return
    most = max(len(missing) for _, missing in wanted)
    for start in range(0, len(wanted), TOGETHER):
        some = wanted[start : start + TOGETHER]
        _Middles.search_together(
            [one for one, _ in some], [missing + [missing[-1]] * (most - len(missing)) for _, missing in some]
        )


TOGETHER = 4
"""Comparables searched at once at most: more outgrow what a processor keeps at hand."""


def grid_lines(setup: Setup, world: Scenario, found_worth: Worth) -> tuple[GridLine, ...]:
    """Return the comparables adjusted to the subject, one feature at a time; none without comparables.

    Args:
        setup: From `prepared`.
        world: Its draws.
        found_worth: What it is worth in them.
    """
    found = setup.evidence
    if found is None:
        return ()
    by_tables = setup.factor.mid / (found.factor_ratio if setup.factor_from == "comparables" else 1.0)
    level = setup.taking.kept * setup.replacement.mid * by_tables * setup.channel.mid
    ends = np.exp(_spread(setup.case, setup.tables) * _LUCK[[0, -1]])
    asked = level * np.outer([sale.ratio for sale in found.sales], ends).ravel()
    nodes, gains = found_worth.nodes, found_worth.gains
    if asked.min() < nodes[0] or asked.max() > nodes[-1]:
        nodes, gains = gains_at(setup, world.prices, asked)
    luck = np.exp(_spread(setup.case, setup.tables) * _LUCK)

    def subject(ratio: float) -> float:
        return float(median(gains_between(nodes, gains, level * ratio * luck).ravel())) - setup.taking.flat

    taken = (setup.channel.mid, setup.taking.flat)
    twins = _twins(setup.case, setup.tables, world.source)
    return grid(found, setup.case, setup.tables, setup.replacement.mid, subject, taken, twins)
