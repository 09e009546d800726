"""Why a figure is what it is: a tree from the value down to readings and table rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator


@dataclass(frozen=True, slots=True)
class Reference:
    """The table row a figure rests on."""

    ref: str
    """`table/key`."""
    standing: str
    source: str
    """Author, title and year, or why there is none."""
    where: str = ""
    yours: bool = False


@dataclass(frozen=True, slots=True)
class Reason:
    """One figure, how it came about, and what it rests on."""

    figure: str
    """Address, unique in the tree: `value`, `soundboard.depreciation`, …"""
    label: str
    value: float | str | None
    unit: str
    """money | % | years | grade | factor | a unit of measure | text."""
    shown: str
    """The value as people read it, unit included."""
    how: str
    """The rule or formula, in words."""
    references: tuple[Reference, ...] = ()
    parts: tuple[Reason, ...] = ()

    def walk(self) -> Iterator[Reason]:
        """Yield this node and every node below, top down."""
        yield self
        for part in self.parts:
            yield from part.walk()


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence of the rationale, in pieces so that no figure can slip into it unreasoned."""

    topic: str
    """value | instrument | history | station | pitch | drying | work | not inspected | range | caution."""
    pieces: tuple[str | Reason | Quote, ...]
    """Words without digits, figures as nodes of the tree, quotations of names and of what the assessor wrote."""

    @property
    def text(self) -> str:
        """The sentence as people read it."""
        return "".join(
            piece if isinstance(piece, str) else piece.shown if isinstance(piece, Reason) else piece.text
            for piece in self.pieces
        )

    @property
    def figures(self) -> tuple[str, ...]:
        """Addresses of the figures it rests on, in order."""
        return tuple(piece.figure for piece in self.pieces if isinstance(piece, Reason))


@dataclass(frozen=True, slots=True)
class Quote:
    """Words that are not ours: a name, a label of a table row, a remark of the assessor."""

    text: str
