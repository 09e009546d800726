"""What every row of a reference table carries, and the sources that rows rest on."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass
from appraise.tables import columns as read
from appraise.tables.columns import cell

if TYPE_CHECKING:
    from datetime import date


class Standing(StrEnum):
    """How far a row can be relied on."""

    PUBLISHED = "published"
    OWN_EVIDENCE = "own evidence"
    """Learned from the practice's own sales or cases; a row of the user's tables alone."""
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"
    OUR_ASSUMPTION = "our assumption"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What every row carries."""

    table: str
    key: str = cell(read.key)
    standing: Standing = cell(read.choice(Standing))
    source: str = cell(read.filled, "none", required=True)
    """Key in `sources`, or "none" where the standing allows it."""
    where: str = cell(read.text, "")
    """Page, table or equation in the source."""
    row_note: str = cell(read.text, "", column="note")
    yours: bool = False
    """True when the row came from the user's own tables."""

    @property
    def ref(self) -> str:
        """Return the row's address, `table/key`."""
        return f"{self.table}/{self.key}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Something a row rests on."""

    key: str = cell(read.key)
    author: str = cell(read.filled)
    title: str = cell(read.filled)
    publisher: str = cell(read.text, "")
    year: str = cell(read.text, "")
    url: str = cell(read.text, "")
    """DOI or address."""
    licence: str = cell(read.text, "")
    seen: date | None = cell(read.day, None)
    """When somebody last had it in hand; none: never, quoted from memory or second hand."""
    note: str = cell(read.text, "")
