"""The book of sales as a screen shows it: the newest sales, what they teach, how past valuations did."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.evidence.score import score
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Unreadable
from appraise.services.learning import learn_from

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.evidence.learn import Learned
    from appraise.evidence.levels import Unused
    from appraise.evidence.sale import Sale
    from appraise.evidence.score import Group
    from appraise.tables.rows import Tables

NEWEST = 50
"""Sales shown."""


@dataclass(frozen=True, slots=True)
class BookView:
    """What the book says now."""

    tables: Tables
    """It was read beside these."""
    count: int = 0
    newest: tuple[Sale, ...] = ()
    """The newest first."""
    learned: Learned | None = None
    unused: tuple[Unused, ...] = ()
    groups: tuple[Group, ...] = ()
    """All valued sales first, then by kind, class and kind of sale; empty without any."""
    wrong: str = ""
    """Why the book cannot be used."""
    not_learned: str = ""
    """Why nothing can be learned beside these tables."""


def view(path: Path, tables: Tables) -> BookView:
    """Read a book, learn from it and score it; takes seconds the first time, so call it aside.

    Args:
        path: The book.
        tables: To learn beside.
    """
    from appraise.evidence.book import book

    try:
        with book(path) as kept:
            count = kept.count()
            newest = tuple(kept.sales(newest=NEWEST))[::-1]
            groups = score(kept.sales())
            try:
                learned, unused = learn_from(kept, tables)
            except Unreadable as error:
                return BookView(tables, count, newest, groups=groups, not_learned=str(error.problems[0]))
    except Unreadable as error:
        return BookView(tables, wrong=str(error.problems[0]))
    return BookView(tables, count, newest, learned, tuple(unused), groups)
