"""The letters of a claim: a page each, facts and reservations, nothing admitted, nothing of a figure given away."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date
from functools import cache

import pytest
from pypdf import PdfReader

from appraise.model.case import Remark
from appraise.model.claim import Finding, Notice, Origin
from appraise.report.document import FillInLines, Sheet
from appraise.report.formats import write
from appraise.report.kinds import document_for
from appraise.report.loss import letters
from appraise.report.loss.compared import StateFile
from appraise.report.markdown import render
from appraise.services.loss import compared, consignment_of, terms_of
from tests.report.test_loss import TABLES, hostile, sample
from tests.report.test_loss_claim import SUSPECT
from tests.unit.test_loss_compare import DRAWS

KINDS = ("notice", "request")


@cache
def moved(notices: tuple[Notice, ...] | None = None, *more: Remark, regime: str = ""):
    """Compare the samples as their files say, with other notices or more remarks."""
    before, after = sample("before"), sample("after")
    claim = after.claim if notices is None else replace(after.claim, notices=notices)
    after = replace(after, claim=replace(claim, regime=regime), remarks=(*after.remarks, *more))
    return found(before, after)


def found(before, after):
    states = (StateFile("before.toml", "ab" * 32, before), StateFile("after.toml", "cd" * 32, after))
    return compared(*states, TABLES, terms=terms_of(after.claim), consignment=consignment_of(after.claim), draws=DRAWS)


def text_of(kind: str, item) -> str:
    return render(document_for(kind, item))


@pytest.mark.parametrize("kind", KINDS)
def test_the_page(kind, markdown_snapshot):
    item = moved()
    assert text_of(kind, replace(item, loss=replace(item.loss, tables_version="0" * 12))) == markdown_snapshot


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("kind", KINDS)
def test_one_page(kind, paper):
    many = [Remark("casework", f"Dent {n}. {'x' * 400}", origin=Origin.TRANSIT) for n in range(2)]
    for item in (moved(), moved(None, *many)):
        content = write(document_for(kind, item), ".pdf", Sheet(paper)).content
        assert len(PdfReader(io.BytesIO(content)).pages) == 1


def test_a_notice_admits_nothing_and_names_no_sum():
    text = text_of("notice", moved())
    for said in ("admits a fact, a cause or a liability", "reserved", "Local law", "no legal advice", "PR-2026-118"):
        assert said in text
    for admitted in ("passed", "too late", "packing", "wear", "was not given", "excess", "sum insured"):
        assert admitted not in text.lower()
    assert not re.search(r"EUR|%", text)


def test_what_was_there_before_is_no_part_of_a_letter():
    kept = {line.latest.text for line in moved().loss.remarks if not line.fresh}
    fresh = [line.latest for line in moved().loss.remarks if line.fresh and line.origin is Origin.TRANSIT]
    assert kept
    assert fresh
    for kind in KINDS:
        text = text_of(kind, moved())
        assert not [words for words in kept if words in text]
        assert [one for one in fresh if one.text.split(",")[0] in text] == fresh


def test_a_suspicion_is_told_as_one():
    item = moved(None, SUSPECT, Remark("plate", "Nothing here.", finding=Finding.NO, origin=Origin.TRANSIT))
    for kind in KINDS:
        assert f"Plate: suspected: {SUSPECT.text}" in text_of(kind, item)
        assert "Nothing here." not in text_of(kind, item)


def test_more_defects_than_a_page_holds_are_counted():
    many = [Remark("casework", f"Mark number {n}", origin=Origin.TRANSIT) for n in range(letters.LISTED)]
    text = text_of("notice", moved(None, *many))
    lines = [line for line in moved(None, *many).loss.remarks if line.fresh]
    assert f"{len(lines) - letters.LISTED} more defects, listed in the dossier." in text


@pytest.mark.parametrize(
    ("notices", "reported", "rows"),
    [
        # Delivered on Friday 23 October 2026; CMR article 30: 7 days without the Sunday end on Saturday the 31st.
        ((), date(2026, 10, 31), {"notice_concealed": "by this letter"}),
        ((), date(2026, 11, 2), {}),  # what is over is not named: a letter to the other side says nothing of it
        ((Notice(date(2026, 10, 31), "letter"),), date(2026, 11, 9), {"notice_concealed": "given"}),
        ((Notice(date(2026, 11, 1), "letter"),), date(2026, 11, 9), {}),
        ((Notice(date(2026, 10, 23), "note"),), date(2026, 11, 9), dict.fromkeys(("concealed", "apparent"), "given")),
    ],
)
def test_the_periods_that_a_notice_keeps(notices, reported, rows):
    item = moved(notices, regime="CMR")
    item = replace(item, asked_on=reported)
    told = {each.concerns: said for each in item.deadlines if (said := letters._kept(item, each))}
    assert len(told) == len(rows)
    for (concerns, said), (key, words) in zip(sorted(told.items()), sorted(rows.items()), strict=True):
        assert key in concerns
        assert words in said


def test_a_rule_that_is_said_to_govern_is_named_alone():
    text = text_of("notice", moved(regime="German removals, HGB"))
    assert "German removals, HGB" in text
    assert "Hague-Visby" not in text


def test_without_a_notice_none_is_recorded_in_this_file():
    assert "No notice is recorded in this file." in text_of("notice", moved(()))


def test_a_request_gives_no_figure_away_and_has_a_line_for_every_job():
    document = document_for("request", moved())
    (table,) = [block for each in document.sections for block in each.blocks if hasattr(block, "columns")]
    jobs = moved().loss.scenarios[-1].items
    assert [row[0].removesuffix(" (priced apart)") for row in table.rows] == [job.label for job in jobs]
    assert all(row[2:] == ("", "") for row in table.rows)
    apart = {row[0] for row in table.rows if row[0].endswith("(priced apart)")}
    assert len(apart) == len(jobs) - len(moved().proposed.items)
    assert "EUR" not in render(document)
    assert any(isinstance(block, FillInLines) for each in document.sections for block in each.blocks)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("ending", [".md", ".html", ".pdf"])
def test_hostile_words_are_written(kind, ending):
    assert write(document_for(kind, hostile()), ending, Sheet()).content
