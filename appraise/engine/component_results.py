"""Results by component and by station, and the whole instrument's time to the next large job."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.belief import EXACT
from appraise.engine.depreciation import age_term, heidecke, ross, ross_inverse, with_condition
from appraise.engine.draws import Z90
from appraise.engine.grade import gradable
from appraise.engine.life import chance_of_being_first, consumed_share, first_to_fail, life_share, remaining_range
from appraise.engine.renewals import large_jobs
from appraise.model.case import STATION_LABELS, STATIONS
from appraise.model.result import ComponentResult, DuePart, General, NextIntervention, Range, StationResult

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.condition import ComponentDraws, Condition
    from appraise.engine.subject import Instrument, Part
    from appraise.model.case import Case
    from appraise.tables.rows import Tables
    from appraise.tables.rows_ageing import Law

    Array = NDArray[np.float64]


def central_share(subject: Instrument, state: Condition) -> tuple[float, float]:
    """Return Σ share · (1 − D) [–] and usability [–] of a run at the central figures."""
    total = sum(part.share * (1.0 - float(state.left[part.key][0])) for part in subject.parts)
    return total, min([1.0, *(float(gate[0]) for gate in state.gates.values())])


def central_looks(subject: Instrument, state: Condition) -> tuple[float, float]:
    """Return what renewals do to the market age, and what the looks leave [–], of a run at the central figures.

    Σ share · (1 − D) times the first times the second is what the instrument as is counts, before usability.
    """
    total = sum(part.share * (1.0 - float(state.left[part.key][0])) for part in subject.parts)
    kept = sum(part.share * float(state.worn[part.key].kept[0]) for part in subject.parts)
    sound = sum(part.share * float(state.worn[part.key].sound[0]) for part in subject.parts)
    looks = [float(one.look[0]) for one in state.worn.values() if one.look is not None]
    taken = sound * sum(1.0 - look for look in looks)
    return (kept / total if total > 0.0 else 1.0), (max(0.0, (kept - taken) / kept) if kept > 0.0 else 1.0)


def component_results(
    subject: Instrument, centre: Condition, drawn: Condition, shares: Mapping[str, float], tables: Tables
) -> dict[str, ComponentResult]:
    """Return every component's result, by key.

    Args:
        subject: The instrument.
        centre: Its condition at the central figures.
        drawn: Its condition in the draws; the outer figures of depreciation are its percentiles.
        shares: Share of the value's variance by input.
        tables: Percentiles and classes.
    """
    low_pct, high_pct = tables.setting("low_percentile"), tables.setting("high_percentile")
    found = {}
    for part in subject.parts:
        middle = float(centre.left[part.key][0])
        low, high = _edges_of(drawn.worn[part.key], low_pct, high_pct)
        effective = effective_age(part, centre)
        grade = part.central_grade()
        reach = Z90 * part.belief.sd
        age_low, age_high = part.history.age_bounds
        found[part.key] = ComponentResult(
            component=part.key,
            label=part.row.label,
            station=part.row.station,
            share=part.share,
            inspected=part.inspected,
            wear_seen=part.wear_seen,
            checks=tuple(judged.result for judged in part.seen.judged),
            governing="" if part.overrule else part.seen.governing,
            derived_grade=part.seen.grade,
            overruled=part.overrule is not None,
            overrule_reason=part.overrule.reason if part.overrule else "",
            expected_grade=part.expected,
            unseen_grade=part.prior,
            grade=Range(max(1.0, min(grade, grade - reach)), grade, min(5.0, grade + reach)),
            age_years=Range(min(age_low, part.age), part.age, max(age_high, part.age)),
            age_evidence="stated" if part.stated else part.history.evidence,
            life_years=part.life_years,
            consumed=_consumed(part, grade, subject.law, tables),
            depreciation=Range(min(low, middle), middle, max(high, middle)),
            effective_age_years=effective,
            remaining_years=remaining_range(part.life, effective, remaining_share(part, tables)),
            variance_share=shares.get(f"grade.{part.key}", 0.0) + shares.get(f"life.{part.key}", 0.0),
            usability=float(centre.gates[part.key][0]) if part.key in centre.gates else 1.0,
            due=is_due(part),
        )
    return found


def effective_age(part: Part, centre: Condition) -> float:
    """Return the age at which age alone would depreciate a part as far as it is [years]."""
    return float(ross_inverse(float(centre.left[part.key][0]))) * part.life_years.mid


@lru_cache(maxsize=192)
def _edges_of(worn: ComponentDraws, low_pct: float, high_pct: float) -> tuple[float, float]:
    """Return the outer figures of a component's depreciation [–]; kept, as the component itself is."""
    return _edges(worn.left, low_pct, high_pct)


def _edges(column: Array, low_pct: float, high_pct: float) -> tuple[float, float]:
    """Return two order statistics without sorting the whole column."""
    n = column.size
    first, last = int(low_pct / 100.0 * (n - 1)), int(high_pct / 100.0 * (n - 1))
    parted = np.partition(column, (first, last))
    return float(parted[first]), float(parted[last])


def _consumed(part: Part, grade: float, law: Law, tables: Tables) -> float:
    """Return the consumed share of life as the law takes it [–].

    Of probable life after the credit for what is seen; under the other laws, and of a stated age, of the service life.
    """
    if part.stated is not None or law.key != "probable_life":
        age = part.age if part.stated is None else part.stated.years
        return min(1.0, age / part.life_years.mid)
    aged = float(consumed_share(part.life, np.array([part.age]))[0])
    spoken = float(ross_inverse(heidecke(grade, tables)))
    return aged - part.row.visibility * max(0.0, aged - spoken)


def station_results(
    subject: Instrument, parts: Mapping[str, ComponentResult], drawn: Condition, case: Case, tables: Tables
) -> tuple[StationResult, ...]:
    """Return the eight stations in walking order, components weighed by their share of cost."""
    checks = gradable(tables, case.identity.kind)
    low_pct, high_pct = tables.setting("low_percentile"), tables.setting("high_percentile")
    by_key = {part.key: part for part in subject.parts}
    found = []
    for station in STATIONS:
        inside = [result for result in parts.values() if result.station == station]
        weight = sum(result.share for result in inside) or 1.0
        middle = sum(result.share * result.depreciation.mid for result in inside) / weight
        columns = [result.share * drawn.left[result.component] for result in inside]
        low, high = _edges(np.sum(columns, axis=0) / weight, low_pct, high_pct)
        rows = [row for result in inside for row in checks.get(result.component, ())]
        done = {check.check for result in inside for check in result.checks}
        found.append(
            StationResult(
                station=station,
                label=STATION_LABELS[station],
                grade=_mean(inside, "grade", weight),
                inspected=sum(result.share * result.inspected for result in inside) / weight,
                checks_done=len(done),
                checks_total=len(rows),
                depreciation=Range(min(low, middle), middle, max(high, middle)),
                effective_age_years=sum(result.share * result.effective_age_years for result in inside) / weight,
                remaining_years=_first([by_key[result.component] for result in inside], inside, tables),
                variance_share=sum(result.variance_share for result in inside),
                components=tuple(inside),
            )
        )
    return tuple(found)


def _mean(inside: Sequence[ComponentResult], name: str, weight: float) -> Range:
    ranges: list[tuple[float, Range]] = [(result.share, getattr(result, name)) for result in inside]
    return Range(
        sum(share * spread.low for share, spread in ranges) / weight,
        sum(share * spread.mid for share, spread in ranges) / weight,
        sum(share * spread.high for share, spread in ranges) / weight,
    )


def _first(parts: Sequence[Part], results: Sequence[ComponentResult], tables: Tables) -> Range:
    """Return the time to the first of a station's components to need renewal [years]; nothing where one is due."""
    ageing = [(part, result) for part, result in zip(parts, results, strict=True) if not part.row.hazard]
    if any(result.due for _, result in ageing):
        return Range(0.0, 0.0, 0.0)
    return first_to_fail(
        [part.life for part, _ in ageing],
        [result.effective_age_years for _, result in ageing],
        [remaining_share(part, tables) for part, _ in ageing],
    )


def is_due(part: Part) -> bool:
    """Tell whether a component is at or past the grade from which its repair or renewal is due."""
    return part.central_grade() >= part.row.due_from - EXACT


def remaining_share(part: Part, tables: Tables) -> float:
    """Return the share of its calculated remaining life that a component can still be given [–]; none when due."""
    if is_due(part):
        return 0.0
    return life_share(part.central_grade(), part.row.due_from, tables.setting("due_lead"))


def general(subject: Instrument) -> General | None:
    """Return what the parts that were looked at say of the others; none where nothing was looked at."""
    if subject.common.seen_grade is None:
        return None
    return General(subject.common.seen_grade, subject.common.pull)


def due_parts(subject: Instrument, case: Case, tables: Tables) -> tuple[DuePart, ...]:
    """Return the components without remaining life, in walking order; a fault of the whole is none."""
    large = {part.key for part in large_jobs(subject, case, tables)}
    return tuple(
        DuePart(
            part.key, part.row.label, part.row.station, part.central_grade(), part.key in large, part.inspected > 0.0
        )
        for part in subject.parts
        if is_due(part) and not part.row.hazard
    )


def intervention(subject: Instrument, centre: Condition, case: Case, tables: Tables) -> NextIntervention | None:
    """Return the time until the next large job, and which component is most likely to bring it.

    Args:
        subject: The instrument.
        centre: Its condition at the central figures.
        case: Its rates and its replacement cost new say which jobs are large.
        tables: Life shares and the share from which a job is large.

    Returns:
        Competing risks over every component whose renewal is a large job. What is due already is not next: it is now,
        and takes no part. None where nothing else is left.
    """
    coming = [part for part in large_jobs(subject, case, tables) if not is_due(part)]
    if not coming:
        return None
    lives = [part.life for part in coming]
    ages = [effective_age(part, centre) for part in coming]
    left = [remaining_share(part, tables) for part in coming]
    years, chances = first_to_fail(lives, ages, left), chance_of_being_first(lives, ages, left)
    first = max(range(len(coming)), key=lambda i: chances[i])
    return NextIntervention(
        coming[first].key, coming[first].row.label, chances[first], years, tuple(part.key for part in coming)
    )


def law_shares(subject: Instrument, tables: Tables) -> tuple[tuple[str, float], ...]:
    """Return what every law of the tables leaves of a new instrument, at the central figures [–]."""
    shares = np.array([part.share for part in subject.parts])
    ages = np.array([part.age for part in subject.parts])
    lives = np.array([part.life_years.mid for part in subject.parts])
    visible = np.array([part.row.visibility for part in subject.parts])
    spoken = heidecke(np.array([part.central_grade() for part in subject.parts]), tables)
    probable = np.array([float(consumed_share(part.life, part.age)) for part in subject.parts])
    found = []
    for law in tables.laws.values():
        term = probable if law.key == "probable_life" else age_term(law, ages, subject.parts[0].life, lives)
        losses = with_condition(law, term, spoken, visible)
        for i, part in enumerate(subject.parts):
            if part.stated is not None:
                losses[i] = float(ross(part.stated.years / part.life_years.mid))
        found.append((law.key, float((shares * (1.0 - losses)).sum())))
    return tuple(found)
