"""What an answer rests on, taken from the rows it was reckoned with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.measurement import Basis

if TYPE_CHECKING:
    from appraise.tables.row import Row
    from appraise.tables.rows import Tables


def ground(what: str, row: Row, tables: Tables) -> Basis:
    """Return the standing and source of one row, under the name of what it was used for."""
    source = tables.sources.get(row.source)
    named = ""
    if source is not None:
        named = f"{source.author}, {source.title}" + (f" ({source.year})" if source.year else "")
    return Basis(what, f"{row.standing.value}, yours" if row.yours else row.standing.value, named, row.where)


def setting_ground(what: str, key: str, tables: Tables) -> Basis:
    """Return the same for a number of the method."""
    return ground(what, tables.settings[key], tables)
