"""The dossier of the sample claim on paper: ten pages at most, what is signed and what is proved on a page each."""

from __future__ import annotations

import io
from functools import cache

import pytest
from pypdf import PdfReader

from appraise.report.document import Sheet
from appraise.report.formats import write
from appraise.report.kinds import document_for
from appraise.report.sections.signatures import ROLES
from appraise.services.loss import compared, consignment_of, state_of, terms_of
from tests.report.test_loss import FOLDER, TABLES, sample

MOST = 10


@cache
def pages(paper: str) -> tuple[str, ...]:
    files = [FOLDER / f"removal_{name}.toml" for name in ("before", "after")]
    states = [state_of(file, sample(file.stem.removeprefix("removal_")), file.read_bytes()) for file in files]
    claim = states[1].case.claim
    item = compared(*states, TABLES, terms=terms_of(claim), consignment=consignment_of(claim))
    reader = PdfReader(io.BytesIO(write(document_for("loss", item), ".pdf", Sheet(paper)).content))
    return tuple(page.extract_text() for page in reader.pages)


def test_ten_pages_at_most():
    assert len(pages("a4")) <= MOST


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_statement_is_signed_on_its_page(paper):
    (page,) = [page for page in pages(paper) if "certify" in page and "checked and signed" in " ".join(page.split())]
    for role in ROLES:
        assert role in " ".join(page.split())
    assert [page.count(line) for line in ("Place:", "Date:", "Signature:")] == [len(ROLES)] * 3


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_chain_of_custody_is_on_one_page(paper):
    (page,) = [page for page in pages(paper) if "Chain of custody" in page]
    text = "".join(page.split())
    for case in (sample("before"), sample("after")):
        digests = [case.photo(file).sha256 for file in case.photo_files]
        digests += [sha256 for _, _, _, sha256 in case.claim.papers]
        assert [digest for digest in digests if digest not in text] == []
    assert "MarenTolkswick" in text
