"""The standing and source of the rows that an answer was computed from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.measurement import Basis

if TYPE_CHECKING:
    from appraise.tables.rows import Row, Tables


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


def basis_of(what: str, row: Row, tables: Tables) -> Basis:
    """Return the same with the place in the table beside that in the source."""
    source = tables.sources.get(row.source)
    named = f"{source.author}, {source.title}" if source is not None else ""
    place = f"{row.where}; {row.ref}" if row.where else row.ref
    return Basis(what, "yours" if row.yours else row.standing.value, named, place)
