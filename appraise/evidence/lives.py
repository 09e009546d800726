"""Service lives from a folder of cases: renewals are events, parts in service censored, the tables the prior."""

from __future__ import annotations

from dataclasses import replace
from math import log
from typing import TYPE_CHECKING

from appraise.engine.life import STEEPEST, Weibull, weibull
from appraise.engine.subject import service_life
from appraise.evidence.overlay import LIVES_SOURCE
from appraise.evidence.survival import Spell, fitted
from appraise.model.case import Extent
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range
from appraise.model.span import Span, years_between
from appraise.tables.row import Source, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from appraise.model.case import Case
    from appraise.tables.rows import Component, Tables
    from appraise.tables.rows_ageing import Life

_LEAST = 0.25
"""Spells shorter than this [years] are slips of the pen or the same job told twice; our assumption."""
_WRITTEN_DOWN = 12.0
"""Median life [years] from which a renewal leaves a record: what is done every few years, as regulating is, nobody
notes, and a part would seem to have lasted since the making; our assumption."""


@dataclass(frozen=True, slots=True)
class LearnedLife:
    """A row of lives as the cases have it."""

    row: Life
    events: int
    censored: int
    factor: float
    """By which the median of the tables is multiplied [–]."""
    sd: float
    """Standard uncertainty of its logarithm [–]."""
    after: Range
    """10 %, 50 % and 90 % quantiles in domestic use [years]."""
    heavy: Range


def spells(cases: Iterable[Case], tables: Tables, *, visits: bool = False) -> dict[str, list[Spell]]:
    """Return the spells of service that cases tell of, by row of `lives`, in units of the median life there.

    Args:
        cases: Of one instrument, known by maker and serial number, the last tells; the first is when it was first seen.
        tables: Lives by use and climate: what served in a practice room counts by the life it has there.
        visits: Only what happened after an instrument was first seen counts: a spell enters at its age then, and what
            ended before is left out. Else an instrument's whole documented history counts from its making.

    Notes:
        A renewal with a documented date ends a spell; one that was repaired in part, or that clues alone date, ends
        what is known: the spell before is left out and the next begins only with a date.
    """
    found: dict[str, list[Spell]] = {}
    for first, case in _instruments(cases):
        for row in tables.components.values():
            if case.identity.kind not in row.kinds or row.hazard or case.identity.made is None:
                continue
            life, years = service_life(row, case, tables)
            if life.typical < _WRITTEN_DOWN:
                continue
            for begin, end, ended in _served(case, row):
                length = _between(begin, end) / years.mid
                entry = max(0.0, years_between(_middle(begin), first) / years.mid) if visits else 0.0
                if length * years.mid >= _LEAST and length > entry:
                    found.setdefault(life.key, []).append(Spell(length, ended, entry))
    return found


def _instruments(cases: Iterable[Case]) -> list[tuple[date, Case]]:
    """Return the day on which each instrument was first seen, and its last case."""
    by: dict[object, list[Case]] = {}
    for place, case in enumerate(cases):
        it = case.identity
        by.setdefault((it.maker.casefold(), it.serial) if it.serial else place, []).append(case)
    ordered = (sorted(each, key=lambda case: case.assignment.inspected) for each in by.values())
    return [(each[0].assignment.inspected, each[-1]) for each in ordered]


def _served(case: Case, row: Component) -> list[tuple[Span, Span | date, bool]]:
    """Return when each part of a kind came into service, when it ended, and whether it was renewed then."""
    steps = [renewal for renewal in case.renewals if row.key in renewal.components]
    dated = sorted((step for step in steps if step.date is not None), key=lambda step: step.date.earliest)  # type: ignore[union-attr]
    found: list[tuple[Span, Span | date, bool]] = []
    begin = case.identity.made if len(dated) == len(steps) else None
    for step in dated:
        whole = step.extent is Extent.RENEWED
        if whole and begin is not None and step.date is not None:
            found.append((begin, step.date, True))
        begin = step.date if whole else None
    if begin is not None:
        found.append((begin, case.assignment.inspected, False))
    return found


def _middle(span: Span) -> date:
    return span.earliest + (span.latest - span.earliest) / 2


def _between(begin: Span, end: Span | date) -> float:
    return years_between(_middle(begin), _middle(end) if isinstance(end, Span) else end)


def learn_lives(found: dict[str, list[Spell]], tables: Tables) -> tuple[LearnedLife, ...]:
    """Fit each row that at least one renewal speaks of, drawn towards the tables' own figures."""
    learned = []
    for key, each in found.items():
        row = tables.lives[key]
        events = sum(spell.ended for spell in each)
        if not events:
            continue
        table = weibull(row.low, row.typical, row.high)
        median = log(2.0) ** (1.0 / table.shape)
        prior = Weibull(table.shape, 1.0 / median)
        fit = fitted(each, prior, scale_sd=tables.setting("life_sd"), shape_sd=tables.setting("own_lives_shape_sd"))
        shape = min(STEEPEST, fit.life.shape)
        factor = fit.life.quantile(0.5)
        learned.append(
            LearnedLife(
                row,
                events,
                len(each) - events,
                factor,
                fit.log_scale_sd,
                _three(row.typical * factor, (row.low, row.typical, row.high), table.shape / shape),
                _three(
                    row.heavy_typical * factor, (row.heavy_low, row.heavy_typical, row.heavy_high), table.shape / shape
                ),
            )
        )
    return tuple(learned)


def _three(median: float, ends: tuple[float, float, float], wider: float) -> Range:
    """Return quantiles about a median whose ratios are a power of the tables' own."""
    low, typical, high = ends
    return Range(*(round(median * (end / typical) ** wider, 1) for end in (low, typical, high)))


def lives_rows(learned: Iterable[LearnedLife], cases: int, until: date) -> tuple[tuple[Life, ...], Source]:
    """Return the learned rows as rows of the tables, and the source that they name."""
    rows = tuple(
        replace(
            one.row,
            low=one.after.low,
            typical=one.after.mid,
            high=one.after.high,
            heavy_low=one.heavy.low,
            heavy_typical=one.heavy.mid,
            heavy_high=one.heavy.high,
            standing=Standing.OWN_EVIDENCE,
            source=LIVES_SOURCE,
            where=f"own cases, n = {one.events} renewals, {one.censored} in service",
            row_note=f"in place of {one.row.low:g}, {one.row.typical:g}, {one.row.high:g}",
        )
        for one in learned
    )
    title = f"Own cases, n = {cases}, to {until:%Y-%m}"
    return rows, Source(key=LIVES_SOURCE, author="the practice", title=title, seen=until)
