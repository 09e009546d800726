"""Loads the reference tables: the program's own from a snapshot, with the user's laid over them from their text."""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache
from typing import TYPE_CHECKING

from appraise.model.problem import Problem, Unreadable
from appraise.tables import snapshot
from appraise.tables.content import content_of
from appraise.tables.folder import data_folder

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.tables.rows import Tables

TAKING = ".taking.json"
"""Lies in a folder of tables while learned rows are written there: each file, and the SHA-256 that it is to have."""
_LARGEST = 8 * 1024 * 1024


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
    if overlay is not None and (problem := taking_cut_off(overlay)) is not None:
        raise Unreadable(problem)
    return load_from(data_folder("reference_tables"), overlay)


def taking_cut_off(folder: Path) -> Problem | None:
    """Return what stands in a folder in which the taking of learned rows was cut off; none where it was not."""
    try:
        planned = json.loads(content_of(folder / TAKING, _LARGEST))
        items = [(str(name), str(digest)) for name, digest in planned.items()]
    except FileNotFoundError:
        return None
    except (OSError, ValueError, AttributeError):
        items = [("", "unreadable")]
    new = [name for name, digest in items if _digest(folder / name) == digest]
    if len(new) == len(items):
        return None  # all was in place, and only the mark remained
    old = ", ".join(name for name, _ in items if name not in new)
    found = f"learned rows taken in part: new {', '.join(new) or 'nothing'}; as before {old or 'unknown'}"
    mend = "take them again into this folder; rows of your own are untouched"
    return Problem(str(folder), None, "", found, "all files of one taking", mend)


def _digest(path: Path) -> str:
    try:
        return hashlib.sha256(content_of(path, _LARGEST)).hexdigest()
    except (OSError, ValueError):
        return ""


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
