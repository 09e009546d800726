"""The same money and the same percentages in PDF, HTML, Markdown and JSON, whatever kind of report."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from appraise.report.document import Document, Drawing, Paragraph, Section, Sheet, Table
from appraise.report.formats import WRITERS, write
from appraise.report.json_text import dumps
from appraise.report.kinds import OF_A_LOSS, document_for
from appraise.report.outputs.loss import DOSSIER
from appraise.report.outputs.value import REPORT
from tests.helpers.report_text import figures, html_text, json_texts, letters_of, markdown_text, pdf_text, words_of
from tests.report.conftest import valued
from tests.report.test_loss import moved

KINDS = {
    ("grand", "full"): 130,
    ("grand", "annex"): 180,
    ("grand", "summary"): 12,
    ("unwanted", "summary"): 12,
    ("grand", "workorder"): 7,
    ("moved", "loss"): 30,
    ("moved", "notice"): 0,
    ("moved", "request"): 0,
}
"""The reports read, and how many different figures each holds at least."""
SHEET = Sheet()
READ = {
    ".md": lambda content: markdown_text(content.decode("utf-8")),
    ".html": html_text,
    ".pdf": pdf_text,
}


@cache
def made(case: str, kind: str) -> Document:
    return document_for(kind, moved() if case == "moved" else valued(case))


@pytest.mark.parametrize("ending", WRITERS)
@pytest.mark.parametrize(("case", "kind"), KINDS)
def test_every_figure_is_in_every_format(case, kind, ending):
    document = made(case, kind)
    wanted = figures(words_of(document))
    assert len(wanted) >= KINDS[case, kind]
    seen = figures(READ[ending](write(document, ending, SHEET).content))
    # A heading of a table comes again on the next page; nothing may be missing, and nothing may stand there that is
    # not in the document.
    assert not wanted - seen
    drawn = figures(letters_of(document)) if ending == ".pdf" else {}
    assert not set(seen) - set(wanted) - set(drawn)


@pytest.mark.parametrize(("case", "kind"), KINDS)
def test_every_figure_is_in_the_object(case, kind):
    item = moved() if case == "moved" else valued(case)
    text = dumps((DOSSIER if kind in list(OF_A_LOSS) else REPORT).dump((item, kind)))
    assert figures(json_texts(text)) == figures(words_of(made(case, kind)))


@pytest.mark.parametrize("ending", WRITERS)
def test_a_figure_that_one_format_changes_is_found(ending):
    document = made("grand", "workorder")
    place, section = next(
        (place, section)
        for place, section in enumerate(document.sections)
        if any(isinstance(block, Table) and figures([c for row in block.rows for c in row]) for block in section.blocks)
    )
    sections = [*document.sections]
    sections[place] = Section(section.title, (Paragraph("EUR 123,456 and 98.7%"),), section.level)
    seen = figures(READ[ending](write(replace(document, sections=tuple(sections)), ending, SHEET).content))
    wanted = figures(words_of(document))
    assert wanted - seen
    assert {"EUR 123,456", "98.7%"} <= set(seen) - set(wanted)


def test_the_text_of_a_whole_report_is_the_same_in_html_and_markdown():
    document = made("grand", "full")
    plain = {ending: READ[ending](write(document, ending, SHEET).content) for ending in (".md", ".html")}
    drawn = {block.caption for section in document.sections for block in section.blocks if isinstance(block, Drawing)}
    for words in words_of(document):
        for ending, text in plain.items():
            # What is drawn is explained where it is drawn: Markdown has the words of a chart alone.
            assert (words in text) == (ending != ".md" or words not in drawn), (ending, words)
