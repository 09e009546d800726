"""Two states of one instrument compared: one pure function from two cases to the loss."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine.comparison import prepared
from appraise.engine.condition import condition
from appraise.engine.grade import judged_checks
from appraise.engine.loss.arithmetic import (
    average_share,
    diminution,
    is_constructive_total,
    is_total,
    marine_partial,
    payable,
    total_loss,
    total_share,
)
from appraise.engine.loss.changes import (
    changed_checks,
    left_at,
    on_later_terms,
    unchanged_checks,
    with_damage,
    with_origins,
    worse_components,
)
from appraise.engine.loss.matching import match_remarks, mismatches
from appraise.engine.loss.quotations import Quotations
from appraise.engine.loss.readings import Readings, answered
from appraise.engine.loss.repair import repair
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, percentile_range, worth
from appraise.engine.subject import assemble
from appraise.model.claim import Origin
from appraise.model.lazy_dataclass import dataclass
from appraise.model.loss import Alternative, Counting, Doubt, Loss, Measure, RemarkScenario, Scenario, Terms
from appraise.model.result import Range

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from appraise.engine.loss.readings import Reading
    from appraise.engine.loss.repair import Repair
    from appraise.engine.subject import Instrument
    from appraise.model.case import Case
    from appraise.model.loss import WorseComponent
    from appraise.tables.rows import Tables

    Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class _Ground:
    """What every reading of the origins shares."""

    case: Case
    """The state before, with the money, the basis and the day of the state after."""
    after: Case
    tables: Tables
    terms: Terms
    source: Sampler
    subject: Instrument
    worn: Mapping[str, Array]
    grades: Mapping[str, float]
    """Of each check as it stood after."""
    value: Array | None
    """Before, in every draw [money]; none without a replacement cost new or where condition does not bear on it."""
    salvage: Array | None
    at_risk: float | None


def compare_states(
    before: Case,
    after: Case,
    tables: Tables,
    *,
    terms: Terms | None = None,
    draws: int | None = None,
    seed: int | None = None,
) -> Loss:
    """Compare two states of one instrument and say what the difference comes to.

    Args:
        before: The state before, free of grave problems.
        after: The state after; its day, basis and money count for both. Its ticks of earlier remarks must be those
            of `before`.
        tables: The reference tables.
        terms: What the policy asks for; none: no insurance.
        draws: Number of draws behind the ranges, ≥ 64; none: the table's.
        seed: Of the draws; none: the table's.

    Raises:
        ValueError: The two are not one instrument (see `mismatches`), or there are too few draws.

    Notes:
        Both states are valued on the day after, so that time alone is no loss, with the same draws, so that what is
        uncertain of both cancels. The state after, as far as a reading counts it, is the state before with the
        checks of the damaged components as they stood after.
    """
    if mismatches(before, after):
        raise ValueError("the two states are not of one instrument")
    n = int(tables.setting("draws") if draws is None else draws)
    if n < 64:
        raise ValueError(f"a range needs at least 64 draws: {n}")
    source = Sampler(int(tables.setting("seed") if seed is None else seed), n)
    policy = Terms() if terms is None else terms
    ground = _ground(before, after, tables, policy, source)
    checks = changed_checks(before, after, tables)
    worse = worse_components(before, after, checks, tables)
    mended = () if after.earlier_state is None else after.earlier_state.mended
    remarks = match_remarks(before.remarks, after.remarks, tables, {part.component for part in worse}, mended)
    worse = with_origins(worse, remarks)
    moved = [part for part in worse if part.origin is Origin.TRANSIT]
    readings = Readings(before, after, tables, worse, remarks)
    established = _scenario(ground, Counting.ESTABLISHED, readings.established)
    scenarios = [established]
    if readings.widest != readings.established:
        scenarios.append(_scenario(ground, Counting.ALL_UNKNOWN, readings.widest))
    doubtful = _doubtful(ground, readings, established)
    return Loss(
        basis=ground.case.assignment.basis,
        currency=after.assignment.currency,
        day=after.assignment.inspected,
        value_before=None if ground.value is None else percentile_range(ground.value, tables),
        remarks=remarks,
        checks=checks,
        unchanged=unchanged_checks(before, after, tables),
        components=worse,
        scenarios=tuple(scenarios),
        doubtful=doubtful,
        value_at_risk=ground.at_risk,
        terms=policy,
        average=_average(ground),
        marine_partial=_marine(ground, moved),
        tables_version=tables.version,
        seed=source.seed,
        draws=n,
    )


def _ground(before: Case, after: Case, tables: Tables, terms: Terms, source: Sampler) -> _Ground:
    case = on_later_terms(before, after)
    subject = assemble(case, tables)
    worn = condition(subject, (), source, tables).left
    value = _value(case, tables, source)
    salvage = None
    if value is not None:
        salvage = draw_world(prepared(case, tables, source), source).salvage
        if after.claim.salvage_bids:  # one wreck, one value: the best bid is it
            salvage = np.full_like(salvage, max(float(bid.amount) for bid in after.claim.salvage_bids))
    at_risk = None if terms.value_at_risk is None else float(terms.value_at_risk)
    if at_risk is None and value is not None:
        at_risk = percentile_range(value, tables).mid
    grades = {key: judged.result.own_grade for key, judged in judged_checks(after, tables).items()}
    return _Ground(case, after, tables, terms, source, subject, worn, grades, value, salvage, at_risk)


def _value(case: Case, tables: Tables, source: Sampler) -> Array | None:
    if case.market.cost_new is None or tables.bases[case.assignment.basis].method == "replacement":
        return None
    setup = prepared(case, tables, source)
    return worth(setup, draw_world(setup, source)).value


def _value_after(ground: _Ground, damaged: Sequence[WorseComponent]) -> Array | None:
    if ground.value is None or not damaged:
        return ground.value
    parts = [part.component for part in damaged]
    after = _value(with_damage(ground.case, ground.after, parts, ground.tables), ground.tables, ground.source)
    if after is None or ground.salvage is None or not ground.after.claim.salvage_bids:
        return after
    return np.maximum(after, ground.salvage)  # nobody sells for less than is bid for it


def _doubtful(ground: _Ground, readings: Readings, established: Scenario) -> tuple[RemarkScenario, ...]:
    """Return the loss with and without each remark in doubt, the rest as established; equal readings worked once."""
    worked = {readings.established: established}
    found = []
    for line, doubt in readings.doubts:
        sides = []
        for reading in readings.sides(line, doubt):
            if reading not in worked:
                worked[reading] = _scenario(ground, Counting.ESTABLISHED, reading)
            sides.append(worked[reading])
        without, counted = sides
        probability = None
        if doubt is Doubt.SUSPECTED:
            stated = line.latest.probability_pct
            probability = (ground.tables.setting("loss_suspected_pct") if stated is None else stated) / 100.0
        costed = (without.components, without.items, without.loss) != (counted.components, counted.items, counted.loss)
        amounts = (without.loss, counted.loss, without.payable, counted.payable)
        found.append(RemarkScenario(line, doubt, probability, costed, *amounts))
    return tuple(found)


def _scenario(ground: _Ground, counting: Counting, reading: Reading) -> Scenario:
    ground = _with_suspected(ground, reading)
    damaged = reading.components
    tables, terms, claim = ground.tables, ground.terms, ground.after.claim
    struck = with_damage(ground.case, ground.after, [part.component for part in damaged], tables)
    found = repair(
        struck,
        tables,
        damaged,
        ground.subject,
        ground.worn,
        ground.source,
        deduct=terms.betterment,
        grades=ground.grades,
        earlier=ground.case,
        jobs=[job for job, _ in reading.jobs],
        quotations=Quotations(claim.quotations, ground.case.assignment.inspected, claim.tax_recovered),
    )
    after = _value_after(ground, damaged)
    net = None if found is None else found.cost - found.betterment
    fall = _fall(ground, after, None if found is None or not found.items else net)
    share, total, constructive = None, False, None
    if found is not None and ground.value is not None:
        cost, sound = percentile_range(found.cost, tables).mid, percentile_range(ground.value, tables).mid
        share = cost / sound if sound > 0.0 else None
        total = is_total(cost, sound, total_share(terms, tables))
        constructive = cost > 0.0 and is_constructive_total(cost, float(ground.case.costs.carriage or 0), sound)
    residual = route = None
    if found is not None and net is not None and not found.unrestored:
        residual = _residual(ground, found, damaged)
        route = net if residual is None else _met(net, residual) + residual
    columns = _measures(ground, route, fall, struck=bool(damaged or (found is not None and found.items)))
    measure, column = _proposed(columns, total=total)
    apportioned = reading.apportioned(() if found is None else found.items)
    stated = [(each, _apportioned(column, apportioned, tables)) for each, column in columns.items()]
    loss = None if column is None else _apportioned(column, apportioned, tables)
    return Scenario(
        counting=counting,
        components=tuple(part.component for part in damaged),
        items=() if found is None else found.items,
        unrestored=() if found is None else found.unrestored,
        repair=_ranged(None if found is None else found.cost, tables),
        betterment=_ranged(None if found is None else found.betterment, tables),
        net_repair=_ranged(net, tables),
        residual=_ranged(residual, tables),
        repair_route=_ranged(route, tables),
        value_after=_ranged(after, tables),
        diminution=_ranged(fall, tables),
        salvage=_ranged(ground.salvage, tables),
        repair_share=share,
        total_loss=total,
        constructive=constructive,
        measure=measure,
        loss=loss,
        payable=None if loss is None else _payable(ground, loss),
        alternatives=tuple(Alternative(each, amount, _payable(ground, amount)) for each, amount in stated),
        apportioned=apportioned,
        quotations=() if found is None else found.quotations,
    )


def _with_suspected(ground: _Ground, reading: Reading) -> _Ground:
    """Return the ground with the suspected faults of a reading answered with yes."""
    if not reading.suspected:
        return ground
    after = answered(ground.after, reading.suspected)
    grades = {key: judged.result.own_grade for key, judged in judged_checks(after, ground.tables).items()}
    return replace(ground, after=after, grades=grades)


def _apportioned(column: Array, share: float, tables: Tables) -> Range:
    found = _not_negative(percentile_range(column, tables))
    return Range(share * found.low, share * found.mid, share * found.high)


def _met(column: Array, market: Array) -> Array:
    """Return a column of the condition's draws as the market's draws meet them, shape of `market`."""
    return np.tile(column, market.size // column.size)


def _fall(ground: _Ground, after: Array | None, cure: Array | None) -> Array | None:
    """Return the diminution in every draw [money]; none where no value is known."""
    if ground.value is None or after is None or ground.salvage is None:
        return None
    return diminution(ground.value, after, ground.salvage, None if cure is None else _met(cure, ground.value))


def _residual(ground: _Ground, found: Repair, damaged: Sequence[WorseComponent]) -> Array | None:
    """Return what a repair leaves of the fall in value in every draw [money], ≥ 0; none where no value is known."""
    if not damaged or (ground.terms.residual is None and ground.value is None):
        return None
    if ground.terms.residual is not None:
        size = ground.source.n if ground.value is None else ground.value.size
        return np.full(size, float(ground.terms.residual))
    short = {part.component: found.reached.get(part.component, part.grade_before) for part in damaged}
    short = {part.component: short[part.component] for part in damaged if short[part.component] > part.grade_before}
    repaired = _value(left_at(ground.case, short), ground.tables, ground.source) if short else ground.value
    if ground.value is None or repaired is None:
        return None
    return np.maximum(ground.value - repaired, 0.0)


def _measures(ground: _Ground, route: Array | None, fall: Array | None, *, struck: bool) -> dict[Measure, Array]:
    """Return what each measure that can be stated comes to in every draw [money], none above a value that is known."""
    found = {}
    if route is not None:
        most = None if ground.value is None else np.maximum(ground.value, 0.0)
        found[Measure.REPAIR] = route if most is None else np.minimum(_met(route, most), most)
    if fall is not None:
        found[Measure.DIMINUTION] = fall
    if struck and ground.value is not None and ground.salvage is not None:
        found[Measure.TOTAL_LOSS] = total_loss(ground.value, ground.salvage, surrendered=ground.terms.surrendered)
    return found


def _proposed(columns: Mapping[Measure, Array], *, total: bool) -> tuple[Measure, Array | None]:
    """Return the measure proposed and its column: a total loss, else the lesser by the middle figures."""
    if not columns:
        return Measure.NONE, None
    if total and Measure.TOTAL_LOSS in columns:
        return Measure.TOTAL_LOSS, columns[Measure.TOTAL_LOSS]
    partial = {each: column for each, column in columns.items() if each is not Measure.TOTAL_LOSS}
    if not partial:
        return Measure.NONE, None
    return min(partial.items(), key=lambda item: float(np.median(item[1])))


def _spared_from(ground: _Ground) -> float | None:
    if not ground.terms.special_condition:
        return None
    return ground.tables.setting("loss_average_condition_pct") / 100.0


def _average(ground: _Ground) -> float | None:
    if ground.terms.sum_insured is None or ground.at_risk is None:
        return None
    return average_share(float(ground.terms.sum_insured), ground.at_risk, spared_from=_spared_from(ground))


def _payable(ground: _Ground, loss: Range) -> Range:
    terms = ground.terms

    def one(amount: float) -> float:
        return payable(
            amount,
            sum_insured=None if terms.sum_insured is None else float(terms.sum_insured),
            value_at_risk=ground.at_risk,
            excess=0.0 if terms.excess is None else float(terms.excess),
            spared_from=_spared_from(ground),
        )

    return Range(one(loss.low), one(loss.mid), one(loss.high))


def _marine(ground: _Ground, damaged: Sequence[WorseComponent]) -> Range | None:
    after = _value_after(ground, damaged)
    if ground.terms.sum_insured is None or ground.value is None or after is None or not damaged:
        return None
    if float(ground.value.min()) <= 0.0:
        return None  # a share of nothing
    insured = float(ground.terms.sum_insured)
    share = np.array(
        [marine_partial(insured, *pair) for pair in zip(ground.value, np.maximum(after, 0.0), strict=True)]
    )
    return _not_negative(percentile_range(share, ground.tables))


def _ranged(column: Array | None, tables: Tables) -> Range | None:
    return None if column is None else percentile_range(column, tables)


def _not_negative(found: Range) -> Range:
    return Range(max(found.low, 0.0), max(found.mid, 0.0), max(found.high, 0.0))
