"""Remaining life of the whole: competing risks beside a part that is due, and age-life where value falls in a line.

Sources:
    D. R. Cox and D. Oakes, Analysis of Survival Data, 1984: independent risks, the survivals multiply. From memory.
    SciPy (`scipy.stats.weibull_min`, `scipy.optimize.brentq`), an independent implementation.
    Glossary of georgiaappraiser.com and hpdconsult.com: effective age plus remaining economic life is total economic
    life; 15 and 45 years, 10 of 30 years. Read in copies. Clarion University, notes on real-estate appraisal, chapter
    12: 5 of 20 years. Read in a copy.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from math import prod

import pytest
from scipy.optimize import brentq
from scipy.stats import weibull_min

from appraise.engine.economic_life import economic_life
from appraise.engine.life import weibull
from appraise.engine.valuation import value_case
from appraise.model.case import Assignment, Case, Costs, Grade, Identity, Kind, Market
from appraise.model.span import Span

EFFECTIVE_OF_TOTAL = [
    # (effective age, total economic life): what remains is the difference.
    pytest.param(10, 30, id="hpdconsult-10-of-30"),
    pytest.param(15, 60, id="georgiaappraiser-15-of-60"),
    pytest.param(5, 20, id="clarion-5-of-20"),
]


def instrument(grades, law="probable_life", rate=60):
    made = date(1996, 11, 20)
    return Case(
        Identity(Kind.GRAND, made=Span(made, made)),
        Assignment(date(2026, 11, 20), basis="private_sale", currency="EUR", law=law),
        grades=tuple(Grade(grade, component=key, reason="invented") for key, grade in grades.items()),
        market=Market(replacement_cost_new=Decimal(30_000)),
        costs=Costs(labour_rate=None if rate is None else Decimal(rate)),
    )


def test_survival_beside_a_part_that_is_due_is_that_of_the_rest(tables):
    parts = [key for key, row in tables.components.items() if not row.hazard]
    found = value_case(instrument(dict.fromkeys(parts, 2.0) | {"pin_block": 4.0}), tables, draws=64)
    assert [part.component for part in found.due] == ["pin_block"]
    coming = found.next_intervention
    assert "pin_block" not in coming.competing
    rest = []
    for key in coming.competing:
        part = found.component(key)
        fitted = weibull(part.life_years.low, part.life_years.mid, part.life_years.high)
        rest.append((weibull_min(fitted.shape, scale=fitted.scale), part.effective_age_years))

    def surviving(years):
        return prod(known.sf(age + years) / known.sf(age) for known, age in rest)

    for years, left in ((coming.years.low, 0.9), (coming.years.mid, 0.5), (coming.years.high, 0.1)):
        expected = brentq(lambda t, left=left: surviving(t) - left, 0.0, 300.0, xtol=1e-12)
        assert years == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("key", ["hammers", "pin_block"])
def test_residual_life_of_a_sound_part_is_the_conditional_distribution(tables, key):
    part = value_case(instrument({key: 2.0}), tables, draws=64).component(key)
    fitted = weibull(part.life_years.low, part.life_years.mid, part.life_years.high)
    known, age, left = weibull_min(fitted.shape, scale=fitted.scale), part.effective_age_years, part.remaining_years
    for probability, years in ((0.1, left.low), (0.5, left.mid), (0.9, left.high)):
        assert years == pytest.approx(known.isf((1 - probability) * known.sf(age)) - age, rel=1e-7)


@pytest.mark.parametrize(("effective", "total"), EFFECTIVE_OF_TOTAL)
def test_total_less_effective_age_where_value_falls_in_a_line(tables, effective, total):
    # Age-life: every part at one effective age and one life, straight line, a market that knows no age, no buyer's
    # carriage, no work that can be priced. Disposal brings a quarter of a new one, so that economic life, at whose end
    # the value has come down to it, is three quarters of the service life.
    salvage = 0.25
    served = total / (1.0 - salvage)
    lives = {
        key: replace(row, low=served * 0.999, typical=served, high=served * 1.001) for key, row in tables.lives.items()
    }
    factors = {
        key: replace(row, by_age=(), low=1.0, typical=1.0, high=1.0) for key, row in tables.market_factors.items()
    }
    basis = replace(tables.bases["private_sale"], low=1.0, typical=1.0, high=1.0)
    disposal = dict.fromkeys([key for key in tables.settings if key.startswith("salvage_")], salvage)
    none = ("unplayable_below", "life_sd", "replacement_cost_sd", "first_tunings_hours", "carriage_hours_grand")
    held = disposal | dict.fromkeys(none, 0.0)
    # The example knows age alone: no fault, no looks.
    ageing = {key: replace(row, gate=(), appearance=()) for key, row in tables.components.items()}
    flat = replace(
        tables,
        components=ageing,
        lives=lives,
        market_factors=factors,
        bases={**tables.bases, "private_sale": basis},
        settings={**tables.settings, **{key: replace(tables.settings[key], value=v) for key, v in held.items()}},
    )
    parts = [key for key, row in tables.components.items() if not row.hazard]
    made = date(2026 - effective, 11, 20)
    case = instrument(dict.fromkeys(parts, 1.0), law="straight_line", rate=None)
    case = replace(case, identity=replace(case.identity, made=Span(made, made)))
    found = economic_life(case, flat)
    assert found.years.mid == pytest.approx(total - effective, rel=0.002)
    assert found.years.high - found.years.low < 0.1
    assert found.by_value == 1.0
