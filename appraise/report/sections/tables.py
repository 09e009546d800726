"""Tables without the columns that say nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.report.document import Table
from appraise.report.figures import NOTHING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.report.document import Column

_SAYS_NOTHING = frozenset({"", NOTHING})


def lean(columns: Sequence[Column], rows: Sequence[tuple[str, ...]]) -> Table:
    """Return a table without the columns in which no row has anything.

    Args:
        columns: Their headings; the first always stays.
        rows: As many cells a row as there are columns.
    """
    kept = [
        place for place in range(len(columns)) if place == 0 or any(row[place] not in _SAYS_NOTHING for row in rows)
    ]
    return Table(
        tuple(columns[place] for place in kept),
        tuple(tuple(row[place] or NOTHING for place in kept) for row in rows),
    )
