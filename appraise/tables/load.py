"""Loads the reference tables: the program's own from a snapshot, with the user's laid over them from their text."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from appraise.tables import snapshot
from appraise.tables.folder import data_folder

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.tables.rows import Tables


def load_tables(overlay: Path | None = None) -> Tables:
    """Load the program's reference tables and lay a user's own over them.

    Args:
        overlay: Folder with files named like the program's own; their rows replace ours by key or are added,
            and are marked as the user's. None: only ours.

    Returns:
        All tables, every rule of `validate` held.

    Raises:
        Unreadable: Something in the tables is wrong; carries every problem found.
    """
    return load_from(data_folder("reference_tables"), overlay)


@lru_cache(maxsize=8)
def load_from(folder: Path, overlay: Path | None = None) -> Tables:
    """Load the tables of a folder and lay another over them.

    Args:
        folder: A folder with every table.
        overlay: As for `load_tables`.

    Returns:
        All tables.

    Raises:
        Unreadable: As for `load_tables`.
    """
    place = None
    if overlay is None:
        place = snapshot.place_of(folder)
        tables = None if place is None else snapshot.read(place)
        if tables is not None:
            return tables
    # Reading the text takes the layout of every table and every rule: most starts do without.
    from appraise.tables.assemble import assembled

    tables = assembled(folder, overlay)
    if place is not None:
        snapshot.keep(tables, place)
    return tables
