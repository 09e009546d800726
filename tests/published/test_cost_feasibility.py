"""What is worth curing, how the approaches are weighed, and what a value cannot fall below.

Sources:
    Appraisal study cards (brainscape): a defect is curable when the cost to cure is no more than value after less value
    before. Read in a copy. General appraisal literature says the same. That whoever cures it also wants something for
    the trouble and the risk, the entrepreneurial incentive, is a cost of curing: cost approach of the appraisal
    literature, from memory.
    georgiaappraiser.com, glossary: curable items in the modified age-life method (300,000; 60,000; 15 / 60). Read in a
    copy; its second printed term is a misprint (see the age-life checks).
    J. R. Taylor, An Introduction to Error Analysis, 2nd edition 1997, chapter 7: weights 1 / σ² for a weighted mean.
    From memory. The figures are made with NumPy's weighted average.
    A rebuilder's rule: no shell value is left when rebuilding costs as much as the rebuilt instrument brings: common
    practice, no source. That the best use sets the value, salvage among the uses: general appraisal literature, from
    memory.
The weighing of the approaches is no function of its own in the engine: it is read from the approaches of whole
valuations.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pytest

from appraise.engine.plan import space
from appraise.engine.plan_search import best
from appraise.engine.valuation import value_case
from appraise.model.case import Assignment, Case, Comparable, Costs, Grade, Identity, Kind, Market
from appraise.model.span import Span
from tests.published.losses import best_course, prices

DAY = date(2026, 11, 20)
INCENTIVE = ("incentive_low", "incentive_typical", "incentive_high")

CASE = Case(
    Identity(Kind.GRAND, size_cm=180, made=Span.of_year(1966), tier="good"),
    Assignment(DAY, basis="retail"),
    grades=(
        Grade(4.0, component="hammers", reason="worn"),
        Grade(3.5, component="damper_felt", reason="hard"),
        Grade(4.0, component="plain_strings", reason="rust"),
        Grade(4.0, component="bass_strings", reason="dull"),
        Grade(3.5, component="regulation", reason="uneven"),
        Grade(3.5, component="key_bushings", reason="loose"),
    ),
    market=Market(replacement_cost_new=Decimal(60_000)),
    costs=Costs(labour_rate=Decimal(60)),
)

SALES = (
    Comparable("near", Decimal(21_000), date(2026, 5, 1), "retail", Span.of_year(1970), 2.5, 180.0),
    Comparable("private", Decimal(13_500), date(2025, 9, 1), "private_sale", Span.of_year(1961), 3.0, 170.0, 300.0),
    Comparable("large", Decimal(30_000), date(2026, 2, 1), "retail", Span.of_year(1975), 2.5, 212.0, 150.0),
)


def with_sales(count, **market):
    return replace(CASE, market=replace(CASE.market, comparables=SALES[:count], **market))


@pytest.mark.parametrize(
    ("before", "after", "cost", "done"),
    [
        # Cure when cost ≤ value after − value before.
        pytest.param(90_000, 100_000, 9_999, True, id="just-pays"),
        pytest.param(90_000, 100_000, 10_001, False, id="just-does-not"),
        pytest.param(90_000, 100_000, 2_500, True, id="pays-four-times"),
        pytest.param(50_000, 50_500, 5_000, False, id="ten-times-too-dear"),
        pytest.param(0, 100_000, 99_000, True, id="worthless-before"),
    ],
)
def test_cure_when_it_adds_what_it_costs(before, after, cost, done):
    parts = {"defect": (100_000, 1 - before / 100_000)}
    ours = prices(100_000, parts, {("cure", "defect"): 1 - after / 100_000}, {"cure": cost})
    found = best(space({"cure": (("defect",), ())}), ours)
    assert ("cure" in found.plans[0]) is done
    assert float(found.gain[0]) == pytest.approx(max(before, after - cost), rel=1e-12)


def test_cure_that_costs_exactly_what_it_adds_changes_nothing():
    # At equality the owner is as well off either way.
    ours = prices(100_000, {"defect": (100_000, 0.1)}, {("cure", "defect"): 0.0}, {"cure": 10_000})
    assert float(best(space({"cure": (("defect",), ())}), ours).gain[0]) == pytest.approx(90_000, rel=1e-12)


@pytest.mark.parametrize(
    ("cost", "value"),
    [
        # 300,000 new, a curable item of 60,000, 25 % of the rest gone. Cured at the 60,000 taken off for it, the
        # value is the 180,000 of the modified age-life method; cured for less, it is that much more; for more, it
        # is left.
        pytest.param(60_000, 180_000, id="as-deducted"),
        pytest.param(45_000, 195_000, id="cheaper"),
        pytest.param(75_000, 180_000, id="dearer-is-left"),
    ],
)
def test_curable_item_of_the_modified_age_life_method(cost, value):
    parts = {"curable": (60_000, 1.0), "rest": (240_000, 15 / 60)}
    ours = prices(300_000, parts, {("cure", "curable"): 0.0}, {"cure": cost})
    found = best(space({"cure": (("curable",), ())}), ours)
    assert float(found.gain[0]) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    "remedy", ["hammers_new_grand", "damper_felt_new_grand", "restring_grand", "regulate_grand", "keys_rebush"]
)
def test_work_is_called_curable_by_the_same_rule(tables, remedy):
    # What a job adds hangs on the instrument, what it costs on the labour rate: cheap enough, it is feasible, and
    # from the rate at which its cost, with what a buyer wants for the trouble, passes what it adds it no longer is.
    incentive = 0.15
    pinned = {key: replace(tables.settings[key], value=incentive) for key in INCENTIVE}
    ours = replace(tables, settings={**tables.settings, **pinned})
    answers = []
    for rate in (15, 20, 40, 80, 160, 320):  # for less, a whole set of keys is the cheapest cure of worn bushings
        work = value_case(replace(CASE, costs=Costs(labour_rate=Decimal(rate))), ours, draws=64).work
        found = next((item for item in work if item.remedy == remedy), None)
        if found is None:  # past any sense: dearer than the instrument, so that nobody advises it
            answers.append(False)
            continue
        assert found.curable is (found.cost.mid * (1.0 + incentive) <= found.value_added)
        answers.append(found.curable)
    assert answers[0]
    assert not answers[-1]
    assert answers == sorted(answers, reverse=True)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_approaches_are_weighed_by_inverse_variance(tables, count):
    # Taylor, chapter 7: w_i = (1/σ_i²) / Σ(1/σ²).
    found = value_case(with_sales(count), tables, draws=64).approaches
    inverse = np.array([one.relative_uncertainty for one in found]) ** -2.0
    assert [one.weight for one in found] == pytest.approx(list(inverse / inverse.sum()), rel=1e-9)


@pytest.mark.parametrize("count", [1, 3])
def test_reconciled_value_is_the_weighted_mean(tables, count):
    # NumPy's average of the two medians with those weights, on the logarithmic scale on which the uncertainties are
    # relative; the medians of a product need not multiply exactly.
    case = replace(with_sales(count), costs=Costs())  # no labour rate, so no work to choose between
    found = value_case(case, tables)
    logs = np.log([one.value.mid for one in found.approaches])
    mean = np.exp(np.average(logs, weights=[one.weight for one in found.approaches]))
    assert found.exact.mid == pytest.approx(mean, rel=0.02)


@pytest.mark.parametrize(
    ("weight", "which"), [pytest.param(100.0, 0, id="cost-alone"), pytest.param(0.0, 1, id="sales-alone")]
)
def test_stated_weight_overrides(tables, weight, which):
    # A weighted mean with all the weight on one approach is that approach.
    case = replace(with_sales(3, weight_cost_pct=weight, weight_reason="one approach alone"), costs=Costs())
    found = value_case(case, tables, draws=512)
    alone = found.approaches[which].value
    assert (found.exact.low, found.exact.mid, found.exact.high) == pytest.approx(
        (alone.low, alone.mid, alone.high), rel=1e-9
    )


def worn_out(kind, **costs):
    components = ("plate", "soundboard", "pin_block", "hammers", "action_centres", "plain_strings", "bass_strings")
    return Case(
        Identity(kind, made=Span.of_year(1895)),
        Assignment(DAY, basis="retail"),
        grades=tuple(Grade(5.0, component=key, reason="spent") for key in components),
        market=Market(replacement_cost_new=Decimal(12_000)),
        costs=Costs(labour_rate=Decimal(60), **costs),
    )


@pytest.mark.parametrize("kind", list(Kind))
@pytest.mark.parametrize("removal", [None, Decimal(0), Decimal(900)], ids=["table", "free", "dear"])
def test_value_is_never_below_salvage(tables, kind, removal):
    found = value_case(worn_out(kind, removal=removal), tables, draws=512)
    assert found.exact.low >= found.salvage.low - 1e-9
    assert found.exact.mid >= found.salvage.mid - 1e-9
    assert found.exact.high >= found.salvage.high - 1e-9


@pytest.mark.parametrize(
    ("rebuilt", "cost", "salvage", "value"),
    [
        # Rebuilding costs what the rebuilt instrument brings: the shell is worth nothing but its salvage.
        pytest.param(10_000, 10_000, 0, 0, id="shell-is-nil"),
        pytest.param(10_000, 14_000, 150, 150, id="salvage-stays"),
        # Taking it away would cost more than it brings, and nothing forces it: it stays where it stands.
        pytest.param(10_000, 14_000, -400, 0, id="left-where-it-stands"),
        # The price when rebuilt, less the work, is left where work pays.
        pytest.param(20_000, 10_000, 0, 10_000, id="work-pays"),
    ],
)
def test_shell_value(rebuilt, cost, salvage, value):
    ours = prices(rebuilt, {"whole": (rebuilt, 1.0)}, {("rebuild", "whole"): 0.0}, {"rebuild": cost})
    plans = space({"rebuild": (("whole",), ())})
    found = best_course(plans, ours, 0.0, np.array([float(salvage)]))
    assert float(found[0]) == pytest.approx(value, abs=1e-9)
