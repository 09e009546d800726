"""What a reader sees of a document in each format, and the figures in it."""

from __future__ import annotations

import io
import json
import re
from collections import Counter
from html.parser import HTMLParser
from typing import assert_never

from markdown_it import MarkdownIt

from appraise.report.document import (
    Bullets,
    Document,
    Drawing,
    Facts,
    FillInLines,
    Outline,
    Paragraph,
    PhotoGrid,
    Table,
    Ticks,
)

MONEY = re.compile(r"\b(?:EUR|GBP|USD) −?\d[\d,]*(?:\.\d+)?")
SHARE = re.compile(r"−?\d[\d,]*(?:\.\d+)?(?:–\d[\d,]*(?:\.\d+)?)? ?%")


def words_of(document: Document) -> list[str]:
    """Return every text that a document shows, in order: what is drawn in a chart is not told in letters."""
    found = [document.title, document.subtitle]
    for section in document.sections:
        found.append(section.title)
        for block in section.blocks:
            match block:
                case Paragraph():
                    found.append(block.text)
                case Bullets() | Ticks():
                    found += block.items
                case Facts():
                    found += [cell for row in block.rows for cell in row]
                case Table():
                    found += [column.heading for column in block.columns]
                    found += [cell for row in block.rows for cell in row]
                case Outline():
                    found += [text for _, text in block.entries]
                case FillInLines():
                    found += block.labels
                case Drawing():
                    found += [block.caption, block.says]
                case PhotoGrid():
                    found += [part for row in block.rows for photo in row for part in (photo.caption, photo.file)]
                case _:
                    assert_never(block)
    return found


def letters_of(document: Document) -> list[str]:
    """Return the texts beside the marks of its charts, which a PDF keeps as letters."""
    charts = (block.chart for section in document.sections for block in section.blocks if isinstance(block, Drawing))
    return re.findall(r"'([^']*)'", " ".join(map(repr, charts)))


def figures(texts: list[str] | str) -> Counter[str]:
    """Return every amount of money and every percentage, with how often it stands there."""
    text = texts if isinstance(texts, str) else " ¶ ".join(texts)
    plain = " ".join(text.split())
    return Counter(MONEY.findall(plain)) + Counter(SHARE.findall(plain))


class _Seen(HTMLParser):
    """Collects what a page shows: no style, no attribute, no picture's insides."""

    HIDDEN = ("style", "svg", "title", "nav", "caption")

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self._hidden: list[str] = []

    def handle_starttag(self, tag, attrs):
        if tag in self.HIDDEN:
            self._hidden.append(tag)

    def handle_endtag(self, tag):
        if self._hidden and self._hidden[-1] == tag:
            self._hidden.pop()
        if tag in ("h1", "h2", "h3", "p", "li", "dt", "dd", "th", "td", "figcaption", "summary"):
            self.parts.append(" ¶ ")

    def handle_data(self, data):
        if not self._hidden:
            self.parts.append(data)


def html_text(page: bytes) -> str:
    """Return what a page shows, its contents list left out."""
    reader = _Seen()
    reader.feed(page.decode("utf-8"))
    return "".join(reader.parts)


def markdown_text(page: str) -> str:
    """Return what Markdown shows once an independent reader has turned it into a page."""
    return html_text(MarkdownIt("commonmark").enable("table").render(page).encode("utf-8"))


def pdf_text(content: bytes) -> str:
    """Return what stands on the pages of a PDF, as an independent reader finds it."""
    from pypdf import PdfReader

    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)


def json_texts(text: str) -> list[str]:
    """Return every text of the document that a report as JSON holds."""
    found: list[str] = []

    def walk(value):
        if isinstance(value, str):
            found.append(value)
        elif isinstance(value, list):
            for item in value:
                walk(item)
        elif isinstance(value, dict):
            for key, item in value.items():
                if key not in ("chart", "footer", "made_from", "author"):
                    walk(item)

    walk(json.loads(text)["document"])
    return found
