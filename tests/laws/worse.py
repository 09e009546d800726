"""Ways to make a case worse, older or dearer: none of them ever raises what the instrument is worth."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from hypothesis import strategies as st

from appraise.model.case import Case, Grade
from appraise.model.span import Span
from appraise.tables.load import load_tables

if TYPE_CHECKING:
    from collections.abc import Callable

    Draw = Callable[[st.SearchStrategy], object]

TABLES = load_tables()


def check_grade(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """A check graded worse."""
    graded = [n for n, grade in enumerate(case.grades) if grade.check and grade.grade < 5.0]
    if not graded:
        return None
    n = draw(st.sampled_from(graded))
    worse = draw(st.sampled_from([half / 2 for half in range(2, 11) if half / 2 > case.grades[n].grade]))
    return case, replace(case, grades=_with(case.grades, n, replace(case.grades[n], grade=worse)))


def overruled_grade(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """A component overruled to a worse grade."""
    kind = case.identity.kind
    component = draw(st.sampled_from([key for key, row in TABLES.components.items() if kind in row.kinds]))
    low, high = sorted(draw(st.lists(st.integers(2, 10), min_size=2, max_size=2, unique=True)))
    others = tuple(grade for grade in case.grades if grade.component != component)
    one, two = (Grade(half / 2, component=component, reason="seen") for half in (low, high))
    return replace(case, grades=(*others, one)), replace(case, grades=(*others, two))


def general_grade(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """Every component overruled, one half step worse."""
    half = draw(st.integers(2, 9))
    keys = [row.key for row in TABLES.components.values() if case.identity.kind in row.kinds and not row.hazard]
    one, two = (
        replace(case, grades=tuple(Grade(each / 2, component=key, reason="seen") for key in keys))
        for each in (half, half + 1)
    )
    return one, two


def older(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """Made earlier."""
    if case.identity.made is None:
        return None
    made = _earlier(case.identity.made, draw(st.integers(1, 60)))
    return case, replace(case, identity=replace(case.identity, made=made))


def older_renewal(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """A renewal longer ago."""
    dated = [n for n, renewal in enumerate(case.renewals) if renewal.date is not None]
    if not dated:
        return None
    n = draw(st.sampled_from(dated))
    renewed = replace(case.renewals[n], date=_earlier(case.renewals[n].date, draw(st.integers(1, 40))))
    return case, replace(case, renewals=_with(case.renewals, n, renewed))


def labour(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """A dearer hour, no sales beside it.

    Where a worn comparable brought a price though work on it is dear, its market stands higher than where work is
    cheap, and a sounder subject is worth more: what the sales say follows the rate that their buyers paid too.
    """
    alone = replace(case, market=replace(case.market, comparables=(), weight_cost_pct=None, weight_reason=""))
    rate = (case.costs.labour_rate or Decimal(0)) + draw(st.integers(1, 300))
    return alone, replace(alone, costs=replace(alone.costs, labour_rate=rate))


def parts(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """Dearer parts."""
    rate = case.costs.parts_rate if case.costs.parts_rate is not None else case.costs.labour_rate
    if rate is None:
        return None
    rate += draw(st.integers(1, 300))
    return case, replace(case, costs=replace(case.costs, parts_rate=rate))


def contingency(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """More contingency."""
    return _dearer(case, "contingency_pct", draw(st.floats(1.0, 100.0)))


def overhead(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """More overhead."""
    return _dearer(case, "overhead_pct", draw(st.floats(1.0, 100.0)))


def margin(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """A greater margin on a resale."""
    case = _resold(case)
    return _dearer(case, "margin_pct", draw(st.floats(1.0, 30.0)))


def carriage(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """Dearer carriage."""
    case = _carried(case)
    return _more(case, "carriage", draw(st.integers(1, 5_000)))


def holding(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """Dearer holding before a resale."""
    case = _resold(case)
    return _more(case, "holding", draw(st.integers(1, 5_000)))


def removal(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """Dearer removal."""
    return _more(case, "removal", draw(st.integers(1, 5_000)))


def stairs(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """More flights of stairs."""
    case = replace(_carried(case), costs=replace(case.costs, carriage=None))
    more = (case.identity.stairs or 0) + draw(st.integers(1, 8))
    return case, replace(case, identity=replace(case.identity, stairs=more))


def price_new(draw: Draw, case: Case) -> tuple[Case, Case] | None:
    """A lower price new; without sales, which say what such an instrument brings whatever a new one costs."""
    market = replace(case.market, comparables=())
    share = draw(st.sampled_from(["0.5", "0.8", "0.95", "0.99"]))
    lower = replace(
        market,
        **{
            key: None if (price := getattr(market, key)) is None else price * Decimal(share)
            for key in ("replacement_cost_new", "replacement_cost_low", "replacement_cost_high")
        },
    )
    better = replace(case, market=market) if case.market.comparables else case
    return better, replace(case, market=lower)


WORSE = {
    law.__name__: law
    for law in (
        check_grade,
        overruled_grade,
        general_grade,
        older,
        older_renewal,
        labour,
        parts,
        contingency,
        overhead,
        margin,
        carriage,
        holding,
        removal,
        stairs,
        price_new,
    )
}
"""By name: from a way to draw and a case to a better and a worse case, or nothing where it does not apply."""


def _resold(case: Case) -> Case:
    """Return a case on a residual basis."""
    return _on(case, next(row.key for row in TABLES.bases.values() if row.method == "residual"))


def _carried(case: Case) -> Case:
    """Return a case on a basis on which somebody pays for the carriage, its own where it is one."""
    own = TABLES.bases[case.assignment.basis]
    if own.buyer_carries or own.method == "residual":
        return case
    return _on(case, next(row.key for row in TABLES.bases.values() if row.buyer_carries))


def _on(case: Case, basis: str) -> Case:
    return replace(case, assignment=replace(case.assignment, basis=basis))


def _with(entries: tuple, n: int, entry: object) -> tuple:
    return (*entries[:n], entry, *entries[n + 1 :])


def _earlier(span: Span, years: int) -> Span:
    one, two = (date(day.year - years, day.month, min(day.day, 28)) for day in (span.earliest, span.latest))
    return Span(one, two)


def _dearer(case: Case, key: str, more: float) -> tuple[Case, Case]:
    known = getattr(case.costs, key)
    if known is None:
        known = TABLES.setting(key)
    one, two = (replace(case, costs=replace(case.costs, **{key: pct})) for pct in (known, known + more))
    return one, two


def _more(case: Case, key: str, more: int) -> tuple[Case, Case]:
    known = getattr(case.costs, key)
    one, two = (
        replace(case, costs=replace(case.costs, **{key: amount}))
        for amount in (Decimal(known or 0), Decimal(known or 0) + more)
    )
    return one, two
