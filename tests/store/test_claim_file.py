"""What a file says of a claim: read, written back the same, and refused in one clear line."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from appraise.model.case import Remark
from appraise.model.claim import Exclusion, Finding, LimitRate, Notice, Peril, Quotation, SalvageBid, Stage
from appraise.store.document import case_text
from appraise.store.read import parse_case, read_case
from appraise.tables.load import load_tables

TABLES = load_tables()
FILE = Path(__file__).parents[2] / "sample_cases" / "removal_before.toml"
DAY = date(2026, 11, 3)


@pytest.fixture(scope="module")
def case():
    return read_case(FILE, TABLES, today=DAY)[0]


def full(case):
    remark = Remark(
        "plate",
        "Dark line",
        finding=Finding.SUSPECTED,
        probability_pct=30.0,
        check="plate_crack",
        jobs=("plate_screws",),
        peril=Peril.DROP,
        stage=Stage.DELIVERY,
        exclusion=Exclusion.INHERENT_VICE,
        exclusion_for="Sand hole in the casting.",
        exclusion_against="Bright metal in the break.",
        share_pct=50.0,
        share_reason="Half of it is the casting.",
    )
    claim = replace(
        case.claim,
        total_loss_pct=80.0,
        tax_recovered=True,
        regime="CMR",
        carrier="Sallowby Haulage",
        declared_value=Decimal(20000),
        lost=DAY,
        handed_over=DAY,
        quotations=(Quotation("A", Decimal("900.00"), ("plate_screws",), DAY, tax=Decimal(180), sha256="ab" * 32),),
        salvage_bids=(SalvageBid("B", Decimal(400), DAY),),
        notices=(Notice(DAY, "letter", "C", "further damage reserved"),),
        rates=(LimitRate("SDR", 1.25, DAY, "bank"),),
    )
    return replace(case, remarks=(*case.remarks, remark), claim=claim)


def parsed(text):
    return parse_case(text, TABLES, file="case.toml", today=date(2026, 11, 25))


def test_a_claim_is_read_as_it_was_written(case):
    again, problems = parsed(case_text(full(case)))
    assert not problems
    assert again == full(case)


@pytest.mark.parametrize(
    ("found", "written", "key", "expected"),
    [
        ('finding = "suspected"', 'finding = "perhaps"', "finding", "suspected"),
        ('finding = "suspected"', 'finding = "yes"', "check", "no such key unless finding"),
        ('check = "plate_crack"', 'check = "plate_finish"', "check", "yes-or-no check"),
        ("probability_pct = 30", "probability_pct = 130", "probability_pct", "below 100|less than 100"),
        ('share_reason = "Half of it is the casting."', 'share_reason = ""', "share_reason", "why that share"),
        ('regime = "CMR"', 'regime = "CRM"', "claim.regime", "a regime of the table"),
        ('amount = "900.00"', "amount = 900.0", "quotations[1].amount", "in quotes"),
        ('jobs = ["plate_screws"]\nday', 'jobs = ["plate_screw"]\nday', "jobs", "a job of the table remedies"),
        ("rate = 1.25", "rate = -1.25", "rates[1].rate", "above 0"),
        ('unit = "SDR"', 'unit = "XQX"', "rates[1].unit", "SDR, or a currency"),
        ('exclusion = "inherent_vice"\n', "", "exclusion", "the exclusion that these signs"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(case, found, written, key, expected):
    text = case_text(full(case))
    assert found in text, text[-1500:]
    _, problems = parsed(text.replace(found, written))
    assert problems
    assert any(key in each.key for each in problems), [each.key for each in problems]
    words = [f"{each.expected} {each.mend}" for each in problems]
    assert any(part in line for part in expected.split("|") for line in words), words
