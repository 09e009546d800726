"""Random pairs of a sound and a damaged state, and what the laws of a loss say of them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from appraise.engine.loss.compare import compare_states
from appraise.model.case import Case, Claim, Costs, Grade, Market, Origin, Remark
from appraise.model.loss import Terms
from appraise.model.span import Span
from appraise.services.loss import without_ticks
from tests.helpers.cases import cases
from tests.laws.worse import TABLES

if TYPE_CHECKING:
    from appraise.model.loss import Loss, Scenario

SLACK = 1e-6
EDGES = ("low", "mid", "high")


@st.composite
def pairs(draw: st.DrawFn) -> tuple[Case, Case, Terms]:
    """A priced case, the same with a few parts or findings worse, and the terms of a policy."""
    case = without_ticks(draw(cases(TABLES, priced=True)))
    kind = case.identity.kind
    parts = [key for key, row in TABLES.components.items() if kind in row.kinds]
    if draw(st.integers(0, 3)):
        # Most prices at random leave no value to lose.
        case = _sound(draw, case, parts)
    struck: dict[str, tuple[Grade, Grade]] = {}
    for key in draw(st.lists(st.sampled_from(parts), min_size=1, max_size=5, unique=True)):
        own = [row.key for row in TABLES.checks.values() if row.component == key and kind in row.kinds]
        check = draw(st.sampled_from(["", *own]))
        was = draw(st.integers(2, 9))
        now = draw(st.integers(was + 1, 10))
        names = {"check": check} if check else {"component": key}
        struck[key] = (
            Grade(was / 2, reason="seen before", **names),
            Grade(now / 2, reason="seen after", **names),
        )

    def concerned(name: str, component: str = "") -> bool:
        row = TABLES.checks.get(name)
        return component in struck or (row is not None and row.component in struck)

    grades = tuple(each for each in case.grades if not concerned(each.check, each.component))
    readings = tuple(each for each in case.readings if not concerned(each.check))
    sound = replace(case, grades=(*grades, *(one for one, _ in struck.values())), readings=readings)
    remarks = tuple(
        Remark(key, f"Struck {n}", origin=draw(st.sampled_from([Origin.TRANSIT, Origin.TRANSIT, Origin.UNKNOWN])))
        for n, key in enumerate(struck)
    )
    damaged = replace(
        sound, grades=(*grades, *(two for _, two in struck.values())), remarks=(*case.remarks, *remarks), claim=Claim()
    )
    terms = Terms(betterment=draw(st.booleans()), surrendered=draw(st.booleans()))
    return replace(sound, claim=Claim()), damaged, terms


def _sound(draw: st.DrawFn, case: Case, parts: list[str]) -> Case:
    """Return a case with the price, age and condition of an instrument that people buy."""
    grade = draw(st.integers(2, 5)) / 2
    made = Span.of_year(case.assignment.inspected.year - draw(st.integers(1, 50)))
    new, rate = Decimal(draw(st.integers(10, 150)) * 1000), Decimal(draw(st.integers(20, 120)))
    return replace(
        case,
        identity=replace(case.identity, made=made, last_tuned=None),
        assignment=replace(case.assignment, basis=draw(st.sampled_from(["retail", "private_sale", "orderly_sale"]))),
        grades=tuple(Grade(grade, component=key, reason="seen") for key in parts if not TABLES.components[key].hazard),
        readings=(),
        renewals=(),
        market=Market(replacement_cost_new=new),
        costs=Costs(labour_rate=rate),
    )


def compared(pair: tuple[Case, Case, Terms], draws: int = 64) -> Loss:
    """Compare a pair with as many draws."""
    before, after, terms = pair
    return compare_states(before, after, TABLES, terms=terms, draws=draws)


def broken(loss: Loss) -> dict[str, float]:
    """Return which bounds of a loss are passed, and by what share of the value before or of the cost to cure [–]."""
    found: dict[str, float] = {}
    for each in loss.scenarios:
        found.update({f"{each.counting.value}: {name}": by for name, by in _of_one(loss, each).items()})
    if len(loss.scenarios) > 1 and loss.value_before is not None and not loss.terms.betterment:
        one, two = (each.diminution for each in loss.scenarios)
        for edge in EDGES:
            _note(found, f"more counted, less diminution {edge}", getattr(one, edge), getattr(two, edge))
    return found


def _of_one(loss: Loss, each: Scenario) -> dict[str, float]:
    found: dict[str, float] = {}
    value, fall = loss.value_before, each.diminution
    amounts = {"loss": each.loss, "payable": each.payable, "diminution": fall}
    amounts |= {f"measure {one.measure.value}": one.loss for one in each.alternatives}
    for name, amount in amounts.items():
        if amount is None:
            continue
        _note(found, f"{name} below nothing", 0.0, amount.low)
        if value is not None:
            # The percentile of what is above nothing lies a little above a percentile between two draws around it.
            between = 1e-3 * (value.high - value.low)
            for edge in EDGES:
                most = max(getattr(value, edge), 0.0) + between
                _note(found, f"{name} above the value {edge}", getattr(amount, edge), most)
    if value is None or fall is None or each.salvage is None:
        return found
    if not each.components:
        _note(found, "a loss without damage", fall.high, 0.0)
    cure = each.net_repair
    # Where even a poor market leaves room for the whole cure, at most a fifth of the draws does not: their falls are no
    # less than the cure in the others, so that the middle is no less than its low figure.
    if each.items and cure is not None and cure.high <= value.low - max(each.salvage.high, 0.0):
        _note(found, "less than the cost to cure mid", cure.low, fall.mid)
    return found


def _note(found: dict[str, float], name: str, less: float, more: float) -> None:
    if less > more + SLACK * max(1.0, abs(less)):
        found[name] = (less - more) / max(1.0, abs(less))
