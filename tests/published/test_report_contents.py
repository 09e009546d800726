"""The full report answers every item of the published lists; the lists and their sources are in `report_contents`."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from appraise.report.appraisal import Appraisal, appraisal
from appraise.report.kinds import document_for
from appraise.report.markdown import escape, render
from appraise.store.read import read_case
from appraise.tables.load import load_tables
from tests.helpers.report_cases import CASES
from tests.published.report_contents import WANTED

FOLDER = Path(__file__).parents[2] / "sample_cases"
SAMPLES = ("renewed_grand", "grand")
"""Cases that state everything a report can hold: a sample, and one of the tests' own."""


@cache
def item(name: str) -> Appraisal:
    case = CASES[name]() if name in CASES else read_case(FOLDER / f"{name}.toml", load_tables())[0]
    assert case is not None
    return appraisal(case, load_tables(), file=f"{name}.toml", sha256="ab" * 32, draws=500)


@cache
def sections(name: str) -> dict[str, str]:
    """Return the rendered text of every section by its key."""
    return by_key(document_for("full", item(name)))


def by_key(document) -> dict[str, str]:
    """Return what a reader of the Markdown finds under each heading, by the key of the section."""
    rest, found, last = render(document), {}, ""
    for section in document.sections:
        heading = f"\n{'#' * (section.level + 1)} {escape(section.title)}\n"
        found[last], there, rest = rest.partition(heading)
        assert there, f"no heading {section.title}"
        last = section.key
    return {**found, last: rest}


def unanswered(wanted, item, found) -> list[str]:
    """Return what of one item is missing: its sections, or facts that stand in none of them."""
    missing = [f"section {key}" for key in wanted.sections if key not in found]
    text = "\n".join(found.get(key, "") for key in wanted.sections)
    return missing + [fact for fact in wanted.facts(item) if not fact or escape(fact).lstrip("\\") not in text]


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("wanted", WANTED, ids=str)
def test_it_is_answered(wanted, name):
    assert unanswered(wanted, item(name), sections(name)) == []


@pytest.mark.parametrize("wanted", WANTED, ids=str)
def test_its_absence_would_be_noticed(wanted):
    """An item is answered in the sections it names, and nowhere else: without them the test above fails."""
    found = {key: text for key, text in sections(SAMPLES[0]).items() if key not in wanted.sections}
    assert unanswered(wanted, item(SAMPLES[0]), found)


def test_a_fact_that_is_not_stated_is_noticed():
    whole = item(SAMPLES[0])
    case = replace(whole.case, assignment=replace(whole.case.assignment, client=""))
    without = replace(whole, case=case)
    found = by_key(document_for("full", without))
    failing = {str(wanted) for wanted in WANTED if unanswered(wanted, without, found)}
    assert any("client" in each for each in failing)


def test_keys_name_sections_once():
    for name in SAMPLES:
        for kind in ("full", "summary", "workorder"):
            keys = [section.key for section in document_for(kind, item(name)).sections]
            assert all(keys), kind
            assert len(keys) == len(set(keys)), kind
