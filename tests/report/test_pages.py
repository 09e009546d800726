"""Pages: an owner gets one or two, the thoroughest report takes sixteen, none is nearly empty, and nothing is cut."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from appraise.model.case import Kind
from appraise.report.appraisal import Appraisal, appraisal
from appraise.report.cautions import applicable
from appraise.report.document import PAPERS, Document, Facts, Paragraph, Section, Sheet
from appraise.report.formats import write
from appraise.report.household import INSURED
from appraise.report.kinds import document_for
from appraise.report.owner import IN_TUNE
from appraise.report.pdf import write as pdf
from appraise.report.pdf.write import NEARLY_EMPTY
from appraise.report.provenance import Standing
from appraise.report.value_texts import disposed, job_text, work_lists
from appraise.report.words import literal
from appraise.store.read import read_case
from appraise.tables.load import load_tables
from tests.helpers.messages import of_tables
from tests.helpers.report_cases import RATES, grand
from tests.helpers.report_text import words_of

SAMPLES = sorted((Path(__file__).parents[2] / "sample_cases").glob("*.toml"))
MOST = 16
"""Pages of the full report of the most thorough sample, its annex apart."""
FOOT = 60.0
"""What stands lower on a page is its foot [pt]."""


@cache
def sample(name: str) -> Appraisal:
    path = next(path for path in SAMPLES if path.stem == name)
    case, _ = read_case(path, load_tables())
    item = appraisal(case, load_tables(), file=path.name, sha256="ab" * 32, draws=200)
    return replace(item, standing=Standing(date(2026, 11, 20), "cd" * 32, 7, "ef" * 32))


def filled(document, paper) -> list[float]:
    """Return how far down each page of a document is written on, as a share of its height."""
    found = []
    for page in PdfReader(BytesIO(write(document, ".pdf", Sheet(paper)).content)).pages:
        heights: list[float] = []

        def visit(text, cm, tm, _font, _size, heights=heights):
            if text.strip():
                heights.append(cm[1] * tm[4] + cm[3] * tm[5] + cm[5])

        page.extract_text(visitor_text=visit)
        found.append(1.0 - min(y for y in heights if y > FOOT) / float(page.mediabox.height))
    return found


def thoroughest() -> str:
    """Return the sample in which the most checks have an entry."""
    made = {}
    for path in SAMPLES:
        case, _ = read_case(path, load_tables())
        made[path.stem] = len({entry.check for entry in (*case.readings, *case.grades)})
    return max(made, key=made.__getitem__)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_thoroughest_report_is_short(paper):
    pages = filled(document_for("full", sample(thoroughest())), paper)
    assert 4 < len(pages) <= MOST
    assert min(pages) > NEARLY_EMPTY


@pytest.mark.parametrize("name", ["barely_inspected_upright", "removal_after", "cracked_plate_grand"])
def test_no_page_of_a_report_is_nearly_empty(name):
    pages = filled(document_for("full", sample(name)), "a4")
    assert len(pages) <= MOST
    assert min(pages) > NEARLY_EMPTY


def test_a_few_lines_too_many_are_set_closer(monkeypatch):
    document = Document("t", "s", (Section("S", (Paragraph("A line."),) * 44),))
    assert len(filled(document, "a4")) == 1
    monkeypatch.setattr(pdf, "LONG", pdf.LONG[:1])
    assert min(filled(document, "a4")) < NEARLY_EMPTY


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_owner_gets_a_page_or_two(path, paper):
    assert len(filled(document_for("summary", sample(path.stem)), paper)) <= 2


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_owner_reads_the_words_of_a_household(path):
    """No unit of the workshop, no grade, no statistics, no caution for the workshop; every job, nothing cut."""
    item = sample(path.stem)
    document = document_for("summary", item)
    assert document.close
    text = " ".join(words_of(document))
    case = " ".join(map(str, (item.case.remarks, item.case.assignment, item.case.renewals)))
    assert "…" not in text
    for never in (r"N·m", r"\bgrade [1-5]\b", r"worst tenth", r"\bP\d\d\b", r"percentile", r"\bgovern"):
        assert not [found for found in re.findall(never, text) if found not in case]
    tables = item.tables.cautions
    assert not any(row.short in text for row in tables.values() if row.workshop)
    for row in applicable(item.case, item.tables, item.valuation):
        assert row.workshop or literal(row.short or row.text) in text
    for jobs in work_lists(item.valuation).values():
        assert all(
            item.manner.small(job_text(job, item.manner)) in item.manner.small(text)
            or job_text(job, item.manner) in text
            for job in jobs
        )
    for remark in item.case.remarks:
        assert literal(remark.text).rstrip(".;") in text
    asked = item.case.assignment
    assert all(literal(said) in text for said in (asked.client, asked.purpose, asked.assessor, asked.limits))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_owner_reads_what_was_done_in_the_order_of_time(path):
    item = sample(path.stem)
    (history,) = (section for section in document_for("summary", item).sections if section.key == "history")
    rows = [row for block in history.blocks if isinstance(block, Facts) for row in block.rows]
    dated = sorted(one.date.earliest for one in item.case.renewals if one.date is not None)
    told = [label for label, words in rows if words != "last tuned"]
    assert [re.findall(r"[0-9]{4}", label)[0] for label in told[: len(dated)]] == [f"{day:%Y}" for day in dated]
    assert len(told) == len(item.case.renewals)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_upright_has_a_back_and_a_grand_a_rim(path):
    item = sample(path.stem)
    for kind in ("summary", "offer"):
        text = " ".join(words_of(document_for(kind, item)))
        assert ("Frame and back" in text) == (item.case.identity.kind == Kind.UPRIGHT)
        assert ("Frame and rim" in text) == (item.case.identity.kind == Kind.GRAND)


@pytest.mark.parametrize("kind", [".html", ".md", ".pdf"])
def test_an_owner_reads_no_file_and_no_digest_below_the_photo(kind, tmp_path):
    item = sample("removal_after")
    assert item.case.photos
    written = write(document_for("summary", item), kind, Sheet("a4")).content
    text = (
        "".join(page.extract_text() for page in PdfReader(BytesIO(written)).pages)
        if kind == ".pdf"
        else written.decode()
    )
    assert "no SHA-256 recorded" not in text
    assert not [photo.file for photo in item.case.photos if photo.file in text]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_an_owner_is_told_to_tune_only_what_may_be_tuned(path):
    item = sample(path.stem)
    rows = dict(
        row for s in document_for("summary", item).sections for b in s.blocks if isinstance(b, Facts) for row in b.rows
    )
    tuning, said = item.valuation.component("tuning"), rows.get("Tuning", "")
    if said.startswith("the usual tuning"):
        assert tuning.inspected > 0
        assert tuning.grade.mid <= IN_TUNE
        assert not any("plate" in row.components for row in applicable(item.case, item.tables, item.valuation))
    listed = [job.remedy for jobs in work_lists(item.valuation).values() for job in jobs]
    tuned = any("tuning" in item.tables.remedies[remedy].improves for remedy in listed)
    assert bool(said) != (tuned or disposed(item.valuation))
    # One sentence on what comes: nothing later for what is not worth its upkeep any more.
    assert not (rows.get("Worth its upkeep", "").startswith("no longer") and "Later" in rows)
    assert "about 0 years" not in str(rows)


@pytest.mark.parametrize("basis", sorted(load_tables().bases))
def test_the_sum_to_insure_stands_where_it_is_asked_for(basis):
    case = grand()
    item = appraisal(replace(case, assignment=replace(case.assignment, basis=basis)), load_tables(), draws=100)
    text = words_of(document_for("summary", item))
    assert ("Sum to insure" in text) == (basis in INSURED)
    assert basis not in INSURED or f"{item.figures.shown('value')}, on this kind of value" in text


def test_whatever_somebody_wrote_is_whole():
    long = "Was written with a thoroughness that knows no end and minds no page, " * 20
    case = grand()
    asked = replace(case.assignment, limits=long, assessor=long, client=long, purpose=long)
    identity = replace(case.identity, serial=long, key_covering="ivory", finish="shellac")
    market = replace(case.market, replacement_source=long, replacement_cost_new=Decimal(90000))
    whole = replace(case, identity=identity, assignment=asked, market=market, invented=long, costs=RATES)
    item = appraisal(whole, load_tables(), file="case.toml", sha256="ab" * 32, draws=200)
    texts = words_of(document_for("summary", item))
    assert sum(literal(long) in text for text in texts) == 6
    assert 2 <= len(filled(document_for("summary", item), "a4")) <= 4


def test_a_german_page_has_no_english_of_the_tables():
    """What an owner reads of the tables is translated with the rest; what somebody wrote stays as written."""
    from appraise.report.appraisal import in_manner
    from appraise.report.wording import manner_for

    seen = 0
    for path in SAMPLES:
        item = sample(path.stem)
        english = words_of(document_for("summary", item))
        german = words_of(document_for("summary", in_manner(item, manner_for("de_DE", kind="summary"))))
        own = manner_for("de_DE", kind="summary")
        for text in {text for _, text in of_tables() if own.translated(text) != text and len(text) > 12}:
            if any(text in words for words in english):
                seen += 1
                assert not any(text in words for words in german), text
    assert seen > 100
