"""Markdown keeps every text literal; checked with markdown-it-py, an independent CommonMark reader."""

from __future__ import annotations

import html
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from appraise.report.document import (
    Bullets,
    Column,
    Document,
    Drawing,
    Facts,
    FillInLines,
    Outline,
    Paragraph,
    Photo,
    PhotoGrid,
    Section,
    Table,
)
from appraise.report.kinds import document_for
from appraise.report.markdown import escape, render
from appraise.report.words import literal
from tests.report.conftest import valued

READER = MarkdownIt("commonmark").enable("table").enable("strikethrough")

HOSTILE = [
    "# not a heading",
    "- not an item",
    "+ not an item",
    "* not an item",
    "1. not an item",
    "2) not an item",
    "> not a quotation",
    "=====",
    "-----",
    "***",
    "```sh",
    "~~~",
    "~~gone~~",
    "*light* **heavy** _light_ __heavy__",
    "`code`",
    "[name](https://example.org)",
    "![picture](x.png)",
    "<https://example.org>",
    "<script>alert(1)</script>",
    "<!-- hidden -->",
    "&lt;b&gt; &#60; &amp; R&D; a & b",
    "a | b | c",
    "back\\slash \\* \\",
    "[/] [bold]x[/bold]",
    "[ref]: https://example.org",
    "| a |",
    "|---|",
    "$x^2$",
    "    four spaces",
    "trailing  ",
    "two\nlines\r\nand\ta tab",
    "\x1b[2Jcleared \x1b]0;title\x07",
    "turned \u202eround",
    "宽字符 ½ ♯ é",
]


LINKING = MarkdownIt("gfm-like")
"""A reader that makes links of bare addresses, as forges do, and of whatever looks like the name of a host."""

ADDRESSES = (
    "http://h.invalid/p.png",
    "https://example.org",
    "ftp://example.org/x",
    "//example.org/x",
    "www.example.org",
    "WWW.Example.Com",
    "example.com",
    "see example.co.uk.",
    "a_b.example.net/x_y?q=1",
    "mailto:a@b.org",
    "a.b+c@example.org",
    "xmpp:a@b.co",
    "пример.рф",
    "x.xn--p1ai",
)


@pytest.mark.parametrize("reader", [READER, LINKING], ids=["commonmark", "linking"])
@pytest.mark.parametrize("text", ADDRESSES)
def test_an_address_is_no_link_and_reads_as_written(reader, text):
    assert reader.render(escape(text)) == f"<p>{html.escape(text, quote=False)}</p>\n"


@given(
    st.lists(
        st.sampled_from(
            (
                *ADDRESSES,
                "://",
                "//",
                "www.",
                "@",
                ".",
                "com",
                "de",
                "x",
                " ",
                "(",
                ")",
                "_",
                "*",
                "\\",
                "<",
                ":",
                "/",
                "é",
            )
        ),
        max_size=8,
    ).map("".join)
)
def test_no_text_makes_a_link(text):
    found = LINKING.parse(f"a {escape(text)} z")
    kinds = [inner.type for token in found for inner in token.children or ()]
    assert "link_open" not in kinds, escape(text)
    assert html.unescape(re.sub(r"<[^>]*>", "", LINKING.render(f"a {escape(text)} z"))).split() == f"a {text} z".split()


def shown(markdown: str) -> str:
    """Return what a reader sees of one rendered paragraph."""
    return html.unescape(re.sub(r"<[^>]*>", "", READER.render(markdown))).strip()


def paragraph(text: str) -> str:
    """Return the HTML of a text as a paragraph of its own."""
    return READER.render(escape(text))


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_a_paragraph_of_itself(text):
    assert paragraph(text) == f"<p>{html.escape(literal(text), quote=False).replace(chr(34), '&quot;')}</p>\n"


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_within_its_place(text):
    document = Document(
        text,
        text,
        (
            Section(
                text,
                (
                    Paragraph(text),
                    Bullets((text, text)),
                    Facts(((text, text),)),
                    Table((Column(text), Column(text, numeric=True)), ((text, text), (text, text))),
                    Outline(((0, text), (1, text), (2, text), (0, text))),
                    FillInLines((text,)),
                ),
            ),
        ),
    )
    page = READER.render(render(document))
    safe = html.escape(literal(text), quote=False).replace('"', "&quot;")
    assert page.count(safe) >= 16
    assert set(re.findall(r"<(\w+)", page)) == {
        "h1",
        "h2",
        "p",
        "ul",
        "li",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
    }
    assert page.count("<td") == 2 + 4
    assert page.count("<li>") == 2 + 4 + 1


@given(st.text(max_size=40))
def test_any_text_survives(text):
    assert shown(escape(text)) == literal(text).strip()


def test_no_control_character_reaches_the_file():
    page = render(Document("a\x00b", "c\x1bd", (Section("e\x9bf", (Paragraph("g\u202eh"),)),)))
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", page)
    assert page.count("\N{REPLACEMENT CHARACTER}") == 4


def test_the_caption_of_a_photo_is_a_sentence_or_a_name():
    for caption, line in (
        ("A dent on the cheek.", "- A dent on the cheek. dent.png"),
        ("The cheek", "- The cheek: dent.png"),
    ):
        photo = Photo("dent.png", "", caption)
        assert line in render(Document("T", "s", (Section("A", (PhotoGrid(((photo,),)),)),)))


@pytest.mark.parametrize("kind", ["full", "annex"])
def test_what_is_drawn_is_not_spoken_of_where_nothing_is_drawn(kind):
    document = document_for(kind, valued("grand"))
    drawn = [block for section in document.sections for block in section.blocks if isinstance(block, Drawing)]
    assert drawn
    page = render(document)
    for block in drawn:
        assert escape(block.says) in page
        assert escape(block.caption) not in page
