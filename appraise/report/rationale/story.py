"""What every topic of the rationale is told from, and how its sentences are put together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.model.reason import Quote, Reason, Sentence
from appraise.report.words import between, literal, small

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.report.figures import Figures
    from appraise.tables.rows import Tables

Piece = str | Reason | Quote
"""Words without digits, a figure of the tree, or somebody's words."""


DUE_YEARS = 1.0
"""Less than this is now [years]."""


@dataclass(frozen=True, slots=True)
class Story:
    """A valued case with its figures by address."""

    case: Case
    tables: Tables
    valuation: Valuation
    figures: Figures


@dataclass(frozen=True, slots=True)
class Chapter:
    """Sentences that belong in one paragraph."""

    topic: str
    heading: str
    sentences: tuple[Sentence, ...]


def quote(text: str) -> Quote:
    """Return somebody else's words, made harmless, without a closing full stop."""
    return Quote(literal(text).rstrip(" .;"))


def said(text: str) -> list[Piece]:
    """Return what somebody wrote, in quotation marks."""
    return ["“", quote(text), "”"]


def name(label: str) -> Quote:
    """Return a label as it stands within a sentence."""
    return quote(small(literal(label)))


def series(items: Sequence[Sequence[Piece]], last: str = "and") -> list[Piece]:
    """Join groups of pieces the English way, like `words.listed`."""
    words = ["".join(shown(piece) for piece in item) for item in items]
    pieces: list[Piece] = []
    for mark, item in zip(between(words, last), items, strict=True):
        pieces += [mark, *item]
    return pieces


def shown(piece: Piece) -> str:
    """Return a piece as people read it."""
    return piece if isinstance(piece, str) else piece.text if isinstance(piece, Quote) else piece.shown


def sentence(topic: str, *pieces: Piece | Iterable[Piece]) -> Sentence:
    """Build one sentence; neighbouring words are run together, empty ones dropped."""
    flat: list[Piece] = []
    for piece in pieces:
        for part in (piece,) if isinstance(piece, str | Reason | Quote) else piece:
            if isinstance(part, str) and flat and isinstance(flat[-1], str):
                flat[-1] += part
            elif part != "":
                flat.append(part)
    return Sentence(topic, tuple(flat))
