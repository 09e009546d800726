"""Every form a document can be written in, by the ending of the file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.report.document import Document

PAPERS = ("a4", "letter")
"""Sizes of paper, as ISO 216 and ANSI name them."""

Standard = Literal["ua-1", "a-2b"]

STANDARDS: tuple[Standard, ...] = ("ua-1", "a-2b")
"""What a PDF can be held to: PDF/UA-1 (ISO 14289-1) and PDF/A-2b (ISO 19005-2)."""


class Unwritable(Exception):
    """A document cannot be written as it was asked for; the text is one line for the person."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """How pages are made, where there are pages."""

    paper: str = PAPERS[0]
    standards: tuple[Standard, ...] = ()


@dataclass(frozen=True, slots=True)
class Written:
    """A document in one form."""

    content: bytes
    notes: tuple[str, ...] = ()
    """What the writer found that it could not show, a line each; the document says it too."""


def write(document: Document, ending: str, sheet: Sheet) -> Written:
    """Write a document in the form that an ending stands for.

    Args:
        document: Sections of literal text.
        ending: A key of `WRITERS`.
        sheet: The paper, where there is any.

    Raises:
        Unwritable: It cannot be held to a standard that was asked for.
    """
    return WRITERS[ending](document, sheet)


def _markdown(document: Document, _: Sheet) -> Written:
    from appraise.report.markdown import render

    return Written(render(document).encode("utf-8"))


def _html(document: Document, _: Sheet) -> Written:
    from appraise.report.html.page import page

    return page(document)


def _pdf(document: Document, sheet: Sheet) -> Written:
    from appraise.report.pdf.write import pdf

    return pdf(document, sheet)


WRITERS: dict[str, Callable[[Document, Sheet], Written]] = {".pdf": _pdf, ".html": _html, ".md": _markdown}
"""The writer for each ending; each loads what it needs when it is used."""

ENDINGS = (*WRITERS, ".json")
"""Every ending that a document can have; as JSON it is data, and no writer's."""
