"""The full report: everything a client is owed, every figure from the tree, the same bytes each time."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from markdown_it import MarkdownIt

from appraise.model.span import Span
from appraise.report.appraisal import appraisal
from appraise.report.cautions import applicable
from appraise.report.document import Document, Outline, Paragraph, Table
from appraise.report.full import full_report
from appraise.report.kinds import document_for
from appraise.report.markdown import render
from appraise.report.sections.depreciation import ageing
from appraise.report.sections.readings import found_at
from appraise.report.value_texts import job_text, work_lists
from appraise.report.words import literal
from appraise.tables.load import load_tables
from tests.helpers.golden import whole_or_digest
from tests.helpers.report_cases import HOSTILE_TEXT, grand
from tests.helpers.report_text import words_of
from tests.report.conftest import valued

TITLES = [
    "Summary",
    "The reasons in words",
    "The assignment",
    "The instrument",
    "Scope and limits",
    "History and dating",
    "Condition by station",
    "Defects noted",
    "Photos",
    "Pitch",
    "Has it dried out?",
    "Depreciation by component",
    "Remaining life",
    "Work",
    "Approaches to value",
    "The range and what drives it",
    "Assumptions and limiting conditions",
    "Cautions",
    "Statement of the appraiser",
    "Sources used",
    "To reproduce the figures",
]
"""In the order of reading; what each must hold is checked in `tests/published/test_report_contents.py`."""


_STATION = ("grade", "inspected", "depreciation")


def test_every_section_is_there(item):
    own = {"Pitch": item.case.pitch_log, "Has it dried out?": item.case.drying_clues}
    titles = [title for title in TITLES if own.get(title, True)]
    assert [section.title for section in full_report(item).sections if section.level == 1] == titles


def test_tables_are_rectangular(item):
    for section in full_report(item).sections:
        for block in section.blocks:
            if isinstance(block, Table):
                assert {len(row) for row in block.rows} <= {len(block.columns)}, section.title


def test_the_annex_derives_every_figure_and_holds_what_left_the_report(item):
    document = document_for("annex", item)
    outline = next(block for section in document.sections for block in section.blocks if isinstance(block, Outline))
    text = "\n".join(line for _, line in outline.entries)
    for node in item.tree.walk():
        assert f"[{node.figure}]" in text or node.figure.endswith((".low", ".high")), node.figure
    assert not any(isinstance(block, Outline) for s in full_report(item).sections for block in s.blocks)
    told = " ".join(words_of(document))
    rows = {reference.ref.partition("/")[2] for node in item.tree.walk() for reference in node.references}
    assert all(row in told for row in rows)
    for station in item.valuation.stations:
        for part in station.components:
            if not item.tables.components[part.component].hazard:
                for figure in ("age", "life", "effective_age", "depreciation"):
                    assert item.figures.shown(f"{part.component}.{figure}") in told, part.component


def test_the_report_and_its_annex_name_the_same_file_and_tables(item):
    facts = [
        next(s for s in document_for(kind, item).sections if s.key == "again").blocks for kind in ("full", "annex")
    ]
    assert facts[0] == facts[1] or facts[0][0] == facts[1][0]
    assert (item.sha256 in str(facts[0]), item.valuation.tables_version in str(facts[0])) == (True, True)


def test_identity_basis_dates_and_provenance_are_stated():
    page = render(full_report(valued("grand")))
    for text in (
        "Amberlin & Sohn",
        "48 217",
        "date written on the first key",
        "F. Imagined",
        "the client alone",
        "sale between neighbours",
        load_tables().bases["private_sale"].definition,
        "20 November 2026",
        "23 November 2026",
        "the bottom was not unscrewed",
        "price list of the invented dealer",
        "Tolvremer 190",
        "letter of the first owner",
        "ab" * 32,
        load_tables().version,
    ):
        assert text in page, text


def test_facts_of_the_instrument_are_printed_where_they_are_stated():
    plain, case = render(full_report(valued("grand"))), grand()
    stated = replace(
        case,
        identity=replace(
            case.identity,
            straight_strung=False,
            player="silent",
            last_tuned=Span.parse("2024-05"),
            stairs=1,
            owners=3,
        ),
    )
    page = render(full_report(appraisal(stated, load_tables(), file="grand.toml", draws=100)))
    for fact in ("overstrung", "Silent system", "May 2024", "1 flight", "Owners known"):
        assert fact in page
        assert fact not in plain
    assert "Overdamper" not in page


def test_it_signs_nothing():
    page = render(full_report(valued("grand")))
    after = page.partition("## Statement of the appraiser")[2].partition("\n## ")[0]
    assert "R. Invented" not in after
    assert re.search(r"Signature: \.+$", after, re.MULTILINE)
    assert "certifies nobody" in after


def test_hostile_text_is_literal_in_markdown():
    page = render(full_report(valued("hostile")))
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", page)
    html = MarkdownIt("commonmark").enable("table").render(page)
    assert set(re.findall(r"<(\w+)", html)) == {
        *("h1", "h2", "h3", "p", "ul", "li", "table", "thead", "tbody", "tr", "th", "td")
    }
    shown = literal(HOSTILE_TEXT).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    assert html.count(shown) >= 30
    assert "[bold]d[/bold]" not in re.sub(re.escape(shown), "", html)


@pytest.mark.usefixtures("value_anew")
def test_the_same_seed_gives_the_same_bytes():
    pages = {render(full_report(appraisal(grand(), load_tables(), file="g.toml", draws=100, seed=7))) for _ in range(2)}
    assert len(pages) == 1
    other = render(full_report(appraisal(grand(), load_tables(), file="g.toml", draws=100, seed=8)))
    assert other not in pages


@pytest.mark.parametrize("name", ["grand", "bare"])
def test_the_report_of_two_cases(name, markdown_snapshot):
    """One that has everything and one that has next to nothing; what holds for every case is tested as such."""
    item = valued(name)
    text = render(full_report(item)).replace(item.valuation.tables_version, "TABLES")
    assert whole_or_digest(text, whole=name == "grand") == markdown_snapshot


def test_every_report_holds_the_figures_readings_jobs_and_cautions(item):
    document = full_report(item)
    text = " ".join(words_of(document))
    shown, v = item.figures.shown, item.valuation
    figures = ["share_of_new", "validity", *(f"station.{s.station}.{kind}" for s in v.stations for kind in _STATION)]
    figures += [f"{part.component}.depreciation" for part in ageing(item)]
    figures += [f"work.{job.remedy}.cost" for jobs in work_lists(v).values() for job in jobs]
    if v.value is not None:
        figures += ["value", "value.low", "value.high", *(f"value.p{percent:02d}" for percent, _ in v.percentiles)]
    assert all(shown(figure) in text for figure in figures)
    listed = {s.key: " ".join(words_of(Document("", "", (s,)))) for s in document.sections}
    if item.case.costs.reckoned:
        for group, jobs in work_lists(v).items():
            assert all(job_text(job, item.manner) in listed[f"work_{group}"] for job in jobs)
    cautions = applicable(item.case, item.tables, v)
    assert all(literal(row.text) in listed["cautions"] for row in cautions)
    for reading in item.case.readings:
        assert found_at(item, reading.check) in text or reading.value is False
        assert literal(reading.remark) in text
    for remark in item.case.remarks:
        assert literal(remark.text) in listed["defects"]
    assert all(literal(renewal.evidence) in listed["history"] for renewal in item.case.renewals)


def test_a_fault_that_is_not_there_needs_no_line():
    """It is named once below the table; what was remarked, counted or governs keeps its line."""
    item = valued("grand")
    sections = {section.key: section for section in full_report(item).sections}
    structure = sections["station_structure"]
    cells = {row[1] for block in structure.blocks if isinstance(block, Table) for row in block.rows}
    told = [block.text for block in structure.blocks if isinstance(block, Paragraph)]
    assert "Plate crack" not in cells
    assert "Looked for and not found, grade 1.0 each: plate crack." in told
    checks = {check.check for s in item.valuation.stations for part in s.components for check in part.checks}
    text = render(full_report(item))
    for check in checks:
        label = literal(item.tables.checks[check].label)
        assert label in text or item.manner.small(label) in text
