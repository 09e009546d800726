"""Labour at nothing: a figure like any other, parts still cost, and without a rate for them no work is reckoned."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from appraise.engine.costs import job_costs, job_hours, offered, parts_share, rates
from appraise.engine.ranking import trade_in
from appraise.engine.sampler import Sampler
from appraise.engine.taking import hour
from appraise.engine.valuation import value_case
from appraise.model.case import Costs
from appraise.report.appraisal import appraisal
from appraise.report.kinds import document_for
from appraise.report.ranking import unstated
from appraise.tables.load import load_tables
from tests.helpers.pseudo import shown_strings
from tests.helpers.report_cases import grand

TABLES = load_tables()


def at(labour, parts=None, **more):
    def amount(value):
        return None if value is None else Decimal(value)

    return replace(grand(), costs=Costs(labour_rate=amount(labour), parts_rate=amount(parts), **more))


def test_parts_are_priced_by_their_own_rate():
    """By hand: hours × (labour + share of parts × rate for parts), each with overhead and contingency."""
    case = at(20, 70, overhead_pct=50.0, contingency_pct=10.0)
    for remedy in offered(case, TABLES):
        hours, parts = job_hours(case, remedy, TABLES), parts_share(case, remedy, TABLES)
        by_hand = hours.mid * (20 + parts.mid * 70) * 1.5 * 1.1
        assert job_costs(case, TABLES, [remedy], Sampler.centre())[remedy.key][0] == pytest.approx(by_hand)
        found = rates(case, TABLES).price(hours.low, parts.low)
        assert found == pytest.approx(hours.low * (20 + parts.low * 70) * 1.5 * 1.1)


def test_own_labour_costs_nothing_and_its_parts_do():
    case = at(0, 70)
    jobs = value_case(case, TABLES, draws=200).work
    assert jobs
    rows = TABLES.remedies
    for job in jobs:
        parts = rows[job.remedy].parts_high
        alone = rows[job.remedy].requires == ()
        assert (job.cost.mid > 0) == (parts > 0) or not alone
    paid = {job.remedy: job.cost.mid for job in value_case(at(70, 70), TABLES, draws=200).work}
    assert all(job.cost.mid < paid[job.remedy] for job in jobs if job.remedy in paid)


def test_a_rate_for_parts_like_that_of_labour_changes_no_bit():
    assert value_case(at(70, 70), TABLES, draws=200) == value_case(at(70), TABLES, draws=200)


def test_cheaper_labour_or_parts_never_lower_a_value():
    """Sales left aside: what a sale says of its market hangs on what its buyer had to pay for work."""
    alone = replace(grand().market, comparables=())
    values = [
        value_case(replace(at(*pair), market=alone), TABLES, draws=200).exact.mid
        for pair in ((70, 90), (70, 70), (30, 70), (0, 70), (0, 10))
    ]
    assert values == sorted(values)
    assert values[0] < values[-1]


def test_own_hours_at_nothing_cost_the_buyers_of_other_instruments_no_less():
    hourly = hour(at(0, 70), TABLES)
    paid, own = at(hourly), at(0, 70)
    assert value_case(own, TABLES, draws=200).exact.mid > value_case(paid, TABLES, draws=200).exact.mid
    ratios = [sale.market_factor for sale in value_case(own, TABLES, draws=200).grid]
    assert ratios == pytest.approx([sale.market_factor for sale in value_case(paid, TABLES, draws=200).grid], rel=1e-4)


def test_without_a_rate_for_parts_no_work_is_reckoned():
    assert offered(at(0), TABLES) == ()
    assert value_case(at(0), TABLES, draws=200).value == value_case(at(None), TABLES, draws=200).value


WORDS = {
    None: "no labour rate was given",
    0: "the labour rate is 0, and no rate was given to price the parts",
}


TOLD = {
    None: "No labour rate was given, so no work could be costed.",
    0: "The labour rate is 0 and no rate was given to price the parts, so no work could be costed.",
}


@pytest.mark.parametrize("labour", [None, 0])
@pytest.mark.parametrize(
    ("kind", "sentence"),
    [
        ("full", "No work was costed: {why}."),
        ("summary", "No work was costed: {why}."),
        ("workorder", "There is no plan, because no work was costed: {why}."),
    ],
)
def test_every_report_says_why(labour, kind, sentence):
    item = appraisal(at(labour), TABLES, draws=100)
    assert sentence.format(why=WORDS[labour]) in shown_strings(document_for(kind, item))
    told = " ".join(sentence.text for chapter in item.chapters for sentence in chapter.sentences)
    assert TOLD[labour] in told


def test_reports_at_nothing_with_a_rate_for_parts_have_a_plan():
    item = appraisal(at(0, 70), TABLES, draws=100)
    said = " ".join(shown_strings(document_for("full", item)))
    assert not any(words in said.lower() for words in ("no work was costed", "no work could be"))
    (node, *_) = [item.figures.get(f"work.{job.remedy}.parts") for job in item.valuation.work if job.chosen]
    assert "at EUR 70 each, as stated for parts in the case" in node.how


def test_a_candidate_without_a_rate_for_parts_says_so():
    found = trade_in(at(0), TABLES, draws=200)
    assert found.not_stated == ("parts_rate", "carriage", "preparation", "guarantee", "holding")
    assert unstated({"not_stated": "parts_rate; carriage", "course": "as_is"}, "work")
    assert "parts_rate" not in trade_in(at(0, 70), TABLES, draws=200).not_stated
    assert "parts_rate" not in trade_in(at(70), TABLES, draws=200).not_stated
