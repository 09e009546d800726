"""What a writer is told of the pages it makes, and what it gives back."""

from __future__ import annotations

from typing import Literal

from appraise.model.lazy_dataclass import dataclass

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
