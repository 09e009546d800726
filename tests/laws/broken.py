"""What each law says of a random case: nothing where it holds, else what broke and by how much."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from appraise.engine.comparison import prepared
from appraise.engine.rounding import outward, rounding_step
from appraise.engine.sampler import Sampler
from appraise.engine.scenarios import draw_world, evaluate_plan, percentile_range, worth
from appraise.model.case import Case, Comparable, Costs, Grade, Market
from appraise.model.span import Span
from tests.laws.worse import TABLES, WORSE

if TYPE_CHECKING:
    from appraise.model.result import Range
    from tests.laws.worse import Draw

SLACK = 1e-6
"""Share of a figure that rounding of floats may come to [–]."""

END = 0.1
"""Share of a rounding step by which a low or high figure may rise, and a middle of draws lie past the price new [–]."""

EDGES = ("low", "mid", "high")
MONEY = ("labour_rate", "parts_rate", "carriage", "holding", "preparation", "guarantee", "removal")
"""Costs of a case that are sums."""


SEED = 1900


@dataclass(frozen=True)
class Figures:
    """What the laws look at, as `value_case` reports it."""

    basis: str
    basis_factor: Range
    exact: Range
    value: Range
    left_alone: Range
    salvage: Range
    step: float


def valued(case: Case, draws: int, seed: int = SEED) -> Figures:
    """Value a case with as many draws, and nothing that the laws do not ask for."""
    source = Sampler(seed, draws)
    setup = prepared(case, TABLES, source)
    world = draw_world(setup, source)
    exact = percentile_range(worth(setup, world).value, TABLES)
    alone, salvage = exact, exact
    if setup.basis.method != "replacement":
        alone = percentile_range(evaluate_plan(setup, world, frozenset()).value, TABLES)
        salvage = percentile_range(world.salvage, TABLES)
    step = rounding_step(setup.replacement.mid, TABLES.setting("step_share"), case.assignment.currency)
    return Figures(setup.basis.key, setup.channel, exact, outward(exact, step), alone, salvage, step)


def raised(better: Figures, worse: Figures) -> dict[str, float]:
    """Return the figures that rose though the case got worse, and by how many rounding steps [–].

    Exact, rounded where both are rounded to one step, and as it stands; low, middle and high.
    """
    found = {}
    for name, figures in (("exact", "exact"), ("rounded", "value"), ("alone", "left_alone")):
        if figures == "value" and better.step != worse.step:
            continue
        for edge in EDGES:
            was, now = (getattr(getattr(each, figures), edge) for each in (better, worse))
            # An end may move by what interpolation between draws brings, and then be rounded outward to the next step.
            end = 0.0 if edge == "mid" else better.step if figures == "value" else END * better.step
            if now > was + end + SLACK * max(1.0, abs(was)):
                found[f"{name} {edge}"] = (now - was) / better.step
    return found


def out_of_bounds(found: Figures, case: Case) -> dict[str, float]:
    """Return what breaks the bounds of one valuation: order, disposal as the floor, the price new as the cap."""
    broken = {}
    exact, rounded, salvage = found.exact, found.value, found.salvage
    if not (exact.low <= exact.mid <= exact.high and rounded.low <= rounded.mid <= rounded.high):
        broken["order"] = 1.0
    if rounded.low > exact.low or rounded.high < exact.high:
        broken["rounded inward"] = 1.0
    if found.basis == "replacement_new" or case.market.adjustments:
        return broken
    for edge in EDGES:
        least = getattr(salvage, edge)
        short = least - getattr(exact, edge)
        if short > SLACK * max(1.0, abs(least)):
            broken[f"below disposal {edge}"] = short / found.step
    market = case.market
    new = float(market.replacement_cost_high or market.cost_new * 2.0), float(market.cost_new)
    for edge, price in (("high", new[0]), ("mid", new[1])):
        most = max(price * max(1.0, found.basis_factor.high), getattr(salvage, edge))
        if getattr(exact, edge) > most * (1.0 + SLACK) + END * found.step:
            broken[f"above new {edge}"] = (getattr(exact, edge) - most) / found.step
    return broken


def shuffled(draw: Draw, case: Case) -> Case:
    """Return a case with the same entries in another order."""
    random = draw(st.randoms(use_true_random=False))

    def mixed(entries: tuple) -> tuple:
        found = list(entries)
        random.shuffle(found)
        return tuple(found)

    market = replace(
        case.market, adjustments=mixed(case.market.adjustments), comparables=mixed(case.market.comparables)
    )
    return replace(case, renewals=mixed(case.renewals), grades=mixed(case.grades), market=market)


def times(case: Case, k: str) -> Case:
    """Return a case with all its money in another unit, `k` of it for one of the old."""

    def scaled(entry: object, *keys: str) -> dict[str, Decimal]:
        return {key: getattr(entry, key) * Decimal(k) for key in keys if getattr(entry, key) is not None}

    market = replace(
        case.market,
        **scaled(case.market, "replacement_cost_new", "replacement_cost_low", "replacement_cost_high"),
        comparables=tuple(
            replace(each, **scaled(each, "price", "replacement_cost_new")) for each in case.market.comparables
        ),
        adjustments=tuple(replace(each, **scaled(each, "amount")) for each in case.market.adjustments),
    )
    costs = replace(case.costs, **scaled(case.costs, *MONEY))
    return replace(case, market=market, costs=costs)


def apart(one: Figures, two: Figures, k: float = 1.0) -> dict[str, float]:
    """Return the figures that differ by more than floats do, and by how many rounding steps [–]."""
    found = {}
    for edge in EDGES:
        was, now = k * getattr(one.exact, edge), getattr(two.exact, edge)
        if abs(now - was) > SLACK * max(k * one.step, abs(was)):
            found[f"exact {edge}"] = (now - was) / (k * one.step)
    return found


def less_sure(draw: Draw, case: Case) -> Case | None:
    """Return a case whose year of making is less certain by as many years on either side; nothing where none fits."""
    made, day = case.identity.made, case.assignment.inspected
    years = draw(st.integers(1, 20))
    if made is None or case.renewals or made.latest.year + years > day.year - 1 or made.earliest.year - years < 1700:
        return None
    wider = Span(_in_year(made.earliest, -years), _in_year(made.latest, years))
    return replace(case, identity=replace(case.identity, made=wider))


def _in_year(day: date, years: int) -> date:
    return date(day.year + years, day.month, min(day.day, 28))


def narrowed(sure: Figures, less: Figures) -> dict[str, float]:
    """Return by how many rounding steps a range narrowed though less is known, where by more than one [–]."""
    lost = (sure.exact.width - less.exact.width) / sure.step
    return {"width": lost} if lost > 1.0 else {}


def like_sales(draw: Draw, case: Case) -> tuple[Case, float] | None:
    """Return a case of one grade throughout with three sales of its like, and their price [money].

    Nothing where the model cannot reach the price: at no market does it fall so low, or rise so high.
    """
    grade = draw(st.integers(2, 10)) / 2
    keys = [row.key for row in TABLES.components.values() if case.identity.kind in row.kinds and not row.hazard]
    day = case.assignment.inspected
    made = date(day.year - draw(st.integers(1, 70)), day.month, min(day.day, 28))
    plain = replace(
        case,
        identity=replace(case.identity, made=Span(made, made), last_tuned=None, stairs=None),
        assignment=replace(case.assignment, basis="private_sale"),
        renewals=(),
        effective_ages=(),
        readings=(),
        grades=tuple(Grade(grade, component=key, reason="seen") for key in keys),
        market=Market(replacement_cost_new=Decimal(draw(st.integers(10, 150)) * 1000)),
        costs=Costs(labour_rate=Decimal(draw(st.integers(20, 120)))),
    )
    alone = valued(plain, 64)
    price = round(alone.exact.mid * draw(st.sampled_from([0.7, 0.9, 1.0, 1.2, 1.4])), 2)
    # At disposal every price below is the same; near the price new the cap takes off what good markets would bring.
    most = 0.8 * float(plain.market.cost_new) * alone.basis_factor.mid
    if alone.exact.mid <= 2.0 * max(alone.salvage.high, 0.0) + 10.0 * alone.step or price > most:
        return None
    sale = Comparable(
        "like",
        Decimal(str(price)),
        case.assignment.inspected,
        "private_sale",
        plain.identity.made,
        grade,
        plain.identity.size_cm,
    )
    market = replace(plain.market, comparables=(sale,) * 3, weight_cost_pct=0.0, weight_reason="sales alone")
    return replace(plain, market=market), price


def not_like(like: Case, price: float, draws: int) -> dict[str, float]:
    """Return by how many steps the middle is off the price of identical sales, where by more than 2 % and a step."""
    ours = valued(like, draws)
    off = abs(ours.exact.mid - price)
    return {"exact mid": off / ours.step} if off > max(ours.step, 0.02 * price) else {}


def law_names() -> list[str]:
    """Return every law's name."""
    return [*WORSE, "bounds", "order", "scale", "less_sure", "like_sales", "loss"]
