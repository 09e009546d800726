"""The owner's summary is one page: whatever the case, on either paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from appraise.report.appraisal import appraisal
from appraise.report.formats import PAPERS, Sheet, write
from appraise.report.kinds import document_for
from appraise.report.standing import Standing
from appraise.store.read import read_case
from appraise.tables.load import load_tables
from tests.helpers.report_cases import RATES, grand

SAMPLES = sorted((Path(__file__).parents[2] / "sample_cases").glob("*.toml"))


def pages(case, paper) -> int:
    item = appraisal(case, load_tables(), file="case.toml", sha256="ab" * 32, draws=200)
    item = replace(item, standing=Standing(date(2026, 11, 20), "cd" * 32, 7, "ef" * 32))
    written = write(document_for("summary", item), ".pdf", Sheet(paper)).content
    return len(PdfReader(BytesIO(written)).pages)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample(path, paper):
    case, _ = read_case(path, load_tables())
    assert pages(case, paper) == 1


@pytest.mark.parametrize("paper", PAPERS)
def test_whatever_somebody_wrote(paper):
    """With every warning that can apply, every text far too long and a plan of many jobs."""
    long = "Was written with a thoroughness that knows no end and minds no page, " * 20
    case = grand()
    asked = replace(case.assignment, limits=long, assessor=long, client=long, purpose=long)
    identity = replace(case.identity, serial=long, key_covering="ivory", finish="shellac")
    market = replace(case.market, replacement_source=long, replacement_cost_new=Decimal(90000))
    whole = replace(case, identity=identity, assignment=asked, market=market, invented=long, costs=RATES)
    assert pages(whole, paper) == 1
