"""A visit of so many minutes: which checks to make, in which order, and by how much they promise to narrow the range."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import TYPE_CHECKING

import numpy as np

from appraise.engine import draws as drawing
from appraise.engine.asking import asking_price, changes_course, changes_purchase, course_responses, purchase_response
from appraise.engine.choice import chosen
from appraise.engine.comparison import prepared
from appraise.engine.information import COMMON, GRADE, Response, hermite, knowledge, narrowing, respond
from appraise.engine.market import relative_sd
from appraise.engine.setup import inverse_variance_weights
from appraise.engine.simulate import Source, condition
from appraise.engine.subject import assemble
from appraise.engine.work import work_plan
from appraise.engine.worlds import draw_world, share_left, worth
from appraise.model.visit import Visit, VisitCheck

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from appraise.engine.information import Knowledge
    from appraise.engine.setup import Setup
    from appraise.engine.subject import Subject
    from appraise.engine.worlds import World, Worth
    from appraise.model.case import Case
    from appraise.tables.rows import Check, Tables

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


def study_of_share(case: Case, subject: Subject, column: Array, inputs: Iterable[str], seed: int, tables: Tables) -> Study:
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


def visit(
    case: Case,
    tables: Tables,
    minutes: float,
    *,
    skipped: frozenset[str] = frozenset(),
    asking: float | None = None,
    draws: int | None = None,
    seed: int | None = None,
) -> Visit:
    """Choose the checks of a visit.

    Args:
        case: The case, free of grave problems.
        tables: The reference tables.
        minutes: Of the visit [min], ≥ 0.
        skipped: Checks that cannot be made here.
        asking: Price asked [money]; none: nobody asks one, or the case has no replacement cost new.
        draws: Number of draws, ≥ 64; none: the table's.
        seed: Seed of the draws, ≥ 0; none: the table's.

    Returns:
        First the knock-out round, in the order of the walk, as far as it fits; then the checks that narrow the range
        most for every minute. None that takes days.

    Raises:
        KeyError: The case names a row that the tables do not hold.
        ValueError: Too few draws, or minutes that are no number of minutes.
    """
    n = int(tables.setting("draws") if draws is None else draws)
    chosen_seed = int(tables.setting("seed") if seed is None else seed)
    if n < 64:
        raise ValueError(f"a range needs at least 64 draws: {n}")
    if not 0.0 <= minutes < float("inf"):
        raise ValueError(f"a visit takes 0 minutes or more: {minutes}")
    if case.market.cost_new is None:
        subject = assemble(case, tables)
        drawn = condition(subject, (), Source(chosen_seed, n), tables)
        found = study_of_share(case, subject, share_left(subject, drawn), drawn.inputs, chosen_seed, tables)
        return Visit(minutes, tuple(_entries(found, _order(found.known, minutes, skipped))), None, None)
    source = Source(chosen_seed, n)
    setup = prepared(case, tables, source)
    if setup.basis.method == "replacement":
        return Visit(minutes, (), None, None)
    world = draw_world(setup, source)
    result = worth(setup, world)
    found = study(case, setup.subject, world, result, tables)
    order = _order(found.known, minutes, skipped)
    plan = work_plan(setup, draw_world(setup, Source.centre()), world)
    courses = course_responses(setup, world, plan.jobs)
    possible = [key for key, look in found.known.looks.items() if key not in skipped and not look.row.days]
    answer = None if asking is None else asking_price(setup, world, result, found.known, possible, asking)
    chances = None if asking is None else purchase_response(world, result, asking)
    entries = []
    for entry in _entries(found, order):
        alone = found.known.alone(entry.check)
        course = changes_course(courses, alone)
        purchase = chances is not None and changes_purchase(chances, alone)
        entries.append(replace(entry, changes_course=course, changes_purchase=purchase))
    most = max((narrowing(found.known.settled([key])) for key in possible), default=0.0)
    another = another_sale(setup, world, result)
    return Visit(minutes, tuple(entries), another if another > max(most, 0.5) else None, answer)


def _order(known: Knowledge, minutes: float, skipped: frozenset[str]) -> list[str]:
    """Return the keys of the checks to make, the knock-out round first."""
    rows = [look.row for key, look in known.looks.items() if key not in skipped and not look.row.days]
    first, left = [], minutes
    for row in rows:
        if row.knock_out and row.minutes <= left:
            first.append(row.key)
            left -= row.minutes
    return [*first, *chosen([row for row in rows if not row.knock_out], left, known.settled, first)]


def _entries(found: Study, order: Sequence[str]) -> list[VisitCheck]:
    """Return the checks with what each promises."""
    steps = [narrowing(found.known.settled(order[:at])) for at in range(len(order) + 1)]
    factor = promised(found, order) / steps[-1] if steps[-1] > 0.0 else 0.0
    entries = []
    for at, key in enumerate(order):
        row = found.known.looks[key].row
        own = max(0.0, factor * (steps[at + 1] - steps[at]))
        entries.append(_entry(row, own, factor * steps[at + 1]))
    return entries


def _entry(row: Check, own: float, cumulative: float) -> VisitCheck:
    minutes = max(row.minutes, 0.1)
    return VisitCheck(
        row.key,
        row.label,
        row.station,
        row.component,
        row.minutes,
        own,
        cumulative,
        own / minutes,
        row.knock_out,
        changes_course=False,
        changes_purchase=False,
    )


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


def another_sale(setup: Setup, world: World, found: Worth) -> float:
    """Return by how much one more comparable sale can be expected to narrow the range [%].

    Args:
        setup: The priced case.
        world: Its draws.
        found: What it is worth in them.

    Notes:
        One more sale of the same kind of sale, as telling as the mean of those at hand, lets the variance of their
        weighted mean fall with the number that they amount to, 1/Σw². Weights and the spread of the reconciled level
        follow as in the valuation; of the variance of the value, the part that the market brings falls with it.
    """
    if setup.basis.method not in ("market", "residual"):
        return 0.0
    evidence = setup.evidence
    channel = relative_sd(setup.channel)
    cost = hypot(relative_sd(setup.replacement), relative_sd(setup.factor), channel)
    condition_sd = sqrt(max(0.0, setup.cost_sd**2 - cost**2))
    single = setup.tables.setting("comparable_sd")
    now, number = cost, 0.0
    if evidence is not None:
        number = 1.0 / sum(sale.weight**2 for sale in evidence.sales)
        single = evidence.relative_sd * sqrt(number)
        cost = sqrt(max(0.0, setup.cost_sd**2 - condition_sd**2))
        now = hypot(setup.weight_cost * cost, (1.0 - setup.weight_cost) * evidence.relative_sd)
    sales = single / sqrt(number + 1.0)
    weight = setup.weight_cost
    if setup.case.market.weight_cost_pct is None or evidence is None:
        weight = inverse_variance_weights((hypot(cost, condition_sd), hypot(sales, condition_sd)))[0]
    then = hypot(weight * cost, (1.0 - weight) * sales)
    if now <= 0.0:
        return 0.0
    total = float(found.value.var())
    every = found.value.reshape(-1, world.source.n)
    of_market = float(every.var(axis=0, ddof=1).mean()) if len(every) > 1 else 0.0
    if total <= 0.0:
        return 0.0
    return narrowing(min(1.0, of_market / total) * max(0.0, 1.0 - (then / now) ** 2))
