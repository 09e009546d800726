"""Service lives from a folder of cases: renewals are events, parts in service censored, the tables the prior."""

from __future__ import annotations

from dataclasses import replace
from math import exp, inf, isfinite, log, sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.life import STEEPEST, Weibull, weibull
from appraise.engine.subject import service_life
from appraise.evidence.overlay import LIVES_SOURCE
from appraise.model.case import Extent
from appraise.model.lazy_dataclass import dataclass
from appraise.model.result import Range
from appraise.model.span import Span, years_between
from appraise.tables.rows import Source, Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
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
    result: dict[str, list[Spell]] = {}
    for first, case in _instruments(cases):
        for row in tables.components.values():
            if case.identity.kind not in row.kinds or row.hazard or case.identity.made is None:
                continue
            life, years = service_life(row, case, tables)
            if life.typical < _WRITTEN_DOWN:
                continue
            for begin, end, ended in _served(case, row):
                length = years_between(_middle(begin), _middle(end) if isinstance(end, Span) else end) / years.mid
                entry = max(0.0, years_between(_middle(begin), first) / years.mid) if visits else 0.0
                if length * years.mid >= _LEAST and length > entry:
                    result.setdefault(life.key, []).append(Spell(length, ended, entry))
    return result


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
    result: list[tuple[Span, Span | date, bool]] = []
    begin = case.identity.made if len(dated) == len(steps) else None
    for step in dated:
        whole = step.extent is Extent.RENEWED
        if whole and begin is not None and step.date is not None:
            result.append((begin, step.date, True))
        begin = step.date if whole else None
    if begin is not None:
        result.append((begin, case.assignment.inspected, False))
    return result


def _middle(span: Span) -> date:
    return span.earliest + (span.latest - span.earliest) / 2


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


_ROUNDS = 100
_CLOSE = 1e-10


@dataclass(frozen=True, slots=True)
class Spell:
    """One part in service."""

    years: float
    """How long it was in service, to its renewal or to the inspection [years], > 0."""
    ended: bool
    """True when it was renewed; false while it is in service: right-censored."""
    seen_from: float = 0.0
    """Its age when it came under observation [years]: had it ended before, nobody would know (left truncation)."""


@dataclass(frozen=True, slots=True)
class FittedLife:
    """Posterior of the spells and the prior."""

    life: Weibull
    log_scale_sd: float
    """Standard uncertainty of ln η [–]."""
    log_shape_sd: float


def fitted(spells: Sequence[Spell], prior: Weibull, *, scale_sd: float = inf, shape_sd: float = inf) -> FittedLife:
    """Fit a life: the mode of likelihood times prior, in (ln k, ln η).

    Args:
        spells: Any number, none included: the prior is then the answer.
        prior: The life expected beforehand.
        scale_sd: Standard deviation of ln η beforehand [–]; infinite: no prior.
        shape_sd: The same of ln k.

    Notes:
        ln L = Σ_ended (ln k − ln η + (k − 1) ln(t/η)) − Σ ((t/η)^k − (s/η)^k), s the age at which a spell came under
        observation; Newton's method with steps halved until the sum rises. Normal priors in both logarithms.

    References:
        J. P. Klein, M. L. Moeschberger, Survival Analysis, 2nd ed. 2003, chapter 3 (from memory).
    """
    t = np.array([spell.years for spell in spells], dtype=float)
    s = np.array([spell.seen_from for spell in spells], dtype=float)
    ended = np.array([spell.ended for spell in spells], dtype=bool)
    centre = np.array([log(prior.shape), log(prior.scale)])
    precision = np.array([1 / sd**2 if isfinite(sd) else 0.0 for sd in (shape_sd, scale_sd)])

    def height(at: np.ndarray) -> float:
        k, scale = exp(at[0]), exp(at[1])
        with np.errstate(over="ignore"):
            hazard = float(((t / scale) ** k - (s / scale) ** k).sum())
        density = float((at[0] - at[1] + (k - 1) * np.log(t[ended] / scale)).sum())
        return density - hazard - 0.5 * float(precision @ (at - centre) ** 2)

    def slopes(at: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        k, scale = exp(at[0]), exp(at[1])
        gradient = -precision * (at - centre)
        curvature = -np.diag(precision)
        for ages, sign in ((t, 1.0), (s[s > 0.0], -1.0)):
            logs = np.log(ages / scale)
            power = np.exp(k * logs)
            first, second = k * logs * power, (k * logs + (k * logs) ** 2) * power
            cross = k * power + k * k * logs * power
            gradient -= sign * np.array([first.sum(), -k * power.sum()])
            curvature -= sign * np.array([[second.sum(), -cross.sum()], [-cross.sum(), k * k * power.sum()]])
        logs = np.log(t[ended] / scale)
        gradient += np.array([(1 + k * logs).sum(), -k * len(logs)])
        curvature += np.array([[(k * logs).sum(), -k * len(logs)], [-k * len(logs), 0.0]])
        return gradient, curvature

    at, here = centre.copy(), height(centre)
    for _ in range(_ROUNDS):
        gradient, curvature = slopes(at)
        step = _uphill(gradient, curvature)
        while (there := height(at + step)) < here and np.abs(step).max() > _CLOSE:
            step *= 0.5
        at, here = at + step, max(here, there)
        if np.abs(step).max() < _CLOSE:
            break
    covariance = np.linalg.inv(-slopes(at)[1])
    shape_out, scale_out = (sqrt(max(0.0, float(covariance[i, i]))) for i in (0, 1))
    return FittedLife(Weibull(exp(at[0]), exp(at[1])), scale_out, shape_out)


def _uphill(gradient: np.ndarray, curvature: np.ndarray) -> np.ndarray:
    """Return Newton's step, bent uphill where the curvature is not that of a maximum, at most 1 in each direction."""
    values, vectors = np.linalg.eigh(-curvature)
    step = vectors @ ((vectors.T @ gradient) / np.maximum(np.abs(values), 1e-9))
    result: np.ndarray = step / max(1.0, float(np.abs(step).max()))
    return result
