"""Every form a document can be written in, by the ending of the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Written

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.report.document import Document, Sheet


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
