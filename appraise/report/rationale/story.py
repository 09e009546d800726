"""Narrator: the inputs of the rationale, and the building of its sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN, Formatter
from appraise.model.message import places
from appraise.model.reason import Quote, Reason, Sentence
from appraise.report.words import literal, many

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from appraise.model.case import Case
    from appraise.model.result import Valuation
    from appraise.report.figures import Figures
    from appraise.tables.rows import Tables

    Value = str | Reason | Quote | Iterable[str | Reason | Quote]

Piece = str | Reason | Quote
"""Words without digits, a figure of the tree, or somebody's words."""


UNNOTICED = 0.995
"""Share above which nothing shows in whole per cent [–]."""


@dataclass(frozen=True, slots=True)
class Narrator:
    """A valued case with its figures by address, and the manner in which it is told.

    Messages have their places in braces, so that a translator can put them in any order.
    """

    case: Case
    tables: Tables
    valuation: Valuation
    figures: Figures
    manner: Formatter = PLAIN

    def say(self, text: str, /, **values: object) -> str:
        """Return a message in the reader's language, its places filled with text."""
        return self.manner.say(text, **values)

    def phrase(self, text: str, /, **values: Value) -> list[Piece]:
        """Return a message as pieces, its places filled with pieces."""
        return _filled(self.manner.translated(text), values)

    def phrases(self, one: str, many: str, number: int, /, **values: Value) -> list[Piece]:
        """Return a message in the form that a number asks for, as pieces."""
        return _filled(self.manner.translated(one, many, number), values)

    def tell(self, topic: str, text: str, /, **values: Value) -> Sentence:
        """Return a message as a sentence, its places filled with pieces."""
        return Sentence(topic, tuple(self.phrase(text, **values)))

    def tells(self, topic: str, one: str, many: str, number: int, /, **values: Value) -> Sentence:
        """Return a message in the form that a number asks for, as a sentence."""
        return Sentence(topic, tuple(self.phrases(one, many, number, **values)))

    def name(self, label: str) -> Quote:
        """Return a label as it stands within a sentence."""
        return quote(self.manner.small(literal(label)))

    def said(self, text: str) -> list[Piece]:
        """Return what somebody wrote, in quotation marks."""
        return self.phrase("“{words}”", words=quote(text))

    def series(self, items: Sequence[Sequence[Piece]]) -> list[Piece]:
        """Join groups of pieces as the language lists things."""
        words = ["".join(shown(piece) for piece in item) for item in items]
        pieces: list[Piece] = []
        for mark, item in zip(self.manner.joints(words), items, strict=True):
            pieces += [mark, *item]
        return pieces


@dataclass(frozen=True, slots=True)
class Chapter:
    """Sentences that belong in one paragraph."""

    topic: str
    heading: str
    sentences: tuple[Sentence, ...]

    @property
    def text(self) -> str:
        """The sentences as running text."""
        return " ".join(sentence.text for sentence in self.sentences)


def quote(text: str) -> Quote:
    """Return somebody else's words, made harmless, without a closing full stop."""
    return Quote(literal(text).rstrip(" .;"))


def shown(piece: Piece) -> str:
    """Return a piece as people read it."""
    return piece if isinstance(piece, str) else piece.text if isinstance(piece, Quote) else piece.shown


def verb(count: int, *labels: str) -> int:
    """Return the number that the verb of a sentence about labels agrees with: of one label its own, else how many.

    Args:
        count: Of the labels.
        *labels: The first is asked where there is one only.
    """
    return count if count != 1 or not labels else 2 if many(labels[0]) else 1


def _filled(text: str, values: dict[str, Value]) -> list[Piece]:
    """Fill the places of a message; neighbouring words are run together, empty ones dropped.

    Raises:
        KeyError: A place has no value, though others have.
    """
    if not values:
        return [text] if text else []
    flat: list[Piece] = []
    for words, name in places(text):
        value: Value = values[name] if name else ""
        for part in (words, *((value,) if isinstance(value, str | Reason | Quote) else value)):
            if isinstance(part, str) and flat and isinstance(flat[-1], str):
                flat[-1] += part
            elif part != "":
                flat.append(part)
    return flat
