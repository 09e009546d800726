"""Sums of a claim in currencies of none, two and three decimals: exact, and adding up to the unit shown."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.engine.loss.itemised import bill
from appraise.model.claim import Quotation
from appraise.model.currency import minor_digits
from appraise.model.loss import Measure, Terms
from appraise.report.loss import costing
from appraise.report.loss.wreck import repair_or_total
from appraise.report.outputs.fields import EXACT_MONEY
from appraise.report.outputs.loss import LOSS
from tests.report.test_loss import TABLES, found, sample

SCALES = {"EUR": 1, "JPY": 160, "KWD": Decimal("0.333")}
PATTERN = re.compile(EXACT_MONEY.schema({})["pattern"])


def in_currency(case, currency):
    """The sample in another currency, its money at an invented rate that leaves awkward decimals."""
    scale = SCALES[currency]

    def to(amount):
        return None if amount is None else (amount * scale).quantize(Decimal(1).scaleb(-minor_digits(currency)))

    market = replace(
        case.market,
        **{
            name: to(getattr(case.market, name))
            for name in ("replacement_cost_new", "replacement_cost_low", "replacement_cost_high")
        },
        comparables=(),
    )
    costs = replace(case.costs, labour_rate=to(case.costs.labour_rate), carriage=None, removal=None)
    asked = replace(case.assignment, currency=currency)
    return replace(case, assignment=asked, market=market, costs=costs, claim=replace(case.claim, rates=()))


def quoted(case, currency):
    """With one quotation for three jobs, whose sum no third of the unit divides."""
    unit = Decimal(1).scaleb(-minor_digits(currency))
    jobs = ("lyre_rebuild", "leg_plate_grand", "caster_replace")
    jobs = tuple(job for job in jobs if job in TABLES.remedies)
    asked = Quotation("Invented workshop", 1000 * unit + unit, jobs, date(2026, 11, 2), tax=7 * unit)
    return replace(case, claim=replace(case.claim, quotations=(asked,), salvage_bids=()))


@pytest.fixture(scope="module", params=sorted(SCALES))
def claimed(request):
    before, after = (in_currency(sample(name), request.param) for name in ("before", "after"))
    return request.param, found(before, quoted(after, request.param))


def test_every_line_is_in_the_units_of_the_currency_and_all_add_up(claimed):
    currency, item = claimed
    unit = Decimal(1).scaleb(-minor_digits(currency))
    made = costing.billed(item, item.proposed)
    for line in made.lines:
        parts = (line.labour, line.parts, line.overhead, line.contingency)
        stated = [each for each in (*parts, line.cost, line.betterment) if each is not None]
        assert all(each == each.quantize(unit) for each in stated)
        if line.hours is not None:
            assert sum(parts) == line.cost
    assert made.cost == sum(line.cost for line in made.lines)
    assert made.net == made.cost - made.betterment


def test_what_is_shown_adds_up_to_the_unit(claimed):
    currency, item = claimed
    made = costing.billed(item, item.proposed)
    headings = [str(column.heading) for column in costing.bill_table(item, made).columns]
    at = headings.index("Cost")
    shown = [row[at].replace(",", "") for row in costing.bill_table(item, made).rows]
    *lines, together, net = map(Decimal, shown)
    assert sum(lines) == together == made.cost
    assert net == made.net
    digits = minor_digits(currency)
    assert all(len(text.partition(".")[2]) == digits for text in shown)


def test_the_jobs_of_a_quotation_add_up_to_its_sum(claimed):
    _, item = claimed
    (work,) = item.proposed.quotations
    assert work.use == "taken"
    made = bill(item.proposed, item.after.case, TABLES, minor_digits(item.loss.currency))
    own = [line for line in made.lines if line.job.remedy in work.quotation.jobs]
    assert len(own) > 1
    assert sum(line.cost for line in own) == work.counted == work.quotation.amount + work.quotation.tax


def test_the_json_says_the_same_amounts_and_fits_its_pattern(claimed):
    _, item = claimed
    made = costing.billed(item, item.proposed)
    said = LOSS.dump(item)["scenarios"][0]["bill"]
    for name in ("cost", "betterment", "net"):
        assert PATTERN.match(said[name])
        assert Decimal(said[name]) == getattr(made, name)
    for line, kept in zip(said["lines"], made.lines, strict=True):
        for name in ("labour", "parts", "overhead", "contingency", "cost", "betterment"):
            assert (line[name] is None) == (getattr(kept, name) is None)
            assert line[name] is None or (PATTERN.match(line[name]) and Decimal(line[name]) == getattr(kept, name))


@pytest.mark.parametrize(
    ("terms", "said"),
    [
        (Terms(), "from 75% of the value before, our assumption"),
        (Terms(total_loss_pct=Decimal(5)), "from 5% of the value before, as the policy states"),
        (Terms(surrendered=True), "the whole value before, since the salvage passes to the insurer"),
    ],
)
def test_repair_and_total_loss_stand_side_by_side_in_sentences(terms, said):
    item = found(sample("before"), sample("after"), terms)
    told = repair_or_total(item)
    total = next(each for each in item.proposed.alternatives if each.measure is Measure.TOTAL_LOSS)
    assert said in told
    assert item.spread(item.proposed.repair) in told
    assert item.spread(total.loss) in told
    assert item.manner.percent(item.proposed.repair_share) in told


def test_without_a_rate_the_total_loss_is_told_alone():
    after = sample("after")
    item = found(sample("before"), replace(after, costs=replace(after.costs, labour_rate=None)))
    assert "no repair is costed" in repair_or_total(item)
    assert "A total loss comes to" in repair_or_total(item)


def test_nothing_is_told_of_nothing():
    assert repair_or_total(found(sample("before"), replace(sample("before"), claim=sample("after").claim))) == ""
