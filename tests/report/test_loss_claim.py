"""What a carrier's lawyer reads of a claim: sums that a calculator follows, records with their files, no admission."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import cache

import pytest
from jsonschema import Draft202012Validator

from appraise.cli.schema import schema
from appraise.model.case import Remark
from appraise.model.claim import (
    Exclusion,
    Finding,
    LimitRate,
    Notice,
    Origin,
    Peril,
    Quotation,
    SalvageBid,
    Stage,
)
from appraise.model.loss import RemarkClass, Terms
from appraise.report.loss import carried, costing, doubt
from appraise.report.loss.dossier import dossier
from appraise.report.loss.parts import looked_for, remark_rows
from appraise.report.markdown import render
from appraise.report.outputs.loss import LOSS
from tests.report.test_loss import found, printed, sample

DAY = date(2026, 11, 3)
CENT = Decimal("0.01")
CLAIM = {
    "quotations": (
        Quotation(
            "Corvane & Lisk",
            Decimal(900),
            (),
            DAY,
            number="114",
            tax=Decimal(180),
            scope="Lyre and its block",
            valid_until=date(2026, 12, 31),
            file="quotation_114.pdf",
            sha256="ab" * 32,
        ),
    ),
    "salvage_bids": (SalvageBid("Brimmick & Son", Decimal(1400), DAY, "collected", "bid.pdf", "cd" * 32),),
    "rates": (LimitRate("SDR", 1.25, DAY, "the bank's own sheet"),),
    "regime": "CMR",
    "carrier": "Sallowby Haulage",
    "policy_number": "P-7741",
    "handed_over": date(2026, 10, 22),
}
SUSPECT = Remark("plate", "Dark line at the second strut.", finding=Finding.SUSPECTED, check="plate_crack")


@cache
def claimed(notices: tuple[Notice, ...] = ()):
    after = sample("after")
    quotation = CLAIM["quotations"][0]
    jobs = tuple(item.remedy for item in found(sample("before"), after).proposed.items if "pedals" in item.components)
    remarks = tuple(
        replace(
            each,
            peril=Peril.DROP,
            stage=Stage.DELIVERY,
            exclusion=Exclusion.PACKING,
            exclusion_for="One strap without a pad.",
            exclusion_against="Blankets and skid were theirs.",
            share_pct=80.0,
            share_reason="Block glued before.",
        )
        if each.place == "pedals"
        else each
        for each in after.remarks
    )
    said = {**CLAIM, "quotations": (replace(quotation, jobs=jobs),), "notices": notices}
    after = replace(after, remarks=(*remarks, SUSPECT), claim=replace(after.claim, **said))
    return found(sample("before"), after, Terms(sum_insured=Decimal(15000), excess=Decimal(250)))


def number(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def cents(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


@pytest.mark.parametrize("which", [0, -1])
def test_each_line_of_the_bill_can_be_worked_with_a_calculator(which):
    item = claimed()
    case = replace(item.after.case, costs=replace(item.after.case.costs, overhead_pct=12.5, parts_rate=Decimal(51)))
    item = found(item.before.case, case)
    scenario = item.loss.scenarios[which]
    bill = costing.billed(item, scenario)
    *lines, together, net = costing.bill_rows(item, bill)
    rate, parts_rate = case.costs.labour_rate, Decimal(51)
    overhead, contingency = (Decimal(str(each)) / 100 for each in (bill.overhead_pct, bill.contingency_pct))
    assert overhead == Decimal("0.125")
    quoted = 0
    for _, hours, labour, parts_pct, parts, over, more, cost, _, worn, better in lines:
        if hours == "–":
            quoted += number(cost)
        else:
            assert number(labour) == cents(number(hours) * rate)
            assert number(parts) == cents(number(hours) * parts_rate * number(parts_pct) / 100)
            assert number(over) == cents((number(labour) + number(parts)) * overhead)
            assert number(more) == cents((number(labour) + number(parts) + number(over)) * contingency)
            assert number(cost) == number(labour) + number(parts) + number(over) + number(more)
        assert number(better) == cents(number(cost) * number(worn) / 100)
    assert number(together[7]) == sum(number(line[7]) for line in lines)
    assert number(together[10]) == sum(number(line[10]) for line in lines)
    assert number(net[7]) == number(together[7]) - number(together[10])
    assert quoted == 1080
    # The medians of the draws lie near the typical figures.
    assert float(number(together[7])) == pytest.approx(scenario.repair.mid, rel=0.05)


def test_a_limit_is_converted_at_the_rate_and_the_day_that_are_stated():
    rows = {row[0]: row for row in carried.limit_rows(claimed())}
    row = rows["CMR (as stated)"]
    assert row[1] == "SDR 3,998.40"
    assert "1 SDR = 1.25 EUR" in row[2]
    assert "3 November 2026" in row[2]
    assert "4,998" in row[3]  # 480 kg × 8.33 SDR × 1.25
    assert "no rate for USD" in rows["US household goods"][2]
    assert rows["German removals, HGB"][2] == "–"  # in euros already


def test_no_notice_is_no_admission():
    item = replace(claimed(), delivered=date(2026, 10, 23))
    text = render(dossier(item))
    assert "No notice is recorded in this file." in text
    for words in ("no notice was given", "notice was not given", "failed to give notice"):
        assert words not in text.lower()
    given = Notice(date(2026, 10, 24), "letter", "Sallowby Haulage", "Lyre broken off; further damage reserved.")
    text = render(dossier(claimed((given,))))
    assert "Lyre broken off; further damage reserved." in text
    assert "No notice is recorded" not in text


def test_every_record_stands_in_the_dossier_and_on_the_page():
    item = claimed()
    text = render(dossier(item))
    for words in (
        "Corvane & Lisk, 114, 3 November 2026, valid until 31 December 2026",
        "quotation\\_114.pdf | " + "ab" * 32,
        "Brimmick & Son",
        "bid.pdf | " + "cd" * 32,
        "drop, delivery",
        "insufficient packing",
        "Blankets and skid were theirs.",
        "80%: Block glued before.",
        "Sallowby Haulage",
        "P-7741",
    ):
        assert words in text or words.replace("&", "&amp;") in text, words
    assert "Corvane & Lisk" in printed(item)


def test_what_is_in_doubt_is_told_on_both_sides():
    rows = doubt.doubt_rows(claimed())
    (row,) = [row for row in rows if row[1] == SUSPECT.text]
    assert row[2] == "suspected, 50% likely (no probability stated)"
    amounts = [number(re.search(r"[\d,]+", cell)[0]) for cell in row[3:]]
    assert amounts[1] > amounts[0] > 0
    after = claimed().after.case
    silent = Remark("plate", "Caster cup cut the platform.", origin=Origin.TRANSIT)
    item = found(sample("before"), replace(after, remarks=(*after.remarks, silent)))
    (row,) = [row for row in doubt.doubt_rows(item) if row[1] == silent.text]
    assert "nothing is counted" in row[4]
    assert "Attributed to the move, not counted" in printed(item)


def test_the_object_follows_its_schema():
    given = Notice(date(2026, 10, 24), "letter")
    found_ = LOSS.dump(claimed((given,)))
    Draft202012Validator(schema("loss")).validate(found_)
    assert found_["claim"]["limits"][0]["rate_day"] == "2026-11-03"
    assert found_["scenarios"][0]["quotations"][0]["use"] == "taken"
    assert found_["scenarios"][0]["apportioned_pct"] < 100


def test_what_was_looked_for_and_not_found_is_no_defect():
    """A carrier's lawyer reads the list of new defects: neither a plate found whole nor one not seen stands there."""
    before, after = sample("before"), sample("after")
    added = (
        Remark("plate", "Dark line at the second strut.", finding=Finding.SUSPECTED, check="plate_crack"),
        Remark("soundboard", "Underside not to be seen.", finding=Finding.NOT_SEEN),
    )
    item = found(before, replace(after, remarks=(*after.remarks, *added)))
    new = {row[3]: row[-1] for row in remark_rows(item, RemarkClass.NEW)}
    assert new["Dark line at the second strut."] == "suspected"
    looked = {text: outcome for _, text, outcome in looked_for(item)}
    assert looked["Underside not to be seen."] == "could not be seen"
    assert looked["Strut by strut again with lamp and mirror: no crack."] == "no"
    assert not new.keys() & looked.keys()
