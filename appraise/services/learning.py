"""Learned rows laid into a folder of tables, whole or not at all, and tried before they are."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.evidence.overlay import texts
from appraise.model.problem import Problem, Unreadable
from appraise.store.characters import error_text
from appraise.store.write import write_file
from appraise.tables.content import content_of
from appraise.tables.load import load_from, load_tables
from appraise.tables.row import Standing

if TYPE_CHECKING:
    from collections.abc import Iterable

    from appraise.tables.row import Row, Source
    from appraise.tables.rows import Tables

_LARGEST = 4_000_000


def refuse_learned(tables: Tables) -> None:
    """Refuse tables in which own evidence counts already: it would count twice.

    Raises:
        Unreadable: There is such a row.
    """
    for name in ("market_factors", "bases", "lives"):
        for row in getattr(tables, name).values():
            if row.standing is Standing.OWN_EVIDENCE:
                mend = "leave --tables out, or name a folder without learned rows"
                raise Unreadable(Problem("--tables", None, row.ref, row.where, "rows that no sales are in yet", mend))


def take(rows: Iterable[Row], source: Source, folder: Path) -> list[str]:
    """Write learned rows into a folder of tables, made where there is none; rows of the user's own stay and win.

    Returns:
        Addresses of learned rows that were left out, for the user has one of that key already.

    Raises:
        Unreadable: What is in the folder cannot be used, or it cannot be written.
    """
    there: dict[str, bytes] = {}
    if folder.is_dir():
        there = {path.relative_to(folder).as_posix(): content_of(path, _LARGEST) for path in _files(folder)}
    known = {name: content.decode("utf-8", "replace") for name, content in there.items()}
    found, left = texts(rows, source, known)
    with tempfile.TemporaryDirectory(prefix="appraise-") as tried:
        for name, content in (there | {name: text.encode() for name, text in found.items()}).items():
            place = Path(tried) / name
            place.parent.mkdir(exist_ok=True)
            place.write_bytes(content)
        load_tables(Path(tried))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in found.items():
            write_file(folder / name, text.encode())
    except OSError as error:
        raise Unreadable(Problem(str(folder), None, "", f"“{error_text(error)}”", "a folder to write to")) from None
    load_from.cache_clear()
    return left


def _files(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.rglob("*")) if path.suffix in (".toml", ".csv") and path.is_file()]
