"""The forms of a claim: what is typed there is what the file holds, and what is missing is named before it counts."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from appraise.services.fields import get, parse, replace_at, shown
from appraise.services.particulars import CLAIM, CLAIM_RECORDS, REMARKS
from appraise.store.document import case_text
from appraise.store.read import parse_case, read_case
from appraise.tables.load import load_tables

TABLES = load_tables()
FILE = Path(__file__).parents[2] / "sample_cases" / "removal_after.toml"
TODAY = date(2026, 11, 25)
TYPED = {
    "quotations": {
        "firm": "Corvane & Lisk",
        "number": "114",
        "day": "30.10.2026",
        "jobs": "lyre_rebuild, legs_mend",
        "amount": "620,50",
        "tax": "124.10",
        "scope": "Lyre and its block",
        "valid_until": "2026-12-31",
        "file": "quotation_114.pdf",
        "sha256": "ab" * 32,
    },
    "salvage_bids": {"bidder": "Brimmick & Son", "amount": "900", "day": "2026-11-02", "note": "", "file": ""},
    "notices": {"day": "2026-10-24", "how": "letter", "to": "The carrier", "reservations": "More may show."},
    "rates": {"unit": "SDR", "rate": "1.2243", "day": "2026-11-03", "source": "typed"},
}
REMARK = {
    "finding": "suspected",
    "probability_pct": "20 %",
    "check": "plate_crack",
    "jobs": "plate_screws",
    "peril": "drop",
    "stage": "in_transit",
    "exclusion": "packing",
    "exclusion_for": "a strap without a pad",
    "exclusion_against": "their own blankets",
    "share_pct": "80",
    "share_reason": "glued before",
}
CARRIED = {
    "total_loss_pct": "80",
    "tax_recovered": "yes",
    "regime": "CMR",
    "carrier": "Sallowby Haulage",
    "declared_value": "20000",
    "handed_over": "2026-10-22",
}


@pytest.fixture
def case():
    return read_case(FILE, TABLES, today=TODAY)[0]


def typed(case, fields, words, *before):
    for field in fields:
        name = field.path[-1]
        if name in words:
            at = field.at(*before)
            case = replace_at(case, at.path, parse(at, words[name], case, TABLES))
            assert not words[name] or shown(at, case, TABLES)
    return case


def again(case):
    found, problems = parse_case(case_text(case), TABLES, file="case.toml", today=TODAY)
    assert not problems
    return found


@pytest.mark.parametrize("records", CLAIM_RECORDS, ids=lambda each: each.path[1])
def test_what_is_typed_is_what_the_file_holds(case, records):
    blank = records.blank()
    assert set(records.lacking(blank)) >= {"Day"}
    case = replace_at(case, records.path, (blank,))
    case = typed(case, records.fields, TYPED[records.path[1]], *records.path, 0)
    (record,) = get(case, records.path)
    assert not records.lacking(record)
    assert str(record.day) in records.title_of(record, TABLES)
    assert again(case) == case
    if records.path[1] == "quotations":
        assert (record.amount, record.tax, record.day) == (Decimal("620.50"), Decimal("124.10"), date(2026, 10, 30))


def test_what_is_typed_of_a_remark_and_of_the_carriage_is_what_the_file_holds(case):
    at = len(case.remarks) - 1
    case = typed(case, REMARKS.fields, REMARK, "remarks", at)
    case = typed(case, CLAIM, CARRIED)
    found = again(case)
    assert found == case
    assert (found.remarks[at].probability_pct, found.claim.regime) == (20.0, "CMR")
